"""`needs` from what was told to what is answered: ask, estimate, and make or save a pattern file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from patterns.read_projects import CONFIDENCE
from patterns.shapes import ShapeError
from planner.asking import AskError, read_confidence
from planner.needs.asking import ask_needs
from planner.needs.estimate import Estimate, estimate
from planner.needs.file import pattern_text, save_pattern

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    Given = Mapping[str, str | Sequence[str] | None]


@dataclass(frozen=True)
class Done:
    """The estimate, the text of its pattern file where one was asked for, and where that was saved."""

    found: Estimate
    pattern: str | None
    saved: str | None


def run_needs(folder: Path, given: Given, confidence: str | None) -> Done:
    """Estimate what was asked for. No file is read: a pattern can be made before there is a workspace.

    Raises AskError, OSError where the pattern cannot be saved, FileExistsError where one of that name is there.
    """
    if given.get("--save") and not given.get("--pattern"):
        raise AskError(
            "--save saves a pattern file, but none is named", "name it with --pattern, such as --pattern tern"
        )
    sure = read_confidence(confidence, CONFIDENCE)
    asked = ask_needs(given)
    try:
        found = estimate(asked.wish, sure)
    except ShapeError as error:
        raise AskError(str(error), error.hint) from None
    text = None if asked.pattern is None else pattern_text(found, asked.pattern)
    saved = None
    if asked.save and asked.pattern is not None and text is not None:
        saved = save_pattern(folder, asked.pattern, text)
    return Done(found, text, saved)
