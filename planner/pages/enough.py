"""Is it enough: what each need takes beside what is wound for it, on one scale of length."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING

from planner.chance import ENDS_M, chance_short
from planner.instance import END_CM
from planner.pages.page import WIDE
from planner.pages.strips import Span, spans
from planner.show import words
from planner.show.weighing import joins_of, need_metres, skein_of
from stash.lengths import guarded_factor, relative_u
from stash.units import show_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.needs import Pattern
    from planner.pages.yarns import Band, Bands
    from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
    from planner.show.weighing import Scales
    from stash.units import System

ROOM = 1.04  # of the longest length on a scale, so that its mark is not cut off


@dataclass(frozen=True)
class Held:
    """Metres that yarn holds, its ends apart: what can be counted on, the best guess, the most it may be."""

    counted: Fraction
    best: float
    most: float


@dataclass(frozen=True)
class Mark:
    """A length in words, and its place in percent of the picture."""

    said: str
    at: float


@dataclass(frozen=True)
class Enough:
    """One need on its scale: what it takes, and what is wound for it."""

    need: str
    takes: Mark
    reserve: Mark
    counted: Mark
    best: Mark
    most: Mark
    joins: int
    chance: str
    yarns: tuple[tuple[Span, Band], ...]  # what can be counted on, yarn by yarn


def enough(project: PlannedProject, pattern: Pattern, bands: Bands, scales: Scales, units: System) -> list[Enough]:
    """Every need of a project that is made."""
    return [_need(need, project.size or "", pattern, bands, scales, units) for need in project.needs]


def held(run: YarnRun, scales: Scales) -> Held:
    """What is wound for a run holds: of its strands the shortest, for all run through the needles together."""
    strands: dict[int, list[Take]] = {}
    for take in run.takes:
        strands.setdefault(take.strand, []).append(take)
    each = [_strand(takes, scales) for takes in strands.values()]
    return Held(
        min((one.counted for one in each), default=Fraction(0)),
        min((one.best for one in each), default=0.0),
        min((one.most for one in each), default=0.0),
    )


def together(each: Sequence[Held]) -> Held:
    """The sum of several, each counted on for itself."""
    return Held(
        sum((one.counted for one in each), Fraction(0)),
        math.fsum(one.best for one in each),
        math.fsum(one.most for one in each),
    )


def _strand(takes: Sequence[Take], scales: Scales) -> Held:
    quantile = NormalDist().inv_cdf(float(scales.confidence))
    each = []
    for take in takes:
        lot, skein = scales.stash.lots[take.lot], skein_of(scales.stash, take)
        guess = take.take_cm / 100 / guarded_factor(lot, skein, scales.confidence)
        most = guess * (1 + quantile * relative_u(lot, skein))
        each.append(Held(Fraction(take.take_cm - END_CM, 100), guess - ENDS_M, most - ENDS_M))
    return together(each)


def _need(need: PlannedNeed, size: str, pattern: Pattern, bands: Bands, scales: Scales, units: System) -> Enough:
    metres = need_metres(pattern, size, need.need)
    each = [held(run, scales) for run in need.runs]
    whole = together(each)
    lengths: tuple[Fraction | float, ...] = (
        metres,
        Fraction(need.planned_cm, 100),
        whole.counted,
        whole.best,
        whole.most,
    )
    full = ROOM * max(map(float, lengths))
    takes, reserve, counted, best, most = (
        Mark(show_length(length, units, 1), WIDE * float(length) / full) for length in lengths
    )
    yarns: dict[Band, Fraction] = {}
    for run, one in zip(need.runs, each, strict=True):
        band = bands.of(need.need, run)
        yarns[band] = yarns.get(band, Fraction(0)) + one.counted
    risk = chance_short(pattern.sizes[size][need.need], need.runs, scales.stash, scales.confidence)
    return Enough(
        need.need,
        takes,
        reserve,
        counted,
        best,
        most,
        joins_of(need),
        words.chance(risk),
        tuple(zip(spans([float(own) for own in yarns.values()], full), yarns, strict=True)),
    )
