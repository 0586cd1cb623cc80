"""What came of a spreadsheet, as text and as a document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.faultprint import safe_text
from planner.sheets.fields import BY_NAME, LEAVE_OUT
from planner.sheets.headers import OURS
from planner.sheets.table import letters
from planner.show.documents import error_document
from planner.show.tables import fold, table
from planner.show.words import counted
from stash.nearest import name_some
from stash.nodes import short

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.sheets.headers import Column, Headed
    from planner.sheets.importing import Imported, Known
    from planner.sheets.rows import Refused

MOST_TOLD = 20


def import_text(found: Imported) -> str:
    """What was understood, what is new, what was in the stash already, what could not be read, what is written."""
    parts = [_understood(sheet) for sheet in found.sheets]
    if found.passed_over:
        parts.append(fold(f"Not read: {_sheets(found.passed_over)}. Read another with --sheet NAME."))
    parts += _names(found)
    parts.append("\n".join(fold(line) for line in _came_of(found)))
    parts += [_refusal(one) for one in found.refused[:MOST_TOLD]]
    if len(found.refused) > MOST_TOLD:
        parts.append(f"and {len(found.refused) - MOST_TOLD} more")
    parts.append("\n".join(fold(line) for line in _files(found)))
    if found.rehearsed:
        parts += [f"--- {file.name} ---\n{_shown(file.data)}--- end ---" for file in found.files]
    return "\n\n".join(part for part in parts if part)


def import_document(found: Imported) -> dict[str, Any]:
    """What `import` answers."""
    return {
        "format": "lotwise/import-1",
        "sheets": [
            {
                "sheet": sheet.table.name,
                "header_row": sheet.row + 1,
                "columns": [
                    {
                        "column": letters(one.place),
                        "header": one.header,
                        "field": None if one.field == LEAVE_OUT else one.field,
                        "unit": one.unit or None,
                        "example": one.example,
                        "rows": one.filled,
                    }
                    for one in sheet.columns
                ],
            }
            for sheet in found.sheets
        ],
        "sheets_not_read": list(found.passed_over),
        "skeins_added": [row.ids["skein"] for row in found.rows if not row.is_donor],
        "donors_added": [row.ids["donor"] for row in found.rows if row.is_donor],
        "already_there": [{"name": _name(one), "file": one.file, "differs": one.differs} for one in found.known],
        "names_fitted": dict(found.names.fitted),
        "refused": [{"cell": one.place, "message": one.message, "hint": one.hint} for one in found.refused],
        "refused_kept_in": found.kept or None,
        "written": not found.rehearsed,
        "files": [{"file": file.name, "text": file.data.decode()} for file in found.files],
        "warnings": error_document("", "", found.warnings)["faults"],
    }


def _understood(sheet: Headed) -> str:
    head = f"Sheet {safe_text(sheet.table.name)}, headers in row {sheet.row + 1}:"
    cells = [
        (
            letters(one.place),
            safe_text(short(one.header, 24)),
            *_meaning(one),
            safe_text(short(one.example, 24)),
            str(one.filled),
        )
        for one in sheet.columns
        if one.filled and not OURS.fullmatch(one.header)
    ]
    headers = ("", "column header", "is", "unit", "such as", "rows")
    return f"{fold(head)}\n\n{table(cells, headers, 'lllllr', wrap=4, indent='  ')}"


def _meaning(column: Column) -> tuple[str, str]:
    if column.field == LEAVE_OUT or column.field is None:
        return "left out", ""
    told = BY_NAME[column.field].kind in {"length", "mass"}
    return column.field, column.unit or ("in the cells" if told and column.filled else "")


def _names(found: Imported) -> Iterator[str]:
    if found.names.fitted:
        told = name_some([f"'{safe_text(short(own))}' as {fitted}" for own, fitted in found.names.fitted.items()])
        yield fold(f"Names are plain letters, digits, - and _, so these were made to fit: {told}.")
    if found.names.derived:
        yield fold(f"The sheet names no skeins; they are named after their lots: {name_some(found.names.derived)}.")


def _came_of(found: Imported) -> Iterator[str]:
    skeins = [row for row in found.rows if not row.is_donor]
    lots = {row.ids["lot"] for row in skeins}
    donors = len(found.rows) - len(skeins)
    also = f" and {counted(donors, 'donor')}" if donors else ""
    yield f"New: {counted(len(skeins), 'skein')} of {counted(len(lots), 'lot')}{also}."
    if found.known:
        names = name_some([_name(one) for one in found.known])
        yield f"In the stash already, and left out: {counted(len(found.known), 'row')} ({names})."
    if other := [_name(one) for one in found.known if one.differs]:
        yield f"Another mass or length than in your files, which stay as they are: {name_some(other)}."
    if found.refused:
        yield f"Not read: {counted(len(found.refused), 'row')}."


def _name(known: Known) -> str:
    return known.row.ids["donor" if known.row.is_donor else "skein"]


def _refusal(one: Refused) -> str:
    own = short(safe_text(one.own), 70)
    lines = [fold(f"{safe_text(one.place)}: {safe_text(one.message)}", hanging="    ")]
    return "\n".join(
        [*lines, *([f"    {own}"] if own.strip() else []), fold(f"  hint: {safe_text(one.hint)}", hanging="    ")]
    )


def _files(found: Imported) -> Iterator[str]:
    word = "would be written" if found.rehearsed else "was written"
    for file in found.files:
        if file.name.endswith(".yaml"):
            yield f"{file.name} {word}."
        else:
            yield f"{file.name} {word}: the rows that were not read, each with why. Put right, it can be imported."
    if found.kept:
        yield f"The rows that were not read lie in {found.kept} already."
    if not found.files:
        yield "There is nothing new to write."


def _sheets(names: tuple[str, ...]) -> str:
    told = name_some([safe_text(name) for name in names])
    return f"sheet {told}" if len(names) == 1 else f"sheets {told}"


def _shown(data: bytes) -> str:
    """A file's text; what a terminal would act on is written out."""
    text = data.decode()
    return "".join(f"{safe_text(line)}\n" for line in text.removeprefix("\ufeff").replace("\r\n", "\n").splitlines())
