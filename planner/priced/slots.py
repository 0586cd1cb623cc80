"""One stretch of a need, or a need that may be shared out: which working yarns may serve it, and what they take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from planner.instance import END_CM
from planner.priced.offers import Offer, Run, Share
from planner.priced.rated import Kind, Rated, largest
from planner.shades import Shades
from planner.suits import OF_THE_MIX, first_refusal
from planner.yarns import thickest_and_finest

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy.typing as npt

    from planner.instance import SizedNeed
    from planner.priced.rated import Places
    from planner.priced.store import Numbers, Store
    from planner.suits import Setting
    from planner.yarns import WorkingYarn

    Whole = npt.NDArray[np.intp]

STEMS = 60  # first strands tried for yarns of three strands and more, and for marls
FOUND = 400  # such yarns kept
SETS = 400  # steps in the search for yarns that share a need out


@dataclass(eq=False)
class Slot:
    """What may serve; `rate`: what a cm of working yarn is worth for each tex."""

    store: Store
    sized: SizedNeed
    need: int
    step: int
    setting: Setting
    rate: float
    _fit: dict[Places, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        stretch = self.sized.stretches[self.step]
        self.planned, self.least = stretch.planned_cm, stretch.least_cm
        self.divisible = self.sized.divisible
        if self.divisible:
            self.planned = self.sized.planned_cm
        self.share = self.sized.share_cm if self.divisible else self.planned
        self.mixed = self.sized.need.strands[1] > 1
        self.look_again()

    def look_again(self) -> None:
        """Take in what the lots hold now."""
        need, shelf = self.sized.need, self.store.shelf
        found = [
            self._of_one_lot(strands, np.flatnonzero(shelf.alone(need, self.setting, strands)))
            for strands in range(need.strands[0], need.strands[1] + 1)
        ]
        self.places, self.strands, self.most, self.ends = (np.concatenate(own) for own in zip(*found, strict=True))
        self.shades = shelf.shades(self.places)
        if self.mixed:
            hopeful = np.flatnonzero(shelf.hopeful(need, self.setting))
            self.strand_places, _, self.strand_most, self.strand_ends = self._of_one_lot(1, hopeful)

    def keep_to(self, yarn: WorkingYarn) -> None:
        """Leave nothing but this yarn."""
        lots = np.array([lot.id in yarn.lot_ids for lot in self.store.shelf.lots])
        alone = lots[self.places] & (self.strands == yarn.strands) & (len(yarn.lots) == 1)
        self.places, self.strands = self.places[alone], self.strands[alone]
        self.most, self.ends, self.shades = self.most[alone], self.ends[alone], self.store.shelf.shades(self.places)
        if self.mixed:
            held = lots[self.strand_places] & (len(yarn.lots) > 1)
            self.strand_places, self.strand_most = self.strand_places[held], self.strand_most[held]
            self.strand_ends = self.strand_ends[held]

    @property
    def possible(self) -> bool:
        return bool(len(self.places) or (self.mixed and len(self.strand_places)))

    def _of_one_lot(self, strands: int, places: Whole) -> tuple[Whole, ...]:
        """Of the lots that hold enough: place, strands, longest run, what each strand takes beside its length."""
        most = np.minimum(self.store.given(places, self.least) // strands, self.planned).astype(np.intp)
        ends = END_CM * (np.ones(len(places)) if self.divisible else self.store.fewest(places, self.planned))
        enough = (most >= self.share) & (strands * (self.share + ends) <= self.store.most[places])
        places = places[enough]
        return places, np.full(len(places), strands), most[enough], ends[enough].astype(np.intp)

    def rated(self, prices: Numbers, holds: Numbers, *, mixed: bool) -> Rated:
        """Every yarn with what it gains at prices for a cm of each lot, at most; of several lots too if `mixed`.

        Yarns for which a lot no longer `holds` enough gain -inf.
        """
        gains = self.strands * self._gains(prices, self.places, self.most, self.ends)
        taken = self.strands * (self.share + self.ends)
        gains = np.where(taken <= holds[self.places], gains, -np.inf)
        kinds = [
            Kind(
                gains,
                self.shades,
                self.store.shelf.felting[self.places],
                lambda at: (int(self.places[at]),) * int(self.strands[at]),
            )
        ]
        beyond = -np.inf
        if mixed and self.mixed:
            worth = np.full(len(prices), -np.inf)
            strand = self._gains(prices, self.strand_places, self.strand_most, self.strand_ends)
            held = self.share + self.strand_ends <= holds[self.strand_places]
            worth[self.strand_places] = np.where(held, strand, -np.inf)
            least, most = self.sized.need.strands
            for strands in range(max(least, 2), most + 1):
                if strands == 2 and not self.sized.need.marl:
                    kinds.append(self._pairs(worth))
                else:
                    kind, over = self._held_together(worth, strands)
                    kinds.append(kind)
                    beyond = max(beyond, over)
        return Rated(kinds, beyond)

    def _gains(self, prices: Numbers, places: Whole, most: Whole, ends: Whole) -> Numbers:
        """What a strand of the whole stretch gains, its ends spread over its longest run."""
        gain: Numbers = self.planned * (self.rate * self.store.tex[places] - prices[places])
        return gain - prices[places] * ends * self.planned / most

    def _pairs(self, worth: Numbers) -> Kind:
        pairs = self.store.shelf.pairs(self.sized.need, self.setting)
        gains = worth[pairs.one] + worth[pairs.other]
        felting = self.store.shelf.felting
        both = felting[pairs.one] | felting[pairs.other]
        return Kind(gains, pairs.shades, both, lambda at: (int(pairs.one[at]), int(pairs.other[at])))

    def _held_together(self, worth: Numbers, strands: int) -> tuple[Kind, float]:
        """Yarns of so many strands of several lots; and a bound on what was not tried."""
        shelf = self.store.shelf
        thickest, finest = thickest_and_finest(self.sized.need)
        found: list[tuple[float, Places]] = []
        beyond = -np.inf

        def grow(chosen: Places, free: Whole, value: float, tex: float) -> None:
            nonlocal beyond
            missing = strands - len(chosen)
            wool = shelf.wool[free]
            if missing == 1:
                total = np.where((tex + wool >= finest) & (tex + wool <= thickest), value + worth[free], -np.inf)
                ranked = largest(total, FOUND + 1)
                found.extend((float(total[at]), (*chosen, int(free[at]))) for at in ranked[:FOUND])
                beyond = max(beyond, float(total[ranked[FOUND]]) if len(ranked) > FOUND else -np.inf)
                return
            room = np.searchsorted(wool, thickest - tex - wool, side="right")
            mate = np.maximum.accumulate(worth[free])[np.maximum(room - 1, 0)]
            most = np.where(room > 0, value + worth[free] + (missing - 1) * mate, -np.inf)
            for tries, at in enumerate(largest(most, STEMS + 1)):
                if tries == STEMS:
                    beyond = max(beyond, float(most[at]))
                    return
                place, rest = int(free[at]), free[at:]
                if not self.sized.need.marl:
                    rest = np.intersect1d(rest, shelf.alike(place), assume_unique=True)
                grow((*chosen, place), rest, value + float(worth[place]), tex + float(wool[at]))

        grow((), self.strand_places, 0.0, 0.0)
        several = [(gain, places) for gain, places in found if len(set(places)) > 1]
        shades = Shades(np.array([shelf.yarn(places).colour.lab for _, places in several]).reshape(-1, 3).T)
        gains = np.array([gain for gain, _ in several], dtype=float)
        felting = np.array([np.bitwise_or.reduce(shelf.felting[list(places)]) for _, places in several], dtype=np.int8)
        return Kind(gains, shades, felting, lambda at: several[at][1]), beyond

    def fits(self, places: Places) -> bool:
        """Whether the yarn suits the need and is held: asked of the few that are worth it."""
        if places not in self._fit:
            yarn = self.store.shelf.yarn(places)
            single = len(set(places)) == 1
            self._fit[places] = single or not first_refusal(OF_THE_MIX, self.sized.need, yarn, self.setting)
        return self._fit[places] and (len(set(places)) in (1, len(places)) or self.longest(places) >= self.share)

    def longest(self, places: Places) -> int:
        """Longest run of a working yarn in cm."""
        own = np.array(sorted(set(places)), dtype=np.intp)
        counts = np.array([places.count(place) for place in own.tolist()])
        return int(np.minimum(self.store.given(own, self.least) // counts, self.planned).min())

    def offer(self, prices: Numbers, lengths: Sequence[tuple[Places, int]]) -> Offer:
        """The yarns and their lengths as an offer."""
        takes: dict[int, float] = {}
        joins = gain = 0.0
        for places, length in lengths:
            own = np.array(sorted(set(places)), dtype=np.intp)
            pieces = np.ones(len(own)) if self.divisible else self.store.fewest(own, length)
            for place, each in zip(own.tolist(), pieces.tolist(), strict=True):
                strands = places.count(place)
                taken = strands * (length + END_CM * each)
                takes[place] = takes.get(place, 0.0) + taken
                gain += strands * length * self.rate * float(self.store.tex[place]) - taken * float(prices[place])
                joins += strands * (each - 1)
        runs = tuple(Run(self.need, self.step, places, length) for places, length in lengths)
        return Offer(gain, runs, takes, joins)

    def shared_out(
        self, prices: Numbers, yarns: Sequence[Places], meet: Callable[[Places, Places], bool]
    ) -> list[Offer]:
        """Ways to share the need out among several of these yarns that may all meet, the first yarns first."""
        shares = [self._share(prices, places) for places in yarns]
        most = self.sized.need.lots.most or len(shares)
        found: list[Offer] = []
        steps = 0

        def grow(chosen: list[Share], start: int) -> None:
            nonlocal steps
            steps += 1
            if sum(own.most for own in chosen) >= self.planned >= len(chosen) * self.share:
                if len(chosen) > 1:
                    found.append(self.offer(prices, self._lengths(chosen)))
                return
            if len(chosen) < most:
                for at in range(start, len(shares)):
                    if steps > SETS:
                        return
                    if all(meet(own.strands, shares[at].strands) for own in chosen):
                        grow([*chosen, shares[at]], at + 1)

        grow([], 0)
        return found

    def _share(self, prices: Numbers, places: Places) -> Share:
        own = list(places)
        gain = float((self.rate * self.store.tex[own] - prices[own]).sum())
        return Share(gain, END_CM * float(prices[own].sum()), self.longest(places), places)

    def _lengths(self, chosen: Sequence[Share]) -> list[tuple[Places, int]]:
        """Each its least share, the rest to those that gain most."""
        missing = self.planned - len(chosen) * self.share
        lengths = []
        for own in sorted(chosen, key=lambda own: -own.gain):
            part = min(missing, own.most - self.share)
            missing -= part
            lengths.append((own.strands, self.share + part))
        return sorted(lengths)
