"""Workers on other machines, those of a dask scheduler: the one module that knows dask."""

from __future__ import annotations

import asyncio
import errno
import logging
from contextlib import contextmanager
from importlib import metadata
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.workers import Crew

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

PATIENCE = 5.0  # seconds until somebody answers, and until there is a worker
RUNS = 4  # for each pair of hands, so that nobody waits long for the slowest


@contextmanager
def join(address: str) -> Iterator[Crew]:
    """The workers of the scheduler at that address, such as tcp://192.168.1.20:8786.

    Raises AskError where dask is not installed, that is no address, or the workers have another lotwise; OSError where
    nobody answers or works there.
    """
    try:
        from distributed import Client  # noqa: PLC0415 (installed only where there is a cluster)
    except ImportError as error:
        hint = "install it beside lotwise: pip install distributed; or leave --cluster out"
        raise AskError("--cluster needs the package distributed, which is not installed", hint) from error
    for name in ("distributed", "distributed.client"):  # what its tales of lost workers come to is told by the answers
        logging.getLogger(name).setLevel(logging.CRITICAL)
    _knock(address)
    with Client(address, timeout=PATIENCE, set_as_default=False) as client:
        try:
            client.wait_for_workers(1, PATIENCE)
        except TimeoutError as error:
            raise OSError(errno.ECHILD, "the scheduler there has no workers", address) from error
        alike(client.run(version, on_error="return"))
        hands = sum(client.nthreads().values())
        yield Crew(client.get_executor(pure=False), RUNS * hands)


def version() -> str:
    """The lotwise that runs here."""
    return metadata.version("lotwise")


def alike(versions: Mapping[str, object]) -> None:
    """Raise AskError unless every worker has the lotwise that asks: another one might answer something else."""
    own = version()
    for worker, other in sorted(versions.items()):
        if other != own:
            has = f"has lotwise {other}" if isinstance(other, str) else "has no lotwise"
            raise AskError(f"the worker at {worker} {has}; here it is {own}", "install the same lotwise on all of them")


def _knock(address: str) -> None:
    """See whether a scheduler answers, before there is a client that would keep on trying."""
    from distributed.comm import connect  # noqa: PLC0415

    async def once() -> None:
        (await connect(address, timeout=PATIENCE)).abort()

    try:
        asyncio.run(once())
    except ValueError as error:
        raise AskError(f"--cluster {address} is no address", "write it as tcp://192.168.1.20:8786") from error
    except OSError as error:
        raise OSError(errno.ECONNREFUSED, "nobody answers there; is a dask scheduler running?", address) from error
