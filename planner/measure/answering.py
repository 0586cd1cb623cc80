"""`measure` from what was told to what is answered: ask, work out, and write a lot where that was wished."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patterns.read_projects import CONFIDENCE
from planner.asking import AskError, read_confidence
from planner.measure.asking import ask_measure
from planner.measure.figures import Measurement, measure
from planner.measure.lotasking import ask_lot, ask_name, must_tell_fibre
from planner.measure.newlot import Added, add_lot, known_stash
from planner.workspace import load_workspace

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction
    from pathlib import Path

    Given = Mapping[str, str | Sequence[str] | None]


def run_measure(
    folder: Path, yarn: Given, lot: Given, add: str | None, confidence: str | None, *, rehearse: bool
) -> tuple[Measurement, Added | None]:
    """Measure a yarn as told by flags or prompts; `add`: the new lot's name, `lot`: what else was told of it.

    Raises AskError, FaultyFilesError where the workspace is faulty, OSError where a file cannot be read or written.
    """
    if add is None and (rehearse or any(lot.values())):
        odd = next((flag for flag, value in lot.items() if value), "--dry-run")
        raise AskError(f"{odd} tells of a new lot, but none is named", "name it with --add, such as --add tide")
    prompted = not any(yarn.values())
    stash = known_stash(folder) if prompted or add is not None else None
    sure = read_confidence(confidence, _usual_confidence(folder))
    told = ask_measure(yarn)
    found = measure(told, sure)
    if stash is None or (told.yarn is None and add is None):
        return found, None
    if told.yarn is None:
        raise AskError("a lot needs a count, and nothing was weighed", "tell what the measured yarn weighs: --mass")
    name = ask_name(stash, add, prompted=prompted)
    if name is None:
        return found, None
    if not prompted:
        must_tell_fibre(yarn)
    return found, add_lot(folder, ask_lot(name, told, stash, lot), told, rehearse=rehearse)


def _usual_confidence(folder: Path) -> Fraction:
    """What projects.yaml says, where there is one, else 95 %."""
    if (folder / "projects.yaml").exists():
        return load_workspace(folder).projects.confidence
    return CONFIDENCE
