"""A plan on the kitchen scale: grams to wind off, grams used, and what is left of each lot."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stash.lengths import guarded_cm, guarded_factor, length_m, mass_g

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from patterns.needs import Pattern
    from planner.plan import Plan, PlannedNeed, PlannedProject, Take
    from stash.lots import Lot, Skein, Stash


@dataclass(frozen=True)
class Left:
    """What a plan leaves of one lot: guarded metres, and grams."""

    lot: Lot
    length_cm: int
    mass_g: Fraction
    whole_skeins: int  # not touched at all


def skein_of(stash: Stash, take: Take) -> Skein:
    """The skein a take comes from. Raises KeyError where the lot has no such skein."""
    for skein in stash.lots[take.lot].skeins:
        if skein.id == take.skein:
            return skein
    raise KeyError(take.skein)


def take_grams(stash: Stash, take: Take, confidence: Fraction) -> Fraction:
    """Grams that hold the take with the plan's confidence: skein mass x take / guarded length of the skein."""
    skein = skein_of(stash, take)
    lot = stash.lots[take.lot]
    guarded_m = length_m(lot, skein) * Fraction(guarded_factor(lot, skein, confidence))
    return mass_g(lot, skein) * Fraction(take.take_cm, 100) / guarded_m


def is_whole(stash: Stash, take: Take, confidence: Fraction) -> bool:
    """Whether the take is its whole piece."""
    return guarded_cm(stash.lots[take.lot], skein_of(stash, take), confidence)[take.piece - 1] == take.take_cm


def takes_of(project: PlannedProject) -> Iterator[Take]:
    """Every piece taken for a project, in the order of its needs."""
    for need in project.needs:
        for run in need.runs:
            yield from run.takes


def lots_of(project: PlannedProject) -> set[str]:
    """The lots that a project's working yarns are of."""
    return {lot for need in project.needs for run in need.runs for lot in run.lots}


def skeins_opened(plan: Plan) -> set[str]:
    """The skeins that anything is wound off."""
    return {take.skein for project in plan.projects for take in takes_of(project)}


def joins_of(need: PlannedNeed) -> int:
    """Pieces minus strands, both summed over the working yarns of a need."""
    return sum(len(run.takes) - sum(run.lots.values()) for run in need.runs)


def need_metres(pattern: Pattern, size: str, need: str) -> Fraction:
    """Metres of working yarn the need asks for, without reserve."""
    return sum((amount.metres for amount in pattern.sizes[size][need].values()), Fraction(0))


def need_grams(need: PlannedNeed, metres: Fraction, stash: Stash) -> Fraction:
    """Grams of the need itself, reserve and ends apart: need x length / planned x tex, over its working yarns."""
    grams = Fraction(0)
    for run in need.runs:
        tex = sum((strands * stash.lots[lot].count.tex for lot, strands in run.lots.items()), Fraction(0))
        grams += metres * run.length_cm / need.planned_cm * tex / 1000
    return grams


def used_grams(plan: Plan, stash: Stash, patterns: Mapping[str, Pattern]) -> Fraction:
    """Grams of all needs made, reserve and ends apart."""
    return sum(
        (
            need_grams(need, need_metres(patterns[project.pattern], project.size, need.need), stash)
            for project in plan.projects
            if project.size is not None
            for need in project.needs
        ),
        Fraction(0),
    )


def leftovers(plan: Plan, stash: Stash) -> tuple[tuple[Left, ...], tuple[str, ...]]:
    """What is left of each lot the plan touches, and the ids of the lots it does not touch."""
    takes = [take for project in plan.projects for take in takes_of(project)]
    touched = {take.lot for take in takes}
    left = []
    for lot in (stash.lots[name] for name in stash.lots if name in touched):
        own = [take for take in takes if take.lot == lot.id]
        held = sum(sum(guarded_cm(lot, skein, plan.confidence)) for skein in lot.skeins)
        grams = sum((mass_g(lot, skein) for skein in lot.skeins), Fraction(0))
        grams -= sum((take_grams(stash, take, plan.confidence) for take in own), Fraction(0))
        opened = {take.skein for take in own}
        whole = sum(skein.id not in opened for skein in lot.skeins)
        left.append(Left(lot, held - sum(take.take_cm for take in own), grams, whole))
    return tuple(left), tuple(name for name in stash.lots if name not in touched)
