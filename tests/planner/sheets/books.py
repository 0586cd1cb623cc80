"""Spreadsheet files made by other libraries than those that read them: openpyxl for .xlsx, odfpy for .ods."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import openpyxl
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

HEADS = ["skein", "lot", "fibre", "colour", "count", "mass (g)"]
ROW = ["slate-1", "slate", "80% wool, 20% polyamide", "#5b6770", "230 m/100g", 118]


def xlsx(sheets: dict[str, list[list[Any]]], merged: tuple[str, ...] = ()) -> bytes:
    """A workbook; `merged`: ranges of its first sheet."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    for cells in merged:
        book.worksheets[0].merge_cells(cells)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def ods(sheets: dict[str, list[list[Any]]]) -> bytes:
    """A document in the OpenDocument format; numbers are numbers, all else is text."""
    document = OpenDocumentSpreadsheet()
    for name, rows in sheets.items():
        table = Table(name=name)
        for row in rows:
            line = TableRow()
            for value in row:
                if isinstance(value, int | float):
                    cell = TableCell(valuetype="float", value=str(value))
                else:
                    cell = TableCell(valuetype="string")
                cell.addElement(P(text="" if value is None else str(value)))
                line.addElement(cell)
            table.addElement(line)
        document.spreadsheet.addElement(table)
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def rezipped(data: bytes, parts: dict[str, bytes]) -> bytes:
    """The same zip with these parts in place of, or beside, its own."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, content in parts.items():
            new.writestr(name, content)
    return out.getvalue()
