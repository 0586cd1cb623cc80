"""A command as a person runs it: in a terminal of its own, answering what it asks."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

ROOT = Path(__file__).resolve().parents[2]
MOST_SECONDS = 30


def run_in_terminal(arguments: Sequence[str], answers: Sequence[str], folder: Path) -> tuple[str, int]:
    """Everything that stood on the screen, typed answers included, and the exit code.

    Run in `folder`. Each answer is typed when a question waits at the end of its line; when none is left, the
    terminal is hung up.
    """
    ours, theirs = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-c", "from planner.cli import main; main()", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"},
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        start_new_session=True,
    )
    os.close(theirs)
    try:
        return _converse(ours, list(answers), time.monotonic() + MOST_SECONDS), child.wait(MOST_SECONDS)
    finally:
        os.close(ours)
        if child.poll() is None:
            child.kill()
            child.wait()


def _converse(terminal: int, answers: list[str], deadline: float) -> str:
    """Read the screen to its end, typing the next answer whenever a question waits."""
    screen = ""
    unanswered = 0  # where what was shown since the last answer begins
    while time.monotonic() < deadline:
        if not select.select([terminal], [], [], 0.2)[0]:
            continue
        try:
            shown = os.read(terminal, 65536)
        except OSError:  # what Linux tells when the other end is closed
            break
        if not shown:
            break
        screen += shown.decode("utf-8", "replace").replace("\r\n", "\n")
        if screen[unanswered:].endswith(" ") and not screen.endswith("\n"):
            os.write(terminal, f"{answers.pop(0)}\n".encode() if answers else b"\x04")
            unanswered = len(screen)
    return screen
