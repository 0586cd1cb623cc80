"""Work for workers: it can be pickled, and what it does beside its answer shows in files or in a list."""

from __future__ import annotations

import _thread
import os
import signal
import time
from pathlib import Path
from typing import TYPE_CHECKING

from planner.folders import attempted
from planner.workers import stop_in_hand

if TYPE_CHECKING:
    from queue import Queue

    from planner.folders import Outcome, Question

PATIENCE = 60.0  # seconds after which something is wrong


def die_away_from(home: int, number: int) -> int:
    """The number's square; but any process other than `home` is killed by it."""
    if os.getpid() != home:
        os.kill(os.getpid(), signal.SIGKILL)
    return number * number


def press_ctrl_c(heard: Queue[bool], _number: int) -> None:
    """Interrupt the main thread, then wait until told to stop."""
    _thread.interrupt_main()
    stop = stop_in_hand()
    heard.put(stop is not None and stop.wait(PATIENCE))


def plan_when_let_go(notes: str, question: Question) -> Outcome | Exception:
    """Plan, but only once `notes` holds a file `go`; a file there tells who began, and another who came to an end."""
    folder = Path(notes)
    (folder / f"{os.getpid()}.began").touch()
    wait_for(folder, "go")
    outcome = attempted(question)
    (folder / f"{os.getpid()}.{question.workspace.folder.name}.ended").touch()
    return outcome


def wait_for(folder: Path, pattern: str) -> Path:
    """The first file of such a name, once there is one."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        for found in sorted(folder.glob(pattern)):
            return found
        time.sleep(0.02)
    raise AssertionError(f"no {pattern} in {folder}")
