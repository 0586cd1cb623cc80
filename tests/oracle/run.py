"""Compare cover and plan with the brute force on random tiny cases.

    python -m tests.oracle.run --cases 1000

Every plan and every verdict's plan is checked by planner.verify on the way. Ends with 1 at a disagreement.
"""

from __future__ import annotations

import argparse
import signal
import time
from contextlib import contextmanager
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from patterns.projects import ProjectList
from planner.covering import cover
from planner.planning import plan
from planner.workspace import Workspace
from tests.oracle.brute import answer
from tests.oracle.workspaces import random_case

if TYPE_CHECKING:
    from collections.abc import Iterator

SECONDS = 5  # of brute force a case is worth; one that takes longer is left out and counted
GRAMS_WITHIN = 0.02  # the planner compares grams to a hundredth


class TooLongError(Exception):
    """The brute force was given up."""


@contextmanager
def giving_up() -> Iterator[None]:
    """Inside, a brute force that takes too long raises TooLongError."""
    before = signal.signal(signal.SIGALRM, _give_up)
    try:
        yield
    finally:
        signal.signal(signal.SIGALRM, before)


def _give_up(_number: int, _frame: object) -> None:
    raise TooLongError


def disagreements(seed: int) -> list[str]:
    """What the planner and the brute force say differently of one case."""
    case = random_case(seed)
    projects = case.projects
    workspace = Workspace(
        Path(), case.stash, MappingProxyType(case.patterns), ProjectList(case.confidence, projects), ()
    )
    signal.alarm(SECONDS)
    try:
        expected = answer(case.stash, case.patterns, projects, case.confidence)
    finally:
        signal.alarm(0)
    told = [
        f"{seed} {row.project} {row.size}: {row.verdict}, by brute force {expected.verdicts[row.project, row.size]}"
        for row in cover(workspace, projects, case.confidence)
        if row.verdict != expected.verdicts[row.project, row.size]
    ]
    made = plan(workspace, projects, case.confidence, seconds=10)
    must = sum(1 for one, project in zip(made.projects, projects, strict=True) if one.made and project.must)
    if must != expected.must or abs(made.aim_value - float(expected.grams)) > GRAMS_WITHIN:
        told.append(
            f"{seed}: {must} must, {made.aim_value:.3f} g, by brute force {expected.must}, {float(expected.grams):.3f} g"
        )
    if made.proof != "optimal":
        told.append(f"{seed}: {made.proof}")
    return told


def main() -> int:
    """Run the cases asked for and print what differs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0)
    asked = parser.parse_args()
    began = time.monotonic()
    wrong = left_out = 0
    for seed in range(asked.first, asked.first + asked.cases):
        try:
            told = disagreements(seed)
        except TooLongError:
            left_out += 1
            continue
        except Exception as error:  # noqa: BLE001 (a crash is a disagreement too)
            told = [f"{seed}: {type(error).__name__} {str(error)[:300]}"]
        wrong += bool(told)
        for line in told:
            print(line, flush=True)
    print(
        f"{asked.cases} cases, {left_out} left out as too long, {wrong} with a disagreement, {time.monotonic() - began:.0f} s"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    with giving_up():
        raise SystemExit(main())
