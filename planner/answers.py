"""What cover and shortfall answer, as plain numbers. Lengths in whole centimetres unless named otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from planner.changes.alterations import Edit
    from planner.changes.why import Why
    from planner.reasons import Reason
    from stash.colour import Colour

ENOUGH, TIGHT, SHORT, UNDECIDED = "enough", "tight", "short", "undecided"


@dataclass(frozen=True)
class CoverYarn:
    lots: Mapping[str, int]
    length_cm: int


@dataclass(frozen=True)
class CoverNeed:
    """`yarns`: what it would be made from when enough, else the best permitted beside what is missing."""

    need: str
    need_m: Fraction
    with_reserve_cm: int
    short_cm: int
    yarns: tuple[CoverYarn, ...]


@dataclass(frozen=True)
class CoverRow:
    """One project in one of its sizes, alone against the whole free stash."""

    project: str
    pattern: str
    size: str
    verdict: str
    needs: tuple[CoverNeed, ...]


@dataclass(frozen=True)
class LookFor:
    """What to look for; count as the working yarn's wool-equivalent range; masses at its thick end."""

    length_cm: int
    mass_g: float
    m_per_100g: tuple[Fraction, Fraction]
    fibre: str
    colour: str
    colour_near: Colour | None  # for a swatch
    donor_mass_g: float


@dataclass(frozen=True)
class Refusal:
    """Why a lot that came near does not serve a need."""

    lot: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class ShortNeed:
    need: str
    short_cm: int
    kind: str | None  # "top-up" | "replace" | None: nothing is missing
    look_for: LookFor | None
    refusals: tuple[Refusal, ...]
    notes: tuple[str, ...] = ()  # what else to know before looking


@dataclass(frozen=True)
class Change:
    """`edits`: what to write for it; `less`: for each part of it, what one step less would be written as.

    `chance_short`: the largest chance of running short among the needs, where less is kept back.
    """

    change: str
    verdict: str
    words: Reason | None = None  # the same, its quantities in any units
    edits: tuple[Edit, ...] = ()
    less: tuple[tuple[Edit, ...], ...] = ()
    chance_short: float | None = None


@dataclass(frozen=True)
class ProjectShortfall:
    project: str
    pattern: str
    size: str  # the nearest to enough
    verdict: str
    needs: tuple[ShortNeed, ...]
    changes: tuple[Change, ...]
    why: Why | None = None  # None where it is enough, or not decided
