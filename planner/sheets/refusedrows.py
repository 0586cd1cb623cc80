"""Rows that could not be read, in a file of their own: as they were, each with why; put right, it can be imported."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from planner.sheets.headers import GUARDED, OURS, STASH
from planner.sheets.rows import cell_of
from planner.sheets.writing import csv_table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.sheets.rows import Refused

ROWS = "lotwise/rows-1"


def rows_file(wrong: Sequence[Refused]) -> bytes:
    """The refused rows as CSV under their own headers: the mark's column says which row it was, and why.

    Rows of an exported stash keep that mark, as their text is to be read as such.
    """
    ours = any(row.sheet.ours.startswith(STASH) for row in wrong)
    heads: dict[tuple[str, int], None] = {}  # a header, and which of those that are alike
    cells = []
    for row in wrong:
        own = dict(_cells(row))
        heads |= dict.fromkeys(own)
        cells.append((own, f"{row.place}: {row.message}; {row.hint}"))
    rows = tuple((*(own.get(head, "") for head in heads), why) for own, why in cells)
    mark = (STASH if ours else ROWS) + GUARDED
    return csv_table((*(head for head, _ in heads), mark), rows, raw=False)


def _cells(row: Refused) -> Iterator[tuple[tuple[str, int], str]]:
    seen: Counter[str] = Counter()
    for one in row.sheet.columns:
        if not OURS.fullmatch(one.header):
            seen[one.header] += 1
            yield (one.header, seen[one.header]), cell_of(row.sheet, row.number, one.place).text
