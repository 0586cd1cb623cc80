"""Rows as the text of one new stash file, every line of which knows the rows it came from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.sheets.fields import BY_NAME, FIELDS
from planner.sheets.rows import REQUIRED, Refused, Row, cell_of, refused
from planner.sheets.values import within_brackets
from stash.nodes import short
from stash.quoting import quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stash.faults import Place

HEAD = "# Written by `lotwise import`, once; yours to change from here on."
LOT_KEYS = ("fibre", "colour", "scale", "count", "felts", "bleeds", "note")
SKEIN_KEYS = ("mass", "length", "pieces", "counted")
DONOR_KEYS = tuple(one.name for one in FIELDS if one.of == "donor")


@dataclass
class _Entry:
    """A donor or a lot as its rows tell it: field -> its value and the row that told it first."""

    rows: list[Row] = field(default_factory=list)
    told: dict[str, tuple[str, Row]] = field(default_factory=dict)


@dataclass
class Draft:
    """A stash file to be: its lines, and for each the rows it came from and its fields by the column each begins at."""

    lines: list[str] = field(default_factory=list)
    owners: list[tuple[tuple[Row, ...], dict[int, str]]] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    refused: list[Refused] = field(default_factory=list)
    names: dict[str, tuple[str, str, Row]] = field(default_factory=dict)  # folded id -> what it names, id, row

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"

    def add(self, line: str, rows: Iterable[Row] = (), *names: str) -> None:
        """Add a line of these rows; of several fields, each begins with its key."""
        self.lines.append(line)
        columns = {line.index(f" {name}: ") + 2 if place else 1: name for place, name in enumerate(names)}
        self.owners.append((tuple(rows), columns))

    def owner(self, place: Place) -> tuple[tuple[Row, ...], str | None]:
        """The rows and the field that stand at a place in the file; no rows where nothing of theirs does."""
        rows, columns = self.owners[place.line - 1] if place.line <= len(self.owners) else ((), {})
        return rows, next((columns[at] for at in sorted(columns, reverse=True) if at <= place.column), None)


def draft(rows: Iterable[Row], known_donors: frozenset[str], heading: str) -> Draft:
    """The rows as a stash file; rows that contradict one another, or lack what a lot needs, are refused in it.

    A donor that is named and stands neither in the sheet nor among `known_donors` is written with nothing but its id.
    """
    made = Draft()
    donors: dict[str, _Entry] = {}
    lots: dict[str, _Entry] = {}
    for row in rows:
        if not _fits(row, donors, lots, made):
            continue
        made.rows.append(row)
    made.add(HEAD)
    made.add(heading)
    _add_donors(donors, known_donors, made)
    if lots:
        made.add("lots:")
    for lot, entry in lots.items():
        _add_lot(lot, entry, made)
    return made


def _fits(row: Row, donors: dict[str, _Entry], lots: dict[str, _Entry], made: Draft) -> bool:
    """Whether the row agrees with those before it; then it is noted."""
    ids = row.ids
    donor = donors.get(ids.get("donor", ""), _Entry())
    lot = lots.get(ids.get("lot", ""), _Entry())
    own = dict(row.values) | ({"donor": ids["donor"]} if "donor" in ids else {})
    of_donor = {name: text for name, text in own.items() if name in DONOR_KEYS}
    of_lot = {name: text for name, text in own.items() if name in {*LOT_KEYS, "donor"}}
    wrong = _taken(row, made) or _contradicts(row, of_donor, donor, f"donor {ids.get('donor')}")
    if not row.is_donor:
        wrong = wrong or _contradicts(row, of_lot, lot, f"lot {ids['lot']}") or _lacks(row, lot)
    if wrong is not None:
        made.refused.append(wrong)
        return False
    for what, name in ids.items():
        made.names.setdefault(name.casefold(), (what, name, row))
    if "donor" in ids:
        _note(donors.setdefault(ids["donor"], donor), row, of_donor)
    if not row.is_donor:
        _note(lots.setdefault(ids["lot"], lot), row, of_lot)
    return True


def _taken(row: Row, made: Draft) -> Refused | None:
    """A name is one thing's alone, capitals aside; only a lot and a donor are named in several rows."""
    seen: dict[str, str] = {}
    for what, name in row.ids.items():
        first_what, first, other = made.names.get(name.casefold(), (what, name, row))
        again = what == "skein" and name.casefold() in made.names
        if first_what != what or first != name or again or seen.setdefault(name.casefold(), what) != what:
            place = refused(other.sheet, other.number, first_what, "", "").place
            same = "is taken already" if first == name else f"differs from '{first}' only in capitals"
            message = f"the name '{name}' of this {what} {same}: see {place}"
            return refused(row.sheet, row.number, what, message, f"give one of them another name, such as {name}-b")
    return None


