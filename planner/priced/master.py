"""Which ways to choose, whole or in part, within what the lots hold: a linear program that grows by columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.highs import Growing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.priced.store import Numbers
    from planner.priced.ways import Way


UNIT = 10_000  # cm: lengths in the program are in hundreds of metres, near to 1


class Master:
    """At most one way for each project (just one where it is `needed`), lots giving no more than they hold."""

    def __init__(self, projects: Mapping[int, int], holds: Numbers, needed: frozenset[int] = frozenset()) -> None:
        """`projects`: making -> its project."""
        rows = {project: row for row, project in enumerate(sorted(set(projects.values())))}
        self.row = {making: rows[project] for making, project in projects.items()}
        self.count = len(rows)
        self.ways: list[Way] = []
        lows = [1.0 if project in needed else 0.0 for project in rows]
        self.program = Growing([*lows, *np.zeros(len(holds))], [*np.ones(self.count), *(holds / UNIT)])
        self.values = np.zeros(0)
        self.gains = np.zeros(self.count)
        self.prices = np.zeros(len(holds))

    def add(self, ways: Sequence[Way]) -> None:
        self.ways += ways
        self.program.add(
            [-way.worth for way in ways],
            [
                [(self.row[way.making], 1.0), *((self.count + place, taken / UNIT) for place, taken in way.takes.items())]
                for way in ways
            ],
        )

    def solve(self) -> float:
        """The most worth, some ways chosen in part; sets the values, the gain of each project, the prices of lots."""
        if not self.ways:
            return 0.0
        value, self.values, duals = self.program.solve()
        self.gains, self.prices = -duals[: self.count], np.maximum(-duals[self.count :], 0.0) / UNIT
        return -value
