"""What stands before a plan: starting up, reading the files, and cover, against Python and the bare YAML parser."""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from planner.asking import ask
from planner.covering import cover
from planner.workspace import load_workspace

from .generated import Asked, files, write

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from planner.workspace import Workspace

    from .ways import Size

TRIES = 5


def started() -> tuple[float, float]:
    """Seconds of the processor for `lotwise --help`, and for Python with nothing to do."""
    ours = [sys.executable, "-c", "from planner.cli import main; main(['--help'])"]
    return least(lambda: run(ours)), least(lambda: run([sys.executable, "-c", "pass"]))


def run(command: list[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def least(work: Callable[[], float], tries: int = TRIES) -> float:
    return min(work() for _ in range(tries))


def timed(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def read(size: Size, seed: int, *, covered: bool) -> Iterator[tuple[str, float, float]]:
    """(what, seconds, times the bare parser's) for one generated workspace."""
    text = files(Asked(size.lots, size.projects, size.sizes, seed, size.projects))
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), text)
        bare = least(lambda: timed(lambda: parse(text)))
        yield "bare YAML events", bare, 1.0
        check = least(lambda: timed(lambda: load_workspace(Path(folder))))
        yield "check", check, check / bare
        workspace = load_workspace(Path(folder))
    if covered:
        seconds = timed(lambda: cover_all(workspace))
        yield "cover", seconds, seconds / bare


def parse(text: dict[str, str]) -> None:
    for content in text.values():
        for _ in yaml.parse(content, Loader=yaml.CLoader):
            pass


def cover_all(workspace: Workspace) -> None:
    cover(workspace, ask(workspace, (), every_size=False), workspace.projects.confidence)