def _note(entry: _Entry, row: Row, told: dict[str, str]) -> None:
    entry.rows.append(row)
    for name, text in told.items():
        entry.told.setdefault(name, (text, row))


def _contradicts(row: Row, told: dict[str, str], entry: _Entry, whose: str) -> Refused | None:
    for name, text in told.items():
        first = entry.told.get(name)
        if first is not None and first[0] != text:
            other = refused(first[1].sheet, first[1].number, name, "", "")
            return refused(
                row.sheet,
                row.number,
                name,
                f"{whose} has another {name.removeprefix('donor ')} in {other.place}: '{short(other.own)}'",
                "write the same in both rows, or leave one of them blank",
            )
    return None


def _lacks(row: Row, lot: _Entry) -> Refused | None:
    for name in REQUIRED:
        if name not in row.values and name not in lot.told:
            return refused(row.sheet, row.number, name, f"{name} is blank: {BY_NAME[name].about}", _WHAT_TO_WRITE[name])
    if "donor" not in row.ids and any(BY_NAME[name].of == "donor" for name in row.values):
        return refused(row.sheet, row.number, "donor", "the donor is not named here", "write the garment's name")
    if not {"mass", "length"} & row.values.keys():
        return refused(
            row.sheet, row.number, "mass", "the skein has neither a mass nor a length", "weigh it: write it as 118 g"
        )
    return None


_WHAT_TO_WRITE = {
    "fibre": "write it like 80% wool, 20% polyamide; or unknown",
    "colour": 'write "#5b6770" or a CSS colour name such as teal',
    "count": "write it like 420 m/100g, Nm 2/12, a class such as dk, or {turns: 120, around: 1.5 m, mass: 42 g}",
}


def _add_donors(donors: dict[str, _Entry], known: frozenset[str], made: Draft) -> None:
    new = {name: entry for name, entry in donors.items() if name.casefold() not in known}
    if new:
        made.add("donors:")
    for name, entry in new.items():
        if not entry.told:
            made.add(f"  {quoted(name)}: {{{_in_own_words(name, entry)}}}", entry.rows, "donor")
            continue
        made.add(f"  {quoted(name)}:", entry.rows, "donor")
        for key in DONOR_KEYS:
            if key in entry.told:
                made.add(f"    {BY_NAME[key].key}: {entry.told[key][0]}", _with(entry, key), key)


def _in_own_words(name: str, entry: _Entry) -> str:
    """What a donor of which no more is told was called, where its id had to be made to fit."""
    row = next(row for row in entry.rows if "donor" in row.ids)
    written = " ".join(cell_of(row.sheet, row.number, row.sheet.fields["donor"].place).text.split())
    return "" if written == name else f"garment: {within_brackets(written)}"


def _add_lot(lot: str, entry: _Entry, made: Draft) -> None:
    made.add(f"  {quoted(lot)}:", entry.rows, "lot")
    if "donor" in entry.told:
        made.add(f"    donor: {quoted(entry.told['donor'][0])}", _with(entry, "donor"), "donor")
    for key in LOT_KEYS:
        if key in entry.told:
            made.add(f"    {key}: {entry.told[key][0]}", _with(entry, key), key)
    made.add("    skeins:")
    for row in entry.rows:
        told = {key: row.values[key] for key in SKEIN_KEYS if key in row.values}
        pairs = ", ".join(f"{key}: {value}" for key, value in told.items())
        value = next(iter(told.values())) if len(told) == 1 else f"{{{pairs}}}"
        made.add(f"      {quoted(row.ids['skein'])}: {value}", (row,), *told)


def _with(entry: _Entry, key: str) -> list[Row]:
    """Every row whose cell says so, or leaves it to the others."""
    return entry.rows if key == "donor" else [row for row in entry.rows if key in row.values] or entry.rows
