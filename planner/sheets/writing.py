"""Sheets as the bytes of a spreadsheet file: nothing in them is a formula or a link, whatever it begins with."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.sheets.reading import INSTALL

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

Value = str | int | float
# What spreadsheets take for a formula in a text file is led by an apostrophe (OWASP, CSV Injection); so is text that
# would look led by one already, so that taking one off gives the text back.
_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
ENDINGS = (".xlsx", ".csv")
_WIDEST = 60  # characters of a column


@dataclass(frozen=True)
class Sheet:
    """A sheet to be written; every row as long as `headers`, "" for a blank cell."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def check_ending(path: Path) -> None:
    """Raises AskError for a name that no format belongs to."""
    if path.suffix.lower() not in ENDINGS:
        raise AskError(
            f"'{path.name}' ends neither in .xlsx nor in .csv", "name the file such as stash.xlsx or stash.csv"
        )


def sheet_bytes(sheets: Sequence[Sheet], path: Path, *, raw: bool) -> bytes:
    """The file's bytes, in the format its name ends in; the same sheets give the same bytes. Raises AskError."""
    if path.suffix.lower() == ".csv":
        return csv_bytes(sheets, raw=raw)
    return _xlsx(sheets)


def csv_bytes(sheets: Sequence[Sheet], *, raw: bool) -> bytes:
    """The sheets as one table, a sheet's rows below another's; columns of the same header are one."""
    heads = tuple(dict.fromkeys(head for sheet in sheets for head in sheet.headers))
    told = [dict(zip(sheet.headers, row, strict=True)) for sheet in sheets for row in sheet.rows]
    return csv_table(heads, [tuple(row.get(head, "") for head in heads) for row in told], raw=raw)


def csv_table(heads: tuple[str, ...], rows: Sequence[tuple[Value, ...]], *, raw: bool) -> bytes:
    """A table as RFC 4180, in UTF-8 with the mark spreadsheets look for; text in quotes, numbers bare.

    `raw`: text that looks like a formula is left as it is.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC)
    for row in (heads, *rows):
        writer.writerow(row if raw else [guarded(one) if isinstance(one, str) else one for one in row])
    return b"\xef\xbb\xbf" + out.getvalue().encode()


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if _FORMULA.match(text) else text


def _xlsx(sheets: Sequence[Sheet]) -> bytes:
    try:
        import xlsxwriter  # noqa: PLC0415 - an extra that may not be there
    except ImportError:
        raise AskError("spreadsheets cannot be written yet", f"{INSTALL}; or write a .csv file") from None
    out = io.BytesIO()
    plain = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(out, plain)
    book.set_properties({"created": dt.datetime(2000, 1, 1, tzinfo=dt.UTC)})  # no clock in a file
    bold = book.add_format({"bold": True})
    for sheet in sheets:
        page = book.add_worksheet(sheet.name)
        page.freeze_panes(1, 0)
        for row, cells in enumerate((sheet.headers, *sheet.rows)):
            for column, value in enumerate(cells):
                if isinstance(value, str):
                    page.write_string(row, column, value, bold if row == 0 else None) if value else None
                else:
                    page.write_number(row, column, value)
        for column, head in enumerate(sheet.headers):
            widest = max(len(str(row[column])) for row in (sheet.headers, *sheet.rows))
            page.set_column(column, column, min(max(widest, len(head)) + 1, _WIDEST))
        if sheet.rows:
            page.ignore_errors({"number_stored_as_text": f"A1:XFD{len(sheet.rows) + 1}"})
    book.close()
    return out.getvalue()
