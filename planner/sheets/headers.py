"""Which row of a sheet holds its headers, and what stands below each: the field and, where it is told, the unit."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.sheets.fields import BY_HEAD, BY_NAME, LEAVE_OUT, NAMES, PLANS_OWN, WEIGHT
from stash.nearest import suggest
from stash.nodes import short
from stash.units import LENGTH_UNITS, MASS_UNITS, unit_meant
from stash.weightclass import named_class

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.sheets.table import Table

HEADER_WITHIN = 30  # rows from the top
OURS = re.compile(r"lotwise/[a-z]+-1( guarded)?")  # a header that says a program wrote the sheet, and how
GUARDED = " guarded"
STASH = "lotwise/stash-1"
_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]\s*")
_IN = re.compile(r"(.+?)\s+in\s+(\S.*)")
_COUNT = re.compile(r"([^\W\d_]+) ?(?:/|per) ?([0-9]{0,4}) ?([^\W\d_]+)")
_NUMBERED = {"tex", "dtex", "den"}


@dataclass(frozen=True)
class Column:
    """A column below a header; `field` None: nobody knows yet. `unit` is that of the header, "" where it has none."""

    place: int  # from 0
    header: str
    field: str | None
    unit: str
    example: str
    filled: int  # cells below it that are not blank


@dataclass(frozen=True)
class Headed:
    """A sheet whose headers were found in `row` (from 0). `ours`: the mark of a program's own sheet, else ""."""

    table: Table
    row: int
    columns: tuple[Column, ...]
    ours: str

    @property
    def known(self) -> int:
        return sum(one.field not in {None, LEAVE_OUT} for one in self.columns)

    @cached_property
    def fields(self) -> dict[str, Column]:
        return {one.field: one for one in self.columns if one.field is not None and one.field != LEAVE_OUT}


def recognised(header: str) -> bool:
    """Whether a header is one that is known, be it by its unit alone."""
    field, unit = _meaning(header)
    return field is not None or bool(unit) or OURS.fullmatch(header.strip()) is not None


def headed(table: Table, told: Mapping[str, str]) -> Headed | None:
    """The sheet with its headers; None where no row has two that are known. `told`: header -> field, by the user."""
    best: Headed | None = None
    for row in range(min(HEADER_WITHIN, len(table.rows))):
        found = _headed(table, row, told)
        if found.known > (best.known if best else 1):
            best = found
    return best


def read_maps(texts: Sequence[str]) -> dict[str, str]:
    """What `--map "Their header=our field"` tells. Raises AskError."""
    told: dict[str, str] = {}
    for text in texts:
        header, equals, field = text.rpartition("=")
        field = " ".join(field.split())
        if not equals or not header.strip():
            raise AskError(f"--map: '{short(text)}' has no '='", 'write --map "Their header=colour"')
        if field not in BY_NAME and field != LEAVE_OUT:
            hint = suggest(field, [*BY_NAME, LEAVE_OUT], "it may be")
            raise AskError(f"--map: '{short(field)}' is nothing a column can be", hint)
        told[_folded(header)] = field
    return told


def refuse_unused(told: Mapping[str, str], sheets: Sequence[Headed]) -> None:
    """A header that --map names and no sheet has is a slip. Raises AskError."""
    heads = {_folded(one.header): one.header for sheet in sheets for one in sheet.columns}
    for header in told:
        if header not in heads:
            raise AskError(f"--map: no column is headed '{short(header)}'", suggest(header, heads, "the headers are"))


def refuse_twice(sheet: Headed) -> None:
    """Two columns cannot be one field. Raises AskError."""
    many = Counter(one.field for one in sheet.columns if one.field not in {None, LEAVE_OUT})
    for field, number in many.items():
        if number > 1:
            both = [one for one in sheet.columns if one.field == field]
            heads = " and ".join(f"'{short(one.header)}' ({sheet.table.place(sheet.row, one.place)})" for one in both)
            hint = " or ".join(map_flag(one.header, LEAVE_OUT) for one in both)
            raise AskError(f"{number} columns are the {field}: {heads}", f"leave one out: {hint}")


