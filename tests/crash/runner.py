"""Commands, each run in a process of its own that is stopped at a call of its way to the disk.

A server that has loaded the program once forks a process for each command, since loading takes longer than the work.
"""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

ROOT = Path(__file__).resolve().parents[2]
MOST_SECONDS = 60


@dataclass(frozen=True)
class Ran:
    """How a run ended: its exit code (below 0: minus the signal), what it said, and its calls to the disk."""

    code: int
    out: str
    err: str
    calls: tuple[str, ...]


class Runner:
    """Runs commands until it is closed."""

    def __init__(self) -> None:
        self._server = subprocess.Popen(
            [sys.executable, "-m", "tests.crash.runner"],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1", "COLUMNS": "80"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def run(self, folder: Path, arguments: Sequence[str], number: int = 0, way: str = "") -> Ran:
        """Run a command in `folder`, stopped at its call `number`; 0: let be."""
        self._server.stdin.write(json.dumps([str(folder), list(arguments), number, way]) + "\n")
        self._server.stdin.flush()
        told = json.loads(self._server.stdout.readline())
        return Ran(told["code"], told["out"], told["err"], tuple(told["calls"]))

    def close(self) -> None:
        self._server.stdin.close()
        self._server.wait(MOST_SECONDS)
        self._server.stdout.close()


def _serve() -> None:
    import planner  # noqa: PLC0415 (the server's own)

    for module in pkgutil.walk_packages(planner.__path__, "planner."):
        importlib.import_module(module.name)
    for line in sys.stdin:
        folder, arguments, number, way = json.loads(line)
        print(json.dumps(_forked(Path(folder), arguments, number, way)), flush=True)


def _forked(folder: Path, arguments: list[str], number: int, way: str) -> dict[str, object]:
    with tempfile.TemporaryDirectory() as beside:
        files = [Path(beside, name) for name in ("out", "err", "calls")]
        child = os.fork()
        if not child:
            _be_the_command(folder, arguments, number, way, files)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        out, err, calls = (path.read_text("utf-8") if path.exists() else "" for path in files)
    return {"code": code, "out": out, "err": err, "calls": calls.split()}


def _be_the_command(folder: Path, arguments: list[str], number: int, way: str, files: list[Path]) -> None:
    import signal  # noqa: PLC0415

    from planner.cli import main  # noqa: PLC0415
    from tests.crash.stops import Stops  # noqa: PLC0415

    code = 99
    try:
        signal.alarm(MOST_SECONDS)
        for stream, path in enumerate(files[:2], start=1):
            os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600), stream)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.chdir(folder)
        if arguments[0] == "demo":
            _leave_out_answers()
        stops = Stops(folder, number, way)
        real_open, real_write = os.open, os.write
        stops.install()
        try:
            main(arguments)
        except SystemExit as ended:
            code = ended.code or 0
        sys.stdout.flush()
        sys.stderr.flush()
        real_write(real_open(files[2], os.O_WRONLY | os.O_CREAT, 0o600), " ".join(stops.calls).encode())
    finally:
        os._exit(code)


def _leave_out_answers() -> None:
    """The demo's answers take seconds and write nothing."""
    from planner.commands import cover, plan, shortfall  # noqa: PLC0415
    from planner.commands.shared import Answer, Ending  # noqa: PLC0415

    for module, name in ((cover, "answer_cover"), (plan, "answer_plan"), (shortfall, "answer_shortfall")):
        setattr(module, name, lambda *_, **__: Answer("as ever", Ending.DONE))


if __name__ == "__main__":
    _serve()
