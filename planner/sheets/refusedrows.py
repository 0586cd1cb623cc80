"""Rows that could not be read, in a file of their own: as they were, each with why; put right, it can be imported."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.sheets.headers import GUARDED, OURS
from planner.sheets.rows import cell_of
from planner.sheets.writing import Sheet, csv_bytes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.sheets.rows import Refused

MARK = f"lotwise/rows-1{GUARDED}"


def rows_file(wrong: Sequence[Refused]) -> bytes:
    """The refused rows as CSV under their own headers: the mark's column says which row it was, and why."""
    heads = list(dict.fromkeys(one.header for row in wrong for one in row.sheet.columns if not OURS.fullmatch(one.header)))
    rows = []
    for row in wrong:
        cells = {one.header: cell_of(row.sheet, row.number, one.place).text for one in row.sheet.columns}
        rows.append((*(cells.get(head, "") for head in heads), f"{row.place}: {row.message}; {row.hint}"))
    return csv_bytes([Sheet("rows", (*heads, MARK), tuple(rows))], raw=False)
