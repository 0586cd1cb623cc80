"""Small questions that one or another release of the solver has got wrong, with their right values.

The first six are after faults reported in public against HiGHS; the right value is worked out beside each.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.highs import SolverError
from planner.program import Program, Row, Sense
from planner.solve import Answer, Status, solve

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

SECONDS = 20  # for one question; a hundredth of one is usual
VALUE_WITHIN, BOUND_WITHIN = 1e-8, 1e-6


@dataclass(frozen=True)
class Canary:
    """Columns are (low, high, whole); rows are (factors, sense, right side); `right` is the least the aim can be."""

    name: str
    columns: Mapping[str, tuple[float, float, bool]]
    aim: Mapping[str, float]
    rows: tuple[tuple[Mapping[str, float], Sense, float], ...]
    right: float

    def program(self, *, backwards: bool) -> Program:
        """The question with its columns made first to last, or last to first."""
        program = Program()
        columns = list(self.columns.items())[:: -1 if backwards else 1]
        index = {name: program.column(name, low, high, whole=whole) for name, (low, high, whole) in columns}
        program.aim = tuple((index[name], factor) for name, factor in self.aim.items())
        program.add(
            Row(f"row_{place}", tuple((index[name], factor) for name, factor in factors.items()), sense, right)
            for place, (factors, sense, right) in enumerate(self.rows)
        )
        return program

    def passes(self, answer: Answer) -> bool:
        """Whether the right value was found, and proved to be the least."""
        return (
            answer.status is Status.OPTIMAL
            and answer.value is not None
            and abs(answer.value - self.right) <= VALUE_WITHIN
            and abs(answer.bound - self.right) <= BOUND_WITHIN
        )


@dataclass(frozen=True)
class Tried:
    """What the solver made of a question; `found` is None where it found nothing."""

    canary: Canary
    backwards: bool
    found: float | None
    passed: bool


def try_solver() -> Iterator[Tried]:
    """Ask the solver every question, its columns in either order."""
    for canary in CANARIES:
        for backwards in (False, True):
            try:
                answer = solve(canary.program(backwards=backwards), deadline=time.monotonic() + SECONDS)
            except SolverError:
                yield Tried(canary, backwards, None, passed=False)
            else:
                yield Tried(canary, backwards, answer.value, canary.passes(answer))


CANARIES = (
    # x costs 2 a unit and z 3: all of it from x
    Canary(
        "whole-beside-cheaper",
        {"x": (0, 10, False), "z": (0, 10, True)},
        {"x": 2, "z": 3},
        (({"x": 1, "z": 1}, ">=", 4.5),),
        9,
    ),
    # z = y + 7.5 is whole and y within 1 of 0: y is -0.5 or 0.5, z 7 or 8; with 7, x = 3: 3 - 2 + 63
    Canary(
        "whole-by-a-difference",
        {"x": (0, 4, False), "y": (-1, 1, False), "z": (0, 20, True)},
        {"x": 1, "y": 4, "z": 9},
        (({"x": 1, "y": 1}, "<=", 5), ({"x": 1, "z": 1}, ">=", 10), ({"z": 1, "y": -1}, "=", 7.5)),
        64,
    ),
    # x may be 3, then g is 0 and t is 3
    Canary(
        "fractional-bound-on-a-whole",
        {"g": (0, 3, False), "t": (-10, 10, False), "x": (0.45, 3, True)},
        {"g": 100, "t": 0.01},
        (({"g": 1, "x": 1}, "=", 3), ({"t": 1, "x": -1}, ">=", 0), ({"t": 1, "x": 1}, ">=", 0)),
        0.03,
    ),
    # x = 12 leaves 8.1 for y: 12 + 16.2; one more x leaves y at its least: 13 + 16
    Canary(
        "dear-rest-after-a-whole",
        {"x": (0, 20, True), "y": (8, 20, False)},
        {"x": 1, "y": 2},
        (({"x": 1, "y": 1}, ">=", 20.1),),
        28.2,
    ),
    # x at its most, 3, and t with it
    Canary(
        "large-beside-small",
        {"t": (1, 3, False), "x": (1, 3, True)},
        {"x": -100, "t": 0.01},
        (({"t": 1, "x": -1}, ">=", 0),),
        -299.97,
    ),
    # the row is the aim: 10 at least, and x = 0, y = 10 gives it
    Canary(
        "aim-is-a-row",
        {"x": (0, 1, True), "y": (9, 20, False)},
        {"x": 2, "y": 1},
        (({"x": 2, "y": 1}, ">=", 10),),
        10,
    ),
    # opening costs 10 and gives half a metre: not worth it, however wide the link row stands open
    *(
        Canary(
            f"link-row-{size:.0e}",
            {"open": (0, 1, True), "take": (0, 0.5, False)},
            {"open": 10, "take": -1},
            (({"take": 1, "open": -size}, "<=", 0),),
            0,
        )
        for size in (1e4, 1e6, 1e8)
    ),
)
