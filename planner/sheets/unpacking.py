"""A workbook's zip, looked through before a library unpacks it: no small file may fill the machine's memory."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from typing import Any
from xml.parsers import expat

from planner.sheets.table import SheetError

MOST_UNPACKED = 60_000_000
MOST_CELLS = 250_000  # rows x columns: a reader keeps the blank ones between too
MOST_ELEMENTS = 1_000_000  # of a workbook's XML: they take two seconds to go through
MOST_PARTS = 2_000
_AT = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
SPLIT = "split the sheet, or copy the rows that matter into a new one"
_AGAIN = "open it in the program that made it and save it once more as .xlsx, .ods or .csv"


def unpacked(data: bytes, name: str) -> bytes:
    """The same workbook in a zip that is what it says: every part read once, within its stated size.

    Raises SheetError: not a workbook, too large when unpacked, too many cells, locked.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _repacked(packed, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, UnicodeDecodeError):
        raise SheetError(f"{name} is damaged or locked with a password: it cannot be unpacked", _AGAIN) from None


def _repacked(packed: zipfile.ZipFile, name: str) -> bytes:
    parts = packed.infolist()
    whole = sum(part.file_size for part in parts)
    if whole > MOST_UNPACKED or len(parts) > MOST_PARTS:
        raise SheetError(
            f"{name} would unpack to {whole / 1e6:.0f} MB in {len(parts)} parts; "
            f"{MOST_UNPACKED / 1e6:.0f} MB is the most",
            SPLIT,
        )
    names = {part.filename for part in parts}
    if "xl/workbook.xml" not in names and "content.xml" not in names:
        raise SheetError(f"{name} is a zipped file, but not a spreadsheet lotwise reads", _AGAIN)
    out = io.BytesIO()
    extent = _Extent()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as again:
        for part in parts:
            content = packed.read(part)
            if part.filename.endswith(".xml"):
                _check_cells(content, name, extent)
            again.writestr(part.filename, content)
    return out.getvalue()


def _check_cells(content: bytes, name: str, extent: _Extent) -> None:
    """Refuse a sheet whose filled cells span too many; a repeated row of a few bytes may be a million rows."""
    parser = expat.ParserCreate()
    parser.StartElementHandler = extent.start
    parser.EndElementHandler = extent.end
    parser.StartDoctypeDeclHandler = _no_doctype
    try:
        parser.Parse(content, True)
    except (expat.ExpatError, ValueError):
        raise SheetError(f"{name} is damaged: a part of it cannot be read", _AGAIN) from None
    except _TooManyError:
        raise SheetError(f"{name} holds more than {MOST_ELEMENTS:,} cells, texts and formats", SPLIT) from None
    if extent.most > MOST_CELLS:
        raise SheetError(f"{name} spans {extent.most:,} cells; {MOST_CELLS:,} is the most", SPLIT)


def _no_doctype(*_: Any) -> None:
    raise ValueError("a spreadsheet has no document type")


class _TooManyError(Exception):
    """There are more elements than can be gone through in good time."""


class _Extent:
    """How far the filled cells of a sheet reach, as its elements go by; both formats, told apart by their names."""

    def __init__(self) -> None:
        self.elements = 0  # of all parts
        self.most = 0  # cells of the largest table
        self.row = self.column = 0  # where the next cell stands, from 0
        self.rows = self.columns = 0  # filled so far, of this table
        self.repeat_row = self.repeat_cell = 1
        self.filled = False

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        if self.elements > MOST_ELEMENTS:
            raise _TooManyError
        own = tag.rpartition(":")[2]
        plain = {key.rpartition(":")[2]: value for key, value in attributes.items()}
        if own in {"table", "sheetData"}:
            self.row = self.column = self.rows = self.columns = 0
        elif own in {"row", "table-row"}:
            self.column = 0
            self.repeat_row = _number(plain.get("number-rows-repeated", "1"))
            if "r" in plain:
                self.row = _number(plain["r"]) - 1
        elif own in {"c", "table-cell", "covered-table-cell"}:
            self.repeat_cell = _number(plain.get("number-columns-repeated", "1"))
            self.filled = "value-type" in plain
            if found := _AT.fullmatch(plain.get("r", "")):
                self.row, self.column = int(found[2]) - 1, _place(found[1])
        elif own in {"v", "t", "p"}:
            self.filled = True

    def end(self, tag: str) -> None:
        own = tag.rpartition(":")[2]
        if own in {"c", "table-cell", "covered-table-cell"}:
            self.column += self.repeat_cell
            if self.filled:
                self.rows = max(self.rows, self.row + self.repeat_row)
                self.columns = max(self.columns, self.column)
                self.most = max(self.most, self.rows * self.columns)
            self.filled = False
        elif own in {"row", "table-row"}:
            self.row += self.repeat_row
            self.repeat_row = 1


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 1


def _place(name: str) -> int:
    place = 0
    for letter in name:
        place = 26 * place + ord(letter) - ord("A") + 1
    return place - 1
