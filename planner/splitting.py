"""Parts of a program that share no row once some columns are fixed: each can be made best by itself."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.program import Program, Row

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.program import Terms


@dataclass(frozen=True)
class Part:
    """A program of its own; `places`: column of the whole program -> column here."""

    program: Program
    places: Mapping[int, int]

    def terms(self, whole: Terms) -> Terms:
        """What of a sum over the whole program varies in this part."""
        return tuple((self.places[column], factor) for column, factor in whole if column in self.places)


def split(program: Program, fixed: Mapping[int, float]) -> tuple[Part, ...]:
    """The parts of a program with columns fixed, in the order of their first columns.

    Rows in which nothing varies are left out: whoever fixed the columns answers for them.
    """
    leader = list(range(len(program.columns)))

    def lead(column: int) -> int:
        while leader[column] != column:
            leader[column] = leader[leader[column]]
            column = leader[column]
        return column

    varying = [tuple(column for column, _ in row.terms if column not in fixed) for row in program.rows]
    for columns in varying:
        for column in columns[1:]:
            one, other = sorted((lead(columns[0]), lead(column)))
            leader[other] = one
    members: dict[int, list[int]] = defaultdict(list)
    for column in range(len(program.columns)):
        if column not in fixed:
            members[lead(column)].append(column)
    rows: dict[int, list[Row]] = defaultdict(list)
    for row, columns in zip(program.rows, varying, strict=True):
        if columns:
            rows[lead(columns[0])].append(row)
    return tuple(_part(program, columns, rows[first], fixed) for first, columns in sorted(members.items()))


def _part(program: Program, columns: list[int], rows: Iterable[Row], fixed: Mapping[int, float]) -> Part:
    places = {column: place for place, column in enumerate(columns)}
    part = Part(Program([program.columns[column] for column in columns]), places)
    for row in rows:
        constant = sum(factor * fixed[column] for column, factor in row.terms if column in fixed)
        part.program.rows.append(replace(row, terms=part.terms(row.terms), right=row.right - constant))
    return part
