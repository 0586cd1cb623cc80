"""A plan as plain numbers: what is made, from which skein, how much. Lengths in whole centimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction


class UndecidedError(Exception):
    """Nothing was found in the time allowed."""


@dataclass(frozen=True, order=True)
class Take:
    """One piece taken: `piece`, its place in the skein as listed, and `strand`, in the working yarn, count from 1."""

    strand: int
    lot: str
    skein: str
    piece: int
    take_cm: int  # held in it: the two woven-in ends


@dataclass(frozen=True)
class YarnRun:
    """One working yarn in one stretch; `lots`: lot -> strands; `part` None when the need is not divided."""

    lots: Mapping[str, int]
    length_cm: int
    part: str | None
    takes: tuple[Take, ...]


@dataclass(frozen=True)
class PlannedNeed:
    need: str
    planned_cm: int
    runs: tuple[YarnRun, ...]


@dataclass(frozen=True)
class PlannedProject:
    """A project that is made in `size`, or not made (size None, no needs)."""

    project: str
    pattern: str
    size: str | None
    needs: tuple[PlannedNeed, ...]

    @property
    def made(self) -> bool:
        return self.size is not None


@dataclass(frozen=True)
class Plan:
    """A whole plan and what is proved of it; aim and bound in the aim's unit (grams, projects, lots)."""

    projects: tuple[PlannedProject, ...]
    confidence: Fraction
    aim: str
    aim_value: float
    aim_bound: float
    proof: str  # "optimal" | "within" | "best-found"
    seconds: float
    way: str = "exact"  # | "priced"
    fewest: int | None = None  # lots, counted for each project, and joins that any plan as good takes; None: not proved
