"""What serves a stretch: working yarns with their lengths, what they gain and what they take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.priced.rated import Places

    Lengths = tuple[tuple[Places, int], ...]  # of each working yarn, the cm that it carries


@dataclass(frozen=True, order=True)
class Run:
    """A working yarn in a stretch: place of the need, of the stretch, of each strand's lot; how long."""

    need: int
    step: int
    strands: Places
    length_cm: int


@dataclass(frozen=True)
class Offer:
    """Runs that serve a stretch, what they gain at the prices asked with, and what they take by lot in cm."""

    gain: float
    runs: tuple[Run, ...]
    takes: Mapping[int, float]
    joins: int


@dataclass(frozen=True)
class Share:
    """A yarn that may carry part of a need: gain for a cm, cost however short, longest run in cm."""

    gain: float
    cost: float
    most: int
    strands: Places
