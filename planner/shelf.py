"""A stash laid out from thin to thick, so that the working yarns that suit a need are found without trying them all.

Each reason is asked once of each lot for all needs that ask alike: what it reads of a need and of a lot is said beside
it in `planner/suits.py`.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from planner.mates import Mates
from planner.pairs import may_wash
from planner.shades import ARRAYS, ROUNDING, SLACK, Shades, within
from planner.suits import OF_THE_LOT, OF_THE_MIX, READS, REASONS, first_refusal, wrong_colour
from planner.yarns import LIMIT, STRANDS_APART, WorkingYarn, alike, thickest_and_finest, wool_tex
from stash import colour
from stash.colour import LIGHTNESS_APART

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator, Sequence

    import numpy.typing as npt

    from patterns.needs import Need
    from planner.pairs import Meeting
    from planner.suits import Check, Setting
    from stash.colour import Colour
    from stash.lots import Lot

    Places = npt.NDArray[np.intp]
    Strands = npt.NDArray[np.int32]
    Mask = npt.NDArray[np.bool_]
    Strung = tuple[int, ...]  # places of the strands of a working yarn, in rising order


FELTING = (None, True, False)  # by number; what holds both kinds is 3
HOLDS = ((None,), (True,), (False,), (True, False))  # by number


class Shelf:
    """Lots by `place`, from thin to thick; working yarns are the same objects for all who ask."""

    def __init__(self, lots: Sequence[Lot]) -> None:
        self.lots = sorted(lots, key=lambda lot: (wool_tex(lot), lot.id))
        self.wool = np.array([wool_tex(lot) for lot in self.lots])
        self._masks: dict[object, Mask] = {}
        self._alike: dict[int, Places] = {}
        self._yarns: dict[tuple[int, ...], WorkingYarn] = {}
        self._mates: dict[object, Mates] = {}
        self._mates_near: dict[object, Mates] = {}
        self._of_one: dict[object, tuple[Places, Places, Shades]] = {}
        self._of_more: dict[object, tuple[Places, Shades]] = {}
        self._of_several: dict[object, tuple[WorkingYarn, ...]] = {}
        self._suited: dict[object, tuple[WorkingYarn, ...]] = {}
        self.strangers: dict[object, dict[WorkingYarn, frozenset[WorkingYarn]]] = {}  # of all who ask; see Instance
        self._meets: dict[object, dict[tuple[Strung, Strung], bool]] = {}

    def suited(self, need: Need, setting: Setting) -> tuple[WorkingYarn, ...]:
        """Every working yarn that may serve the need, by name; lengths are not looked at here."""
        key = _asked(need, setting)
        if key not in self._suited:
            places, counts, _ = self.of_one_lot(need, setting)
            found = [
                self.yarn((place,) * strands) for place, strands in zip(places.tolist(), counts.tolist(), strict=True)
            ]
            found += self.of_several_lots(need, setting)
            self._suited[key] = tuple(sorted(found, key=lambda yarn: yarn.name))
        return self._suited[key]

    def alone(self, need: Need, setting: Setting, strands: int) -> Mask:
        """By place: whether so many strands of this lot alone suit the need."""
        return self._all(REASONS, need, setting, strands)

    def of_one_lot(self, need: Need, setting: Setting) -> tuple[Places, Places, Shades]:
        """Place, strands and colour of every working yarn of one lot that may serve the need."""
        key = _asked(need, setting)
        if key not in self._of_one:
            counts = range(need.strands[0], need.strands[1] + 1)
            found = [np.flatnonzero(self.alone(need, setting, strands)) for strands in counts]
            places = np.concatenate(found)
            strands = np.repeat(counts, [len(own) for own in found])
            self._of_one[key] = places, strands, self.shades(places)
        return self._of_one[key]

    def of_several(self, need: Need, setting: Setting) -> tuple[Places, Shades]:
        """Place and colour of every lot that may be a strand beside another."""
        key = _asked(need, setting)
        if key not in self._of_more:
            may = self.hopeful(need, setting) & (need.strands[1] > 1)
            if need.strands[1] == 2 and not need.marl:
                may &= self.mates(need).any
            self._of_more[key] = np.flatnonzero(may), self.shades(np.flatnonzero(may))
        return self._of_more[key]

    def hopeful(self, need: Need, setting: Setting) -> Mask:
        """By place: whether no reason refuses this lot in whatever it is held."""
        return self._all(OF_THE_LOT, need, setting, 1)

    def yarn(self, places: tuple[int, ...]) -> WorkingYarn:
        """The working yarn of these strands, given by their places in rising order."""
        if places not in self._yarns:
            counted = sorted(
                ((self.lots[place], places.count(place)) for place in set(places)), key=lambda own: own[0].id
            )
            self._yarns.setdefault(places, WorkingYarn(tuple(counted)))
        return self._yarns[places]

    def meets(self, meeting: Meeting) -> dict[tuple[Strung, Strung], bool]:
        """What is known of which yarns may meet so, to be added to: within a need the same for all that ask alike."""
        if not meeting.one_need or meeting.contrasts or meeting.one.name in meeting.one.colour.not_in:
            return {}
        return self._meets.setdefault((meeting.one.lots.match, meeting.wash, meeting.bleed_risk), {})

    def alike(self, place: int) -> Places:
        """Places of the lots that may be strands beside this one though nobody asked for a marl, itself among them."""
        if place not in self._alike:
            self._alike[place] = self.like(self.lots[place].colour)
        return self._alike[place]

    def like(self, own: Colour) -> Places:
        """Places of the lots that may be strands beside one of this colour though nobody asked for a marl."""
        hopeful = np.flatnonzero(np.abs(self._lab[0] - own.lightness) <= LIGHTNESS_APART * STRANDS_APART + LIMIT)
        apart = colour.apart(own.lab, self._lab[:, hopeful], ARRAYS) - STRANDS_APART - LIMIT
        near = apart <= 0
        for doubtful in np.flatnonzero(np.abs(apart) < ROUNDING):
            near[doubtful] = alike(own, self.lots[hopeful[doubtful]].colour)
        found: Places = hopeful[near]
        return found

    def mates(self, need: Need) -> Mates:
        """Lots to be held together two by two, of the thickness and colour asked; each not refused by itself."""
        rule = need.colour
        colour_key, key = (rule.near, rule.within), (rule.near, rule.within, need.yarn)
        if key not in self._mates:
            if colour_key not in self._mates_near:
                self._mates_near[colour_key] = self._near_together(need)
            mates = self._mates_near[colour_key]
            thickest, finest = thickest_and_finest(need)
            wool = self.wool[mates.lots] + self.wool[mates.others]
            self._mates[key] = mates.where((wool <= thickest) & (wool >= finest))
        return self._mates[key]

    @cached_property
    def _mates_alike(self) -> Mates:
        """Every two different lots that are alike."""
        near = map(self.alike, range(len(self.lots)))
        return Mates.of([own[own != place] for place, own in enumerate(near)])

    def _near_together(self, need: Need) -> Mates:
        """Every two different lots that are alike and held together are near the colour asked for."""
        mates, near, reach = self._mates_alike, need.colour.near, need.colour.within
        if near is None:
            return mates
        hopeful = np.abs(self._lab[0] - near.lightness) <= LIGHTNESS_APART * (reach + STRANDS_APART) + SLACK
        lots = mates.lots
        each = np.flatnonzero((lots < mates.others) & hopeful[lots] & hopeful[mates.others])
        one, other = lots[each], mates.others[each]
        kept = within(self.mixed(one, other), near, reach)
        one, other = one[kept], other[kept]
        order = np.lexsort((np.concatenate([other, one]), both := np.concatenate([one, other])))
        starts = np.searchsorted(both[order], np.arange(len(self.lots) + 1))
        return Mates(starts, np.concatenate([other, one])[order])

    def mixed(self, *strands: Strands) -> npt.NDArray[np.float64]:
        """L*, a*, b* of lots held together: the mean in linear light, weighted by tex."""
        tex = [self._tex[own] for own in strands]
        mixed = np.sum([self._xyz[:, own] * weight for own, weight in zip(strands, tex, strict=True)], axis=0)
        mixed /= np.sum(tex, axis=0)
        return np.array(colour.lab_of(tuple(mixed), _rooted))

    @cached_property
    def _xyz(self) -> npt.NDArray[np.float64]:
        return np.array([lot.colour.xyz for lot in self.lots]).reshape(-1, 3).T

    @cached_property
    def _tex(self) -> npt.NDArray[np.float64]:
        return np.array([float(lot.count.tex) for lot in self.lots])

    @cached_property
    def felting(self) -> npt.NDArray[np.int8]:
        """By place: 1 of a lot known to felt, 2 of one known not to, 0 of any other."""
        return np.array([FELTING.index(lot.felts) for lot in self.lots], dtype=np.int8)

    def felting_of(self, places: tuple[int, ...]) -> int:
        """The number of the strands together."""
        number = 0
        for place in places:
            number |= int(self.felting[place])
        return number

    def shades(self, places: Places) -> Shades:
        """The colours of the lots at these places."""
        return Shades(self._lab[:, places])

    @cached_property
    def _lab(self) -> npt.NDArray[np.float64]:
        return np.array([lot.colour.lab for lot in self.lots]).reshape(-1, 3).T

    def _all(self, checks: Sequence[Check], need: Need, setting: Setting, strands: int) -> Mask:
        every = np.ones(len(self.lots), dtype=bool)
        for check in checks:
            every &= self._passing(check, need, setting, strands)
        return every

    def _passing(self, check: Check, need: Need, setting: Setting, strands: int) -> Mask:
        """By place: whether so many strands of the lot pass the check; lots that look the same to it are asked once."""
        reads, looks_at = READS[check]
        key = (check, reads(need, setting), strands)
        if key not in self._masks and check is wrong_colour:
            self._masks[key] = self._near(need)
        if key not in self._masks:
            answers: dict[Any, bool] = {}
            for place, lot in enumerate(self.lots):
                seen = looks_at(lot)
                if seen not in answers:
                    answers[seen] = check(need, self.yarn((place,) * strands), setting) is None
            self._masks[key] = np.array([answers[looks_at(lot)] for lot in self.lots], dtype=bool)
        return self._masks[key]

    def _near(self, need: Need) -> Mask:
        """By place: whether the lot is near the colour asked for."""
        near, reach = need.colour.near, need.colour.within + LIMIT
        if near is None:
            return np.ones(len(self.lots), dtype=bool)
        apart = colour.apart(self._lab, near.lab, ARRAYS) - reach
        mask: Mask = apart <= 0
        for doubtful in np.flatnonzero(np.abs(apart) < ROUNDING):
            mask[doubtful] = colour.difference(self.lots[doubtful].colour, near) <= reach
        return mask

    def of_several_lots(self, need: Need, setting: Setting) -> tuple[WorkingYarn, ...]:
        """Every working yarn of several lots that may serve the need."""
        if need.strands[1] < 2 or len(self.lots) < 2:
            return ()
        key = _asked(need, setting)
        if key not in self._of_several:
            self._of_several[key] = tuple(self._several(need, setting))
        return self._of_several[key]

    def _several(self, need: Need, setting: Setting) -> Iterator[WorkingYarn]:
        hopeful = self.hopeful(need, setting)
        if hopeful.sum() < 2:
            return
        for strands in range(max(need.strands[0], 2), need.strands[1] + 1):
            if strands == 2 and not need.marl:
                held = self.mates(need).among(hopeful)
            else:
                held = self._held_together(need, np.flatnonzero(hopeful), strands)
            for places in held:
                yarn = self.yarn(places)
                if len(yarn.lots) > 1 and not first_refusal(OF_THE_MIX, need, yarn, setting):
                    yield yarn

    def _held_together(self, need: Need, hopeful: Places, strands: int) -> Iterator[tuple[int, ...]]:
        """Places of strands, in rising order, that together are as thick as the need asks and match where they must.

        Lots are tried from thin to thick, so that a stem already too thick, or never thick enough, is left early.
        """
        thickest, finest = thickest_and_finest(need)

        def grow(chosen: tuple[int, ...], free: Places, tex: float, missing: int) -> Iterator[tuple[int, ...]]:
            wool = self.wool[free]
            last = int(np.searchsorted(wool, (thickest - tex) / missing, side="right"))
            if missing == 1:
                first = int(np.searchsorted(wool, finest - tex, side="left"))
                yield from ((*chosen, place) for place in free[first:last].tolist())
                return
            for at in range(last):
                place = int(free[at])
                rest = free[at:]
                if not need.marl:
                    rest = np.intersect1d(rest, self.alike(place), assume_unique=True)
                yield from grow((*chosen, place), rest, tex + float(self.wool[place]), missing - 1)

        yield from grow((), hopeful, 0.0, strands)


def _asked(need: Need, setting: Setting) -> Hashable:
    """All that bears on who suits the need."""
    return (need.strands, *(reads(need, setting) for reads, _ in READS.values()))


def washed_together(wash: str) -> Mask:
    """By the numbers of two yarns: whether felting lets them be washed together."""
    return np.array([[all(may_wash(a, b, wash) for a in one for b in other) for other in HOLDS] for one in HOLDS])


def _rooted(part: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return np.where(part > colour.EPSILON, np.cbrt(part), (colour.KAPPA * part + 16) / 116)
