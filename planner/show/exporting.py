"""What was written into a spreadsheet, as text and as a document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.faultprint import safe_text
from planner.sheets.writing import csv_bytes
from planner.show.tables import fold
from planner.show.words import counted

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from planner.sheets.writing import Sheet


def export_text(file: Path, data: bytes, sheets: Sequence[Sheet], *, rehearsed: bool) -> str:
    """What was written; in a rehearsal every row as well.

    For a text file those are its bytes, but for the mark in front and what a terminal would act on.
    """
    word = "would be written" if rehearsed else "was written"
    told = ", ".join(f"{sheet.name} ({counted(len(sheet.rows), 'row')})" for sheet in sheets)
    lines = [fold(f"{safe_text(file.name)} {word}: {told}.")]
    if rehearsed and file.suffix.lower() == ".csv":
        lines += [f"--- {safe_text(file.name)} ---\n{_shown(data)}--- end ---"]
    elif rehearsed:
        lines += [f"--- sheet {sheet.name} ---\n{_shown(csv_bytes([sheet], raw=True))}--- end ---" for sheet in sheets]
    return "\n\n".join(lines)


def export_document(file: Path, sheets: Sequence[Sheet], *, rehearsed: bool) -> dict[str, Any]:
    """What `export` answers."""
    return {
        "format": "lotwise/export-1",
        "file": str(file),
        "written": not rehearsed,
        "sheets": [
            {"sheet": sheet.name, "headers": list(sheet.headers), "rows": [list(row) for row in sheet.rows]}
            for sheet in sheets
        ],
    }


def _shown(data: bytes) -> str:
    lines = data.decode().removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    return "\n".join(safe_text(line) for line in lines)
