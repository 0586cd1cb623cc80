"""Reading a spreadsheet file, .xlsx, .ods or .csv, into tables of text."""

from __future__ import annotations

import csv
import datetime as dt
import io
import stat
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.sheets.headers import recognised
from planner.sheets.table import BLANK, Cell, SheetError, Table
from planner.sheets.unpacking import MOST_CELLS, SPLIT, unpacked

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

MOST_BYTES = 20_000_000
MOST_ROWS = 10_000
MOST_COLUMNS = 1_000
MOST_TEXT_BYTES = 5_000_000
DELIMITERS = (",", ";", "\t")
HEADER_WITHIN = 30  # rows from the top
INSTALL = "install what reads and writes them: pip install 'lotwise[sheets]', or here pip install '.[sheets]'"
_AS_UTF8 = "save it again as CSV in UTF-8 (the dialog for saving has a choice of character set), or as .xlsx or .ods"


def read_tables(path: Path) -> tuple[Table, ...]:
    """Every sheet of the file, in its order. Raises SheetError, OSError; AskError where a library is missing."""
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):
        raise SheetError(f"{path.name} is not a plain file", "name a file that ends in .xlsx, .ods or .csv")
    if status.st_size > MOST_BYTES:
        raise SheetError(f"{path.name} is {status.st_size / 1e6:.0f} MB; {MOST_BYTES / 1e6:.0f} MB is the most", SPLIT)
    data = path.read_bytes()
    if data.startswith(b"PK\x03\x04"):
        return _workbook(unpacked(data, path.name), path.name)
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise SheetError(
            f"{path.name} is in an older format, or locked with a password", "save it as .xlsx, .ods or .csv, unlocked"
        )
    if path.suffix.lower() in {".xlsx", ".ods"}:
        raise SheetError(f"{path.name} is not what its name says", "save it again as .xlsx, .ods or .csv")
    return (read_csv(data, path.name),)


def _workbook(data: bytes, name: str) -> tuple[Table, ...]:
    try:
        import python_calamine as calamine  # noqa: PLC0415 - an extra that may not be there
    except ImportError:
        raise AskError(f"{name}: spreadsheets cannot be read yet", INSTALL) from None
    try:
        with calamine.CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            sheets = [one.name for one in book.sheets_metadata if one.typ == calamine.SheetTypeEnum.WorkSheet]
            return tuple(_table(book.get_sheet_by_name(sheet), name) for sheet in sheets)
    except calamine.CalamineError as error:
        raise SheetError(f"{name} cannot be read: {error}", "save it again as .xlsx, .ods or .csv") from None


def _table(sheet: Any, name: str) -> Table:
    height = sheet.end[0] + 1 if sheet.end else 0
    if height > MOST_ROWS:
        raise _too_long(f"{name}, sheet {sheet.name},", height)
    rows = [[_cell(value) for value in row] for row in sheet.to_python(skip_empty_area=False)]
    for (top, left), (bottom, right) in sheet.merged_cell_ranges or ():
        told = rows[top][left] if top < len(rows) and left < len(rows[top]) else BLANK
        for row in rows[top : bottom + 1]:
            row[left : right + 1] = [told] * len(row[left : right + 1])
    return Table(sheet.name, tuple(tuple(row) for row in rows))


def _too_long(what: str, rows: int) -> SheetError:
    return SheetError(f"{what} has {rows:,} rows; {MOST_ROWS:,} is the most", "split it into several files")


def _cell(value: Any) -> Cell:
    if isinstance(value, str):
        return Cell(value) if value else BLANK
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        return Cell(f"{value:.15g}", "number")  # spreadsheets hold 15 digits: what lies beyond is the machine's
    if isinstance(value, dt.datetime) and value.time() == dt.time():
        value = value.date()
    return Cell(str(value), "date")


def read_csv(data: bytes, name: str) -> Table:
    """The table in comma, semicolon or tab separated text (RFC 4180): whichever makes most headers readable."""
    if len(data) > MOST_TEXT_BYTES:
        raise SheetError(f"{name} is {len(data) / 1e6:.1f} MB; 5 MB is the most", "split it into several files")
    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode()
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise SheetError(f"{name} is not in UTF-8: line {line} holds something else", _AS_UTF8) from None
    if "\x00" in text:
        raise SheetError(f"{name} is not in UTF-8, or no text at all", _AS_UTF8)
    found: list[tuple[tuple[int, int], list[list[str]]]] = []
    wrong: list[str] = []
    for mark in DELIMITERS:
        try:
            rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True))
        except csv.Error as error:
            wrong.append(str(error))
        else:
            found.append((_readable(rows), rows))
    if not found:
        raise SheetError(f"{name} cannot be read as a table: {wrong[0]}", "look for a quote that is not closed")
    rows = [_filled(row) for row in max(found, key=lambda one: one[0])[1]]
    if len(rows) > MOST_ROWS:
        raise _too_long(name, len(rows))
    _refuse_too_many(rows, name)
    return Table(name, tuple(tuple(Cell(text) for text in row) for row in rows))


def _filled(row: list[str]) -> list[str]:
    """The row without the blanks at its end, of which some programs write thousands."""
    last = next((at for at in range(len(row), 0, -1) if row[at - 1].strip()), 0)
    return row[:last]


def _refuse_too_many(rows: Sequence[Sequence[str]], name: str) -> None:
    widest, cells = max(map(len, rows), default=0), sum(map(len, rows))
    if widest > MOST_COLUMNS:
        raise SheetError(f"{name} has {widest:,} columns; {MOST_COLUMNS:,} is the most", SPLIT)
    if cells > MOST_CELLS:
        raise SheetError(f"{name} has {cells:,} cells; {MOST_CELLS:,} is the most", SPLIT)


def _readable(rows: Sequence[Sequence[str]]) -> tuple[int, int]:
    """How many headers are known in the row that has most, and how wide the first rows are."""
    first = rows[:HEADER_WITHIN]
    known = max((sum(recognised(text) for text in row[:MOST_COLUMNS]) for row in first), default=0)
    return known, max((len(row) for row in first), default=0)
