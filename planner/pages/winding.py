"""The winding list to tick off: every piece that is taken, in grams on the scale and in turns of a swift."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.pages.page import SHORT_TABLE
from planner.show.weighing import skein_of
from stash.lengths import guarded_cm
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.pages.shades import Palette, Shade
    from planner.pages.yarns import Band, Bands
    from planner.plan import PlannedProject, Take, YarnRun
    from planner.show.weighing import Scales
    from stash.units import System

AROUND = Fraction(3, 2)  # metres round a swift, where nobody says; common practice, no source


@dataclass(frozen=True)
class Wound:
    """One piece: `piece` of how many in its skein, `turns` of the swift that hold `length`, `whole`: all of it.

    `out_of`: how long the piece is that it is wound off, where its skein has pieces of several lengths, else "".
    """

    strand: int
    lot: str
    skein: str
    piece: int
    pieces: int
    mass: str
    length: str
    turns: int
    whole: bool
    out_of: str
    shade: Shade


@dataclass(frozen=True)
class Winding:
    """What is wound for one stretch: `part` empty where the need is not divided."""

    need: str
    part: str
    band: Band
    length: str
    strands: int
    wound: tuple[Wound, ...]


def windings(
    project: PlannedProject, bands: Bands, scales: Scales, palette: Palette, units: System, around: Fraction
) -> list[Winding]:
    """Everything to wind for a project that is made, in the order of its needs."""
    return [
        Winding(
            need.need,
            run.part or "",
            bands.of(need.need, run),
            show_length(run.length_cm / 100, units, 1),
            sum(run.lots.values()),
            _wound(run, scales, palette, units, around),
        )
        for need in project.needs
        for run in need.runs
    ]


def tables_of(wound: Sequence[Winding]) -> list[list[Winding]]:
    """Those that share a table; a long one has its own, so that its heading goes on over sheets of paper."""
    found: list[list[Winding]] = []
    for own in wound:
        if found and max(len(own.wound), len(found[-1][-1].wound)) <= SHORT_TABLE:
            found[-1].append(own)
        else:
            found.append([own])
    return found


def turns(take_cm: int, around: Fraction) -> int:
    """Whole turns of a swift `around` metres that hold so many centimetres."""
    return math.ceil(Fraction(take_cm, 100) / around)


def _wound(run: YarnRun, scales: Scales, palette: Palette, units: System, around: Fraction) -> tuple[Wound, ...]:
    def piece(take: Take) -> Wound:
        skein = skein_of(scales.stash, take)
        whole = scales.is_whole(take)
        own = guarded_cm(scales.stash.lots[take.lot], skein, scales.confidence)[take.piece - 1]
        return Wound(
            take.strand,
            take.lot,
            take.skein,
            take.piece,
            len(skein.shares),
            show_mass(scales.grams(take), units, 1),
            show_length(take.take_cm / 100, units, 1),
            turns(take.take_cm, around),
            whole,
            "" if whole or len(set(skein.shares)) == 1 else show_length(own / 100, units, 1),
            palette.shade(scales.stash.lots[take.lot].colour),
        )

    return tuple(piece(take) for take in run.takes)
