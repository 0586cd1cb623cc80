"""What is short: for each project that cannot be counted on, why, what to look for, and what would help instead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.answers import ENOUGH
from planner.show import words
from planner.show.shortfall import KINDS, VERDICTS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.answers import Change, ProjectShortfall, ShortNeed
    from planner.pages.shades import Palette, Shade
    from stash.units import System


@dataclass(frozen=True)
class Find:
    """What to look for, each thing in words; `shade` where the colour can be shown."""

    length: str
    mass: str
    thickness: str
    fibre: str
    colour: str
    donor: str
    shade: Shade | None


@dataclass(frozen=True)
class Lack:
    need: str
    missing: str
    kind: str
    find: Find | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Help:
    change: str
    verdict: str
    risk: str
    edits: tuple[str, ...]


@dataclass(frozen=True)
class Short:
    project: str
    size: str
    verdict: str
    why: str
    lacks: tuple[Lack, ...]
    helps: tuple[Help, ...]


def shorts(answers: Sequence[ProjectShortfall], units: System, palette: Palette) -> list[Short]:
    """Those that are not enough, in the order asked."""
    return [_short(answer, units, palette) for answer in answers if answer.verdict != ENOUGH]


def _short(answer: ProjectShortfall, units: System, palette: Palette) -> Short:
    missing = sum(need.short_cm for need in answer.needs)
    return Short(
        answer.project,
        answer.size,
        VERDICTS.get(answer.verdict, f"short by {words.length_up(missing, units)} beyond what you have."),
        "" if answer.why is None else answer.why.reason.said(units),
        tuple(_lack(need, units, palette) for need in answer.needs if need.kind is not None or need.short_cm),
        tuple(_help(change, units) for change in answer.changes),
    )


def _lack(need: ShortNeed, units: System, palette: Palette) -> Lack:
    find, look = None, need.look_for
    if look is not None:
        find = Find(
            words.length_up(look.length_cm, units),
            words.mass_up(look.mass_g, units),
            words.count_range(*look.m_per_100g, units),
            look.fibre,
            look.colour,
            words.mass_up(look.donor_mass_g, units),
            None if look.colour_near is None else palette.shade(look.colour_near),
        )
    missing = words.length_up(need.short_cm, units) if need.short_cm else "nothing by itself"
    return Lack(need.need, missing, KINDS[need.kind] if need.kind else "", find, need.notes)


def _help(change: Change, units: System) -> Help:
    return Help(
        change.change if change.words is None else change.words.said(units),
        change.verdict,
        "" if change.chance_short is None else words.chance(change.chance_short),
        tuple(f"in {edit.file}, {edit.under}: {edit.text}" for edit in change.edits),
    )
