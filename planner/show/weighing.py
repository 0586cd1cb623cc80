"""A plan on the kitchen scale: grams to wind off, grams used, and what is left of each lot."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import zip_longest
from typing import TYPE_CHECKING

from stash.lengths import guarded_cm, guarded_factor, length_m, mass_g

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

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


@dataclass(frozen=True)
class Scales:
    """A stash on the kitchen scale, where yarn is wound off by weight and holds its length with this confidence."""

    stash: Stash
    confidence: Fraction
    _grams: dict[tuple[str, str], Fraction] = field(default_factory=dict, compare=False, repr=False)
    _pieces: dict[tuple[str, str], tuple[int, ...]] = field(default_factory=dict, compare=False, repr=False)

    def grams(self, take: Take) -> Fraction:
        """Grams that hold the take: skein mass x take / guarded length of the skein."""
        key = take.lot, take.skein
        if key not in self._grams:
            lot, skein = self.stash.lots[take.lot], skein_of(self.stash, take)
            guarded_m = length_m(lot, skein) * Fraction(guarded_factor(lot, skein, self.confidence))
            self._grams[key] = mass_g(lot, skein) / (100 * guarded_m)  # in a centimetre
        return take.take_cm * self._grams[key]

    def is_whole(self, take: Take) -> bool:
        """Whether the take is all that is left of its piece; not where others have some of it set aside."""
        key = take.lot, take.skein
        if key not in self._pieces:
            skein = skein_of(self.stash, take)
            own = enumerate(guarded_cm(self.stash.lots[take.lot], skein, self.confidence), start=1)
            self._pieces[key] = tuple(-1 if piece in skein.promised else cm for piece, cm in own)
        return self._pieces[key][take.piece - 1] == take.take_cm


def skein_of(stash: Stash, take: Take) -> Skein:
    """The skein a take comes from. Raises KeyError where the lot has no such skein."""
    for skein in stash.lots[take.lot].skeins:
        if skein.id == take.skein:
            return skein
    raise KeyError(take.skein)


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
    return _sum(
        need_grams(need, need_metres(patterns[project.pattern], project.size, need.need), stash)
        for project in plan.projects
        if project.size is not None
        for need in project.needs
    )


def taken_grams(plan: Plan, scales: Scales) -> Fraction:
    """Grams of all that is wound off."""
    return _sum(scales.grams(take) for project in plan.projects for take in takes_of(project))


def leftovers(plan: Plan, scales: Scales) -> tuple[tuple[Left, ...], tuple[str, ...]]:
    """What is left of each lot the plan touches, and the ids of the lots it does not touch."""
    stash = scales.stash
    taken: dict[str, list[Take]] = defaultdict(list)
    for project in plan.projects:
        for take in takes_of(project):
            taken[take.lot].append(take)
    left = tuple(left_of(lot, taken[lot.id], scales) for lot in stash.lots.values() if lot.id in taken)
    there = (
        name for name, lot in stash.lots.items() if any(not skein.opened or mass_g(lot, skein) for skein in lot.skeins)
    )
    return left, tuple(name for name in there if name not in taken)


def left_of(lot: Lot, own: Sequence[Take], scales: Scales) -> Left:
    """What is left of a lot without what is taken of it."""
    held = sum(sum(guarded_cm(lot, skein, scales.confidence)) for skein in lot.skeins)
    grams = sum((mass_g(lot, skein) for skein in lot.skeins), Fraction(0))
    grams -= sum(map(scales.grams, own), Fraction(0))
    opened = {take.skein for take in own}
    whole = sum(skein.id not in opened and not skein.opened for skein in lot.skeins)
    return Left(lot, held - sum(take.take_cm for take in own), grams, whole)


def _sum(grams: Iterable[Fraction]) -> Fraction:
    """The exact sum, in pairs: one after another, the long fractions of the first would be carried through them all."""
    parts = list(grams)
    while len(parts) > 1:
        parts = [one + other for one, other in zip_longest(parts[::2], parts[1::2], fillvalue=Fraction(0))]
    return parts[0] if parts else Fraction(0)
