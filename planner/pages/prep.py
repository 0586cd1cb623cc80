"""A work sheet as a page: steps to tick off, lines to write on, and what to mind at each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.page import write_page
from planner.pages.shades import Palette
from planner.prep.steps import SELLING
from planner.show.prep import what_it_is

if TYPE_CHECKING:
    from planner.prep.sheet import WorkSheet

Run = tuple[str, int]  # words, and how many letters to leave room for behind them
_BLANK = re.compile(r"(.*?)(_{3,}|$)", re.DOTALL)


@dataclass(frozen=True)
class SheetStep:
    """One step; `blanks`: lines to write on."""

    number: int
    title: str
    do: tuple[str, ...]
    cautions: tuple[str, ...]
    blanks: tuple[tuple[Run, ...], ...]


def prep_page(sheet: WorkSheet) -> str:
    """The page of a work sheet."""
    palette = Palette()
    steps = [
        SheetStep(number, step.title, step.do, step.cautions, tuple(map(with_room, step.blanks)))
        for number, step in enumerate(sheet.steps, 1)
    ]
    return write_page(
        "prep.html",
        "Work sheet",
        palette,
        donor=sheet.donor or "",
        what=what_it_is(sheet),
        shade=None if sheet.garment.colour is None else palette.shade(sheet.garment.colour),
        steps=steps,
        lot=[with_room(line) for line in sheet.blanks],
        selling=SELLING,
    )


def with_room(line: str) -> tuple[Run, ...]:
    """A line with its blanks: words, then room for so many letters, again and again."""
    return tuple((words, len(blank)) for words, blank in _BLANK.findall(line) if words or blank)
