"""The rows below a sheet's headers, each as what it tells: keys of a stash file with their values, already in YAML."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.sheets.fields import BY_NAME, SAMPLE
from planner.sheets.headers import GUARDED, STASH
from planner.sheets.table import Cell
from planner.sheets.values import CellError, fit_id, stash_text, unwrapped
from stash.nodes import short

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.sheets.headers import Headed

IDS = ("skein", "lot", "donor")
REQUIRED = ("fibre", "colour", "count")
GUARD = re.compile(r"'+[=+\-@\t\r\n]")  # text that was guarded against being taken for a formula


@dataclass(frozen=True)
class Row:
    """A row that tells a skein, or a donor alone. `number` counts from 0; `values`: field -> YAML."""

    sheet: Headed
    number: int
    ids: dict[str, str]
    values: dict[str, str]

    @property
    def is_donor(self) -> bool:
        return "lot" not in self.ids


@dataclass(frozen=True)
class Refused:
    """A row that was not read, and why. `place`: the cell, such as "Stash!C14"; `own`: what stands in it.

    `lot`: the lot it is of, "" where that cannot be told.
    """

    sheet: Headed
    number: int
    place: str
    own: str
    message: str
    hint: str
    lot: str


@dataclass(frozen=True)
class Names:
    """How a name in the sheet became an id: as written -> id, for those that could not stay as they were."""

    fitted: dict[str, str]
    derived: tuple[str, ...]  # skeins that were named after their lot


def refused(sheet: Headed, number: int, field: str | None, message: str, hint: str) -> Refused:
    """A row refused for what stands in the column of a field; for the row as a whole where it has none."""
    column = sheet.fields.get(field or "")
    at = column.place if column is not None else min((one.place for one in sheet.fields.values()), default=0)
    own = sheet.table.cell(number, at).text
    return Refused(sheet, number, sheet.table.place(number, at), own, message, hint, _lot(sheet, number))


def _lot(sheet: Headed, number: int) -> str:
    column = sheet.fields.get("lot")
    try:
        return "" if column is None else fit_id(cell_of(sheet, number, column.place).text)
    except CellError:
        return ""


def read_rows(sheets: Iterable[Headed]) -> tuple[list[Row], list[Refused], Names]:
    """Every row that is not blank, in order."""
    rows: list[Row] = []
    wrong: list[Refused] = []
    reading = _Reading({}, {}, Counter(), [])
    for sheet in sheets:
        for number in range(sheet.row + 1, len(sheet.table.rows)):
            told = _read_row(sheet, number, reading)
            if isinstance(told, Refused):
                wrong.append(told)
            elif told is not None:
                rows.append(told)
    return rows, wrong, Names(reading.fitted, tuple(reading.derived))


@dataclass(frozen=True)
class _Reading:
    fitted: dict[str, str]  # as written -> id
    written: dict[tuple[str, str], str]  # (what, id) -> as written
    numbers: Counter[str]  # skeins named so far, by lot
    derived: list[str]


def cell_of(sheet: Headed, number: int, place: int) -> Cell:
    """A cell as it was meant: without the guard a program's own text carries."""
    cell = sheet.table.cell(number, place)
    if sheet.ours.endswith(GUARDED) and GUARD.match(cell.text):
        return Cell(cell.text[1:], cell.kind)
    return cell


def _read_row(sheet: Headed, number: int, reading: _Reading) -> Row | Refused | None:
    cells = {field: cell_of(sheet, number, column.place) for field, column in sheet.fields.items()}
    told = {field: cell for field, cell in cells.items() if cell.text.strip()}
    if not told:
        return None
    ids: dict[str, str] = {}
    values: dict[str, str] = {}
    for field, cell in told.items():
        try:
            if field in IDS:
                ids[field] = _id(field, cell, reading)
            else:
                values[field] = stash_text(_meant(cell, field, sheet), BY_NAME[field].kind, sheet.fields[field].unit)
        except CellError as error:
            return refused(sheet, number, field, str(error), error.hint)
    if fault := _unnamed(sheet, number, ids, values, reading):
        return fault
    if SAMPLE & values.keys() and "count" not in values:
        values["count"] = _sample(values)
    return Row(sheet, number, ids, values)


def _meant(cell: Cell, field: str, sheet: Headed) -> Cell:
    """A cell's text; free text of our own to the last space, of others without those round it and on one line."""
    if BY_NAME[field].kind != "text":
        return cell
    if sheet.ours.startswith(STASH):
        return Cell(unwrapped(cell.text), cell.kind)
    return Cell(" ".join(cell.text.split()), cell.kind)


def _id(field: str, cell: Cell, reading: _Reading) -> str:
    if cell.kind == "date":
        stash_text(cell, "id", "")
    written = cell.text.strip()
    fitted = fit_id(written)
    first = reading.written.setdefault((field, fitted), written)
    if first != written:
        raise CellError(
            f"'{short(written)}' would be called {fitted}, as '{short(first)}' is", "give one of them another name"
        )
    if fitted != written:
        reading.fitted[written] = fitted
    return fitted


def _unnamed(
    sheet: Headed, number: int, ids: dict[str, str], values: dict[str, str], reading: _Reading
) -> Refused | None:
    """Give a skein its lot's name and a number where the sheet names none; refuse a row that nothing names."""
    of = {BY_NAME[field].of for field in values}
    if "lot" not in ids:
        if "donor" in ids and "skein" not in ids and not of - {"donor"}:
            return None
        what = "lot" if "lot" in sheet.fields or "skein" not in ids else "lot or yarn"
        return refused(sheet, number, "lot", f"the {what} is not named here", "write its name in every row")
    if "skein" in ids:
        return None
    if "skein" in sheet.fields:
        hint = f"write a name for it, such as {ids['lot']}-1; each skein has one of its own"
        return refused(sheet, number, "skein", "the skein is not named here", hint)
    reading.numbers[ids["lot"]] += 1
    ids["skein"] = f"{ids['lot']}-{reading.numbers[ids['lot']]}"
    reading.derived.append(ids["skein"])
    return None


def _sample(values: dict[str, str]) -> str:
    """A sample told in columns of its own as a count."""
    keys = {"turns": "turns", "around": "around", "sample length": "length", "sample mass": "mass", "wraps": "wraps"}
    return "{" + ", ".join(f"{key}: {values[name]}" for name, key in keys.items() if name in values) + "}"
