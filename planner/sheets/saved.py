"""A saved plan as the document that its winding list is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.saved import load_saved
from planner.sheets.answers import plan_sheets
from planner.sheets.table import SheetError

if TYPE_CHECKING:
    from pathlib import Path

MOST = 1e12  # of any figure


def saved_plan(folder: Path, name: str) -> dict[str, Any]:
    """The document plans/NAME.json. Raises AskError, FaultyFilesError, SheetError, OSError."""
    saved = load_saved(folder, name)
    document = dict(saved.document)
    if not _is_whole(document):
        raise SheetError(f"{saved.file} is not a saved plan", "leave --plan out to plan anew")
    return document


def _is_whole(document: dict[str, Any]) -> bool:
    """Whether all that a winding list takes is there, as text and numbers."""
    try:
        sheets = plan_sheets(document, "metric")
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
        return False
    values = (value for sheet in sheets for row in sheet.rows for value in row)
    return all(isinstance(one, str) or (isinstance(one, int | float) and abs(one) < MOST) for one in values)
