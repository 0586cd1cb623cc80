"""Which ways to choose, whole or in part, within what the lots hold: a linear program that grows by columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.highs import Growing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.priced.store import Numbers
    from planner.priced.ways import Way


UNIT = 10_000  # cm: lengths in the program are in hundreds of metres, near to 1


class Master:
    """At most one way for each project, lots giving no more than they hold, of some projects so many at least."""

    def __init__(self, projects: Mapping[int, int], holds: Numbers, musts: frozenset[int], least: int) -> None:
        """`projects`: making -> its project. At least so many of the `musts` are made."""
        rows = {project: row for row, project in enumerate(sorted(set(projects.values())))}
        self.row = {making: rows[project] for making, project in projects.items()}
        self.count = len(rows)
        self.ways: list[Way] = []
        self.unit = 1.0
        self.musts = frozenset(making for making, project in projects.items() if project in musts)
        low = np.zeros(self.count + len(holds) + 1)
        low[-1] = least
        self.program = Growing(low.tolist(), [*np.ones(self.count), *(holds / UNIT), float(self.count)])
        self.values = np.zeros(0)
        self.gains = np.zeros(self.count)
        self.prices = np.zeros(len(holds))
        self.favour = 0.0  # what making one more of the musts is worth

    def add(self, ways: Sequence[Way]) -> None:
        if not self.ways:
            self.unit = max((abs(way.worth) for way in ways), default=0.0) or 1.0  # costs near to 1, too
        self.ways += ways
        self.program.add(
            [-way.worth / self.unit for way in ways],
            [list(self._column(way)) for way in ways],
        )

    def _column(self, way: Way) -> Iterator[tuple[int, float]]:
        yield self.row[way.making], 1.0
        for place, taken in way.takes.items():
            yield self.count + place, taken / UNIT
        if way.making in self.musts:
            yield self.count + len(self.prices), 1.0

    def solve(self) -> float:
        """The most worth, some ways chosen in part; sets the values, the gain of each project, the prices of lots."""
        if not self.ways:
            return 0.0
        value, self.values, duals = self.program.solve()
        value, duals = value * self.unit, duals * self.unit
        self.gains, self.prices = -duals[: self.count], np.maximum(-duals[self.count : -1], 0.0) / UNIT
        self.favour = max(float(duals[-1]), 0.0)
        return -value
