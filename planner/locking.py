"""One lotwise at a time changes a folder's ledger; the others wait."""

from __future__ import annotations

import errno
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from planner.noting import rehearsal_now
from planner.telling import tell

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from filelock import FileLock

LOCK = ".lotwise.lock"
DOOR = ".lotwise-door.lock"  # held by the one who is next, so that who has just written cannot overtake those who wait
PATIENCE_S = 120.0


class LockedError(OSError):
    """Raised where another lotwise keeps writing in the folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__(errno.EBUSY, "another lotwise is still writing here; ask again when it is done", str(folder))


@contextmanager
def locked(folder: Path, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Within it no other lotwise changes the workspace. Raises LockedError after `patience_s` seconds in vain.

    The system lets go of the lock when its process ends, however that ends.
    """
    if rehearsal_now() is not None:
        yield
        return
    lock = _taken(folder, patience_s)
    try:
        yield
    finally:
        with suppress(OSError):  # what was written stands; the system lets go at the latest when the process ends
            lock.release()


def _taken(folder: Path, patience_s: float) -> FileLock:
    """The lock of the folder, held."""
    from filelock import FileLock, Timeout  # noqa: PLC0415 (most commands lock nothing)

    real = folder.resolve(strict=True)
    door, lock = FileLock(real / DOOR), FileLock(real / LOCK)
    try:
        try:
            with door.acquire(timeout=0):
                lock.acquire(timeout=0)
        except Timeout:
            tell("lotwise: waiting for another lotwise that is writing here")
            with door.acquire(timeout=patience_s):
                lock.acquire(timeout=patience_s)
    except Timeout:
        raise LockedError(folder) from None
    except OSError as error:
        raise OSError(error.errno, f"nothing can be written here: {error.strerror}", str(folder)) from error
    return lock
