"""Strips of yarn: bands side by side, as wide as there is of each."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from planner.pages.page import WIDE

if TYPE_CHECKING:
    from collections.abc import Sequence

LABEL = 7.0  # percent of a strip that a letter takes: 20 px on the narrowest phone
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Span:
    """Where a band begins and how wide it is, both in percent of the picture."""

    start: float
    width: float

    @property
    def middle(self) -> float:
        return self.start + self.width / 2

    @property
    def end(self) -> float:
        return self.start + self.width


def spans(amounts: Sequence[float], whole: float | None = None) -> list[Span]:
    """Bands one after another, in proportion to `amounts`; `whole`: the amount that fills the picture, else theirs."""
    full = math.fsum(amounts) if whole is None else whole
    ends = [0.0, *(WIDE * end / full for end in accumulate(amounts))]
    return [Span(start, end - start) for start, end in pairwise(ends)]


def letter(place: int) -> str:
    """A, B, ... Z, AA, AB ...: what a band is called, from 0."""
    if place < len(LETTERS):
        return LETTERS[place]
    return letter(place // len(LETTERS) - 1) + LETTERS[place % len(LETTERS)]


def apart(places: Sequence[float], room: float = LABEL) -> list[float]:
    """Places for labels, in order, at least `room` from one another and as near to theirs as that allows.

    Where there is no such room for all, they share what there is.
    """
    if not places:
        return []
    room = min(room, WIDE / len(places))
    pushed: list[float] = []
    for place in places:
        pushed.append(max(place, pushed[-1] + room if pushed else room / 2))
    limit = WIDE - room / 2
    for at in reversed(range(len(pushed))):
        pushed[at] = min(pushed[at], limit)
        limit = pushed[at] - room
    return pushed
