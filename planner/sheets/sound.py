"""Rows that make a sound stash file: the would-be file is read with all the others, and rows with faults are put by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.sheets.draft import draft
from planner.sheets.rows import Refused, refused
from planner.sheets.table import SheetError
from stash.read import read_stash

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.sheets.draft import Draft
    from planner.sheets.rows import Row
    from stash.faults import Fault
    from stash.lots import Stash

MOST_PASSES = 50


def sound(
    rows: Sequence[Row], refused_first: list[Refused], before: list[tuple[str, bytes]], stash: Stash, source: str
) -> tuple[Draft, list[Refused]]:
    """The rows that make a file without faults, read with all the others; and those that would not, each with why.

    A lot goes in whole or waits: a stash has each lot in one place, so a skein that is put right later could not
    follow the others by itself.
    """
    donors = frozenset(name.casefold() for name in stash.donors)
    heading = f"# From {safe_text(source)}."
    wrong = list(refused_first)
    kept = _whole_lots(rows, wrong)
    for _ in range(MOST_PASSES):
        made = draft(kept, donors, heading)
        faults = [] if not made.rows else read_stash([*before, ("import", made.text.encode())]).faults
        told = [*made.refused, *_owned([fault for fault in faults if not fault.warning], made)]
        if not told:
            return made, wrong
        wrong += told
        kept = _whole_lots(_without(kept, {(one.sheet.table.name, one.number) for one in told}, wrong), wrong)
    raise SheetError("the rows contradict one another in too many ways", "import fewer rows at a time")


def _without(rows: Sequence[Row], out: set[tuple[str, int]], wrong: list[Refused]) -> list[Row]:
    """The rows that are left; those whose donor could not be read wait for it."""
    lost = {row.ids["donor"] for row in rows if row.is_donor and (row.sheet.table.name, row.number) in out}
    kept: list[Row] = []
    for row in rows:
        if (row.sheet.table.name, row.number) in out:
            continue
        if row.ids.get("donor") in lost:
            hint = "put that row right, then import once more"
            message = f"the row of its donor {row.ids['donor']} could not be read"
            wrong.append(refused(row.sheet, row.number, "donor", message, hint))
            continue
        kept.append(row)
    return kept


def _whole_lots(rows: Sequence[Row], wrong: list[Refused]) -> list[Row]:
    """The rows of lots of which none was refused; the others wait."""
    first: dict[str, Refused] = {}
    for one in wrong:
        first.setdefault(one.lot, one)
    kept: list[Row] = []
    for row in rows:
        other = first.get(row.ids.get("lot", "") or " ")
        if other is None:
            kept.append(row)
            continue
        message = f"another row of lot {other.lot} was not read ({other.place}), and a lot goes in whole"
        wrong.append(refused(row.sheet, row.number, "lot", message, "put that row right, then import once more"))
    return kept


def _owned(faults: Sequence[Fault], made: Draft) -> list[Refused]:
    """Each fault in the file to be as that of the rows its line came from; a row is told one thing at a time."""
    told: dict[tuple[str, int], Refused] = {}
    for fault in faults:
        if fault.place.file != "import":  # a fault of the file that was there first is told by known_stash
            continue
        rows, field = made.owner(fault.place)
        if not rows:
            raise SheetError(f"the rows cannot become one file: {fault.message}", fault.hint)
        for row in rows:
            message = fault.message.partition(", here in line")[0]
            one = refused(row.sheet, row.number, field, message, fault.hint.partition("\n")[0])
            told.setdefault((row.sheet.table.name, row.number), one)
    return list(told.values())
