"""Time check, cover and plan on generated workspaces and print a Markdown table.

    python -m tests.bench                         60 lots x 25 patterns x 3 sizes, 20 projects planned
    python -m tests.bench 100x40x1 --projects 40

A time is the wall clock of one run in this process, after the modules are loaded; nothing is asserted.
"""

from __future__ import annotations

import argparse
import platform
import sys
import tempfile
import time
from collections import Counter
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from planner.asking import ask
from planner.covering import cover
from planner.planning import plan
from planner.workspace import load_workspace

from .generated import Asked, files, write

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

Answered = TypeVar("Answered")


def timed(work: Callable[[], Answered]) -> tuple[Answered, float]:
    started = time.perf_counter()
    answer = work()
    return answer, time.perf_counter() - started


def rows_of(asked: Asked, time_limit: float) -> Iterator[tuple[str, ...]]:
    """One workspace: a row for each command as it ends, (workspace, command, seconds, what came out)."""
    size = f"{asked.lots} x {asked.patterns} x {asked.sizes}"
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), files(asked))
        workspace, seconds = timed(lambda: load_workspace(Path(folder)))
    skeins = sum(len(lot.skeins) for lot in workspace.stash.lots.values())
    yield size, "check", f"{seconds:.2f}", f"{skeins} skeins"
    confidence = workspace.projects.confidence
    every = tuple(f"{pattern}:{size}" for pattern, made in workspace.patterns.items() for size in made.sizes)
    covered, seconds = timed(lambda: cover(workspace, ask(workspace, every, every_size=True), confidence))
    verdicts = Counter(row.verdict for row in covered)
    words = ", ".join(f"{count} {word}" for word, count in sorted(verdicts.items()))
    yield size, "cover", f"{seconds:.2f}", words
    projects = ask(workspace, (), every_size=False)
    planned, seconds = timed(lambda: plan(workspace, projects, confidence, seconds=time_limit))
    made = sum(project.made for project in planned.projects)
    words = f"{made} of {len(projects)} made, {planned.aim_value:.1f} g of at most {planned.aim_bound:.1f} g, {planned.proof}"
    yield size, "plan", f"{seconds:.2f}", words


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__.splitlines()[0])
    parser.add_argument("sizes", nargs="*", default=["60x25x3"], help="lots x patterns x sizes, e.g. 60x25x3")
    parser.add_argument("--projects", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--time-limit", type=float, default=60.0, help="seconds for plan")
    given = parser.parse_args()
    machine = f"Python {platform.python_version()}, PuLP {version('pulp')}, highspy {version('highspy')}"
    sys.stdout.write(f"{machine}, seed {given.seed}\n\n")
    sys.stdout.write("| lots x patterns x sizes | command | seconds | answer |\n| --- | --- | ---: | --- |\n")
    for text in given.sizes:
        lots, patterns, sizes = (int(number) for number in text.split("x"))
        for row in rows_of(Asked(lots, patterns, sizes, given.seed, given.projects), given.time_limit):
            sys.stdout.write(f"| {' | '.join(row)} |\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
