"""A saved plan, read from the workspace's plans/ folder."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.sheets.answers import plan_sheets
from planner.sheets.table import SheetError
from stash.kinds import ID
from stash.nearest import suggest
from stash.nodes import short

if TYPE_CHECKING:
    from pathlib import Path

FORMAT = "lotwise/plan-1"
MOST_BYTES = 50_000_000


def saved_plan(folder: Path, name: str) -> dict[str, Any]:
    """The document plans/NAME.json. Raises AskError, SheetError, OSError."""
    place = folder / "plans"
    known = sorted(one.stem for one in place.glob("*.json")) if place.is_dir() else []
    if not ID.fullmatch(name) or name not in known:
        hint = suggest(name, known, "the saved plans are") if known else "there are none; leave --plan out to plan anew"
        raise AskError(f"--plan: there is no saved plan '{short(name)}'", hint)
    data = (place / f"{name}.json").read_bytes()
    try:
        document = json.loads(data) if len(data) <= MOST_BYTES else None
    except (ValueError, RecursionError):
        document = None
    if not isinstance(document, dict) or document.get("format") != FORMAT or not _is_whole(document):
        raise SheetError(f"plans/{name}.json is not a saved plan", "leave --plan out to plan anew")
    return document


def _is_whole(document: dict[str, Any]) -> bool:
    """Whether all that a winding list takes is there, as text and numbers."""
    try:
        sheets = plan_sheets(document, "metric")
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
        return False
    return all(isinstance(value, str | int | float) for sheet in sheets for row in sheet.rows for value in row)
