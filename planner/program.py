"""A mixed-integer program as plain data: columns, rows, and what is made least. Knows no solver."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Iterable

Terms = tuple[tuple[int, float], ...]  # (column index, coefficient)
Sense = Literal["<=", ">=", "="]


@dataclass(frozen=True)
class Column:
    """A variable; `name` is generated, never user text."""

    name: str
    low: float
    high: float
    whole: bool


@dataclass(frozen=True)
class Row:
    """sum(coefficient x column) <= | >= | = right."""

    name: str
    terms: Terms
    sense: Sense
    right: float


@dataclass
class Program:
    """Grown column by column and row by row, in a fixed order; `aim` is minimised."""

    columns: list[Column] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    aim: Terms = ()

    def column(self, name: str, low: float, high: float, *, whole: bool) -> int:
        """Add a column and return its index."""
        self.columns.append(Column(name, low, high, whole))
        return len(self.columns) - 1

    def add(self, rows: Iterable[Row]) -> None:
        self.rows.extend(rows)