def map_flag(header: str, field: str) -> str:
    """The flag that says what a column is, as it is written on the command line."""
    return f'--map "{" ".join(header.split())}={field}"'


def _headed(table: Table, row: int, told: Mapping[str, str]) -> Headed:
    columns = tuple(_column(table, row, place, told) for place in range(len(table.rows[row])))
    ours = next((one.header for one in columns if OURS.fullmatch(one.header)), "")
    kept = [one for one in columns if one.header or one.filled]
    return Headed(table, row, tuple(_named(kept, told)), ours)


def _column(table: Table, row: int, place: int, told: Mapping[str, str]) -> Column:
    header = " ".join(table.cell(row, place).text.split())
    below = [text for at in range(row + 1, len(table.rows)) if (text := table.cell(at, place).text.strip())]
    field, unit = _meaning(header)
    if OURS.fullmatch(header):
        field = LEAVE_OUT
    elif _folded(header) in told:
        field = told[_folded(header)]
    elif field == WEIGHT:
        field = _weight(unit, below)
    elif field is None:
        field = _by_unit(unit)
    return Column(place, header, field, unit, below[0] if below else "", len(below))


def _named(columns: Sequence[Column], told: Mapping[str, str]) -> Iterator[Column]:
    """With "name" or "id" as the lot's or the skein's, whichever has no column of its own; alone, a skein is a lot."""
    taken = {one.field for one in columns}
    for column in columns:
        field = column.field
        if field in NAMES:
            field = next((one for one in ("lot", "skein") if one not in taken), None)
            taken.add(field)
        elif field == "skein" and "lot" not in taken and not taken & set(NAMES) and _folded(column.header) not in told:
            field = "lot"
        yield replace(column, field=field)


def _meaning(header: str) -> tuple[str | None, str]:
    """A header's field, "name", "id" or "weight", and its unit, as far as its own words tell."""
    base, unit = _folded(header), ""
    for form in (_BRACKETS, _IN):
        if (found := form.fullmatch(" ".join(header.split()))) and (told := _unit(found[2])):
            base, unit = _folded(found[1]), told
            break
    else:
        if found := _BRACKETS.fullmatch(header):
            base = _folded(found[1]) or base
    if base.startswith(PLANS_OWN):
        return LEAVE_OUT, unit
    if base in {*NAMES, WEIGHT}:
        return base if base == WEIGHT else NAMES[0], unit
    field = BY_HEAD.get(base)
    if field is None and not unit:
        unit = _unit(header)
    return field, unit


def _folded(header: str) -> str:
    return " ".join(re.sub(r"[\s_:.*]+", " ", header.casefold()).split())


def _unit(text: str) -> str:
    """The unit a text is, in this program's way of writing; "" where it is none."""
    text = text.strip()
    if (plain := unit_meant(text)) is not None:
        return plain
    if text.lower() in _NUMBERED:
        return text.lower()
    if (found := _COUNT.fullmatch(text)) and (long := unit_meant(found[1])) and (heavy := unit_meant(found[3])):
        return f"{long}/{found[2]}{heavy}" if long in LENGTH_UNITS and heavy in MASS_UNITS else ""
    return ""


def _weight(unit: str, below: Sequence[str]) -> str | None:
    if unit in MASS_UNITS:
        return "mass"
    if unit:
        return _by_unit(unit)
    if below and all(named_class(text) for text in below):
        return "count"
    if below and all(re.search(r"[0-9]", text) and _unit(text.lstrip("0123456789., ")) in MASS_UNITS for text in below):
        return "mass"
    return None


def _by_unit(unit: str) -> str | None:
    """What a header that is only a unit stands above."""
    if not unit:
        return None
    return "length" if unit in LENGTH_UNITS else "mass" if unit in MASS_UNITS else "count"
