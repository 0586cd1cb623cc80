"""What a sheet leaves open: asked where someone can answer, else refused with the exact flags that would tell."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.faultprint import safe_text
from planner.prompting import Question, gather, someone_answers
from planner.sheets.fields import BY_NAME, FIELDS, LEAVE_OUT, SAMPLE
from planner.sheets.headers import map_flag, refuse_twice
from planner.show.tables import fold
from stash.nearest import suggest
from stash.nodes import short
from stash.units import UnitError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.sheets.headers import Column, Headed

_NEEDED = (({"lot"}, "lot"), ({"fibre"}, "fibre"), ({"colour"}, "colour"), ({"count", *SAMPLE}, "count"))
_MAY_BE = ", ".join(
    (*(one.name for one in FIELDS if one.of != "donor"), "or a garment's key such as donor garment or donor mass")
)
_QUANTITY = ({"mass", "length"}, "mass")


def settle(sheets: Sequence[Headed]) -> list[Headed]:
    """The sheets with every column known or left out. Raises AskError."""
    unknown = [(sheet, one) for sheet in sheets for one in sheet.columns if one.field is None and one.filled]
    if unknown and not someone_answers():
        raise _refusal(unknown)
    answers = _ask(unknown)
    settled = []
    for sheet in sheets:
        columns = [
            replace(one, field=one.field or answers.get((sheet.table.name, one.place), LEAVE_OUT))
            for one in sheet.columns
        ]
        settled.append(replace(sheet, columns=tuple(columns)))
    for sheet in settled:
        refuse_twice(sheet)
    _refuse_lacking(settled)
    return settled


def _ask(unknown: Sequence[tuple[Headed, Column]]) -> dict[tuple[str, int], str]:
    questions = [
        Question(
            _place(sheet, one),
            f"{_told(sheet, one)}: what is it? a field, or {LEAVE_OUT}:",
            _read,
            LEAVE_OUT,
        )
        for sheet, one in unknown
    ]
    lead = fold(f"A column may be {_MAY_BE}.")
    values = gather(questions, {}, lead=lead) if questions else {}
    return {(sheet.table.name, one.place): values[_place(sheet, one)] for sheet, one in unknown}


def _read(text: str) -> str:
    field = " ".join(text.split())
    if field not in BY_NAME and field != LEAVE_OUT:
        raise UnitError(
            f"'{short(field)}' is nothing a column can be", suggest(field, [*BY_NAME, LEAVE_OUT], "it may be")
        )
    return field


def _told(sheet: Headed, one: Column) -> str:
    head = f"headed '{short(one.header)}'" if one.header else "without a header"
    return safe_text(f"the column {head} ({_place(sheet, one)}), such as '{short(one.example)}'")


def _place(sheet: Headed, one: Column) -> str:
    return sheet.table.place(sheet.row, one.place)


def _refusal(unknown: Sequence[tuple[Headed, Column]]) -> AskError:
    bare = next(((sheet, one) for sheet, one in unknown if not one.header), None)
    if bare is not None:
        return AskError(f"it is not clear what this is: {_told(*bare)}", "write a header above it in the sheet")
    what = "; ".join(_told(sheet, one) for sheet, one in unknown)
    flags = " ".join(map_flag(one.header, LEAVE_OUT) for _, one in unknown)
    return AskError(
        f"it is not clear what this is: {what}",
        f"say what each is, or that it is to be left out: {flags}; it may be {_MAY_BE}",
    )


def _refuse_lacking(sheets: Sequence[Headed]) -> None:
    """What every lot needs must stand in some column; not where the sheets tell only of donors."""
    fields = {field for sheet in sheets for field in sheet.fields}
    if not fields - {"donor"} - {name for name in fields if BY_NAME[name].of == "donor"}:
        return
    missing = list(_lacking(fields))
    if missing:
        left = [one for sheet in sheets for one in sheet.columns if one.field == LEAVE_OUT and one.filled]
        head = left[0].header if left else "THEIR HEADER"
        raise AskError(
            f"no column tells {' nor '.join(f'the {name} ({BY_NAME[name].about})' for name in missing)}",
            f"add one to the sheet, or say which it is: {map_flag(head, missing[0])}",
        )


def _lacking(fields: set[str]) -> Iterator[str]:
    for any_of, name in (*_NEEDED, _QUANTITY):
        if not any_of & fields:
            yield name
