"""One stretch of a need, or a need that may be shared out: which working yarns may serve it, and what they take."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.instance import END_CM
from planner.mates import largest
from planner.priced.offers import Offer, Run, Share
from planner.priced.rated import Kind, Rated
from planner.shades import Shades
from planner.suits import OF_THE_MIX, first_refusal
from planner.yarns import thickest_and_finest

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import numpy.typing as npt

    from planner.instance import SizedNeed
    from planner.priced.offers import Lengths
    from planner.priced.rated import Places
    from planner.priced.store import Numbers, Store
    from planner.suits import Setting

    Whole = npt.NDArray[np.intp]

STEMS = 60  # first strands tried for yarns of three strands and more, and for marls
FOUND = 400  # such yarns kept
KEPT = 4000  # lots: of more, what they hold is worked out whenever it is asked, which takes less room
SETS = 400  # steps in the search for yarns that share a need out


class Held(NamedTuple):
    """Yarns by place: longest run, what one takes at least, inf where not enough is held; the cm to pay for."""

    most: Numbers
    takes: Numbers
    load: Numbers


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
        need, shelf = self.sized.need, self.store.shelf
        self.mixed = need.strands[1] > 1
        self.places, self.strands, self.shades = shelf.of_one_lot(need, self.setting)
        self.felting = shelf.felting[self.places]
        self.strand_places, self._strand_shades = shelf.of_several(need, self.setting)
        self._kept: tuple[int, tuple[Held, Held]] | None = None

    def held(self) -> tuple[Held, Held]:
        """By what lots hold now: the yarns of one lot, and the lots that may be a strand beside another."""
        if self._kept is not None and self._kept[0] == self.store.version:
            return self._kept[1]
        held = self._held(self.places, self.strands), self._held(self.strand_places, 1)
        self._kept = (self.store.version, held) if len(self.store.tex) <= KEPT else None
        return held

    @property
    def possible(self) -> bool:
        return bool(min(held.takes.min(initial=np.inf) for held in self.held()) < np.inf)

    def _held(self, places: Whole, strands: Whole | int) -> Held:
        """Paid for are the whole stretch and its ends, spread over the longest run."""
        most = np.minimum(self.store.given(self.least)[places] // strands, self.planned)
        ends = END_CM * (np.ones(len(places)) if self.divisible else self.store.fewest(places, self.planned))
        takes = strands * (self.share + ends)
        enough = (most >= self.share) & (takes <= self.store.most[places])
        load = strands * (self.planned + ends * self.planned / np.maximum(most, 1))
        return Held(most, np.where(enough, takes, np.inf), load)

    def rated(self, prices: Numbers, holds: Numbers, *, mixed: bool, twos: int, quick: bool) -> Rated:
        """Every yarn with what it gains at prices for a cm of each lot, at most; of several lots too if `mixed`.

        Of those of two lots so many `twos` are looked at, `quick` or closely. Yarns for which a lot no longer `holds`
        enough gain -inf.
        """
        worth = self.planned * self.rate * self.store.tex
        own, beside = self.held()
        gains = self.strands * worth[self.places] - prices[self.places] * own.load
        gains = np.where(own.takes <= holds[self.places], gains, -np.inf)
        kinds = [Kind(gains, self.shades, self.felting, lambda at: (int(self.places[at]),) * int(self.strands[at]))]
        beyond, stems = -np.inf, None
        if mixed and self.mixed:
            shelf, places = self.store.shelf, self.strand_places
            strand = np.full(len(prices), -np.inf)
            held = beside.takes <= holds[places]
            strand[places] = np.where(held, worth[places] - prices[places] * beside.load, -np.inf)
            least, most = self.sized.need.strands
            top = float(strand.max(initial=-np.inf))
            beside_one = max((max(least, 2) - 1) * top, (most - 1) * top)
            stems = Kind(strand[places] + beside_one, self._strand_shades, shelf.felting[places], lambda _: ())
            for strands in range(max(least, 2), most + 1):
                two = strands == 2 and not self.sized.need.marl
                kind, over = self._twos(strand, twos, quick=quick) if two else self._held_together(strand, strands)
                kinds.append(kind)
                beyond = max(beyond, over)
        return Rated(kinds, beyond, stems)

    def _twos(self, worth: Numbers, count: int, *, quick: bool) -> tuple[Kind, float]:
        """Yarns of two lots, those that gain most; and a bound on the others."""
        shelf = self.store.shelf
        one, other, gains, beyond = shelf.mates(self.sized.need).best(worth, count, quick=quick)
        felting = shelf.felting[one] | shelf.felting[other]
        shades = Shades(shelf.mixed(one, other))
        return Kind(gains, shades, felting, lambda at: (int(one[at]), int(other[at]))), beyond

    def _held_together(self, worth: Numbers, strands: int) -> tuple[Kind, float]:
        """Yarns of so many strands of several lots; and a bound on what was not tried."""
        shelf = self.store.shelf
        thickest, finest = thickest_and_finest(self.sized.need)
        gains: list[float] = []
        yarns: list[Places] = []
        beyond = -np.inf
        begun: list[tuple[Places, Whole, float, float]] = [((), np.flatnonzero(worth > -np.inf), 0.0, 0.0)]
        while begun:
            chosen, free, value, tex = begun.pop()
            missing = strands - len(chosen)
            wool = shelf.wool[free]
            if missing == 1:
                total = np.where((tex + wool >= finest) & (tex + wool <= thickest), value + worth[free], -np.inf)
                best = largest(total, FOUND + 1)
                if len(best) > FOUND:
                    beyond = max(beyond, float(total[best.pop()]))
                gains += total[best].tolist()
                yarns += ((*chosen, place) for place in free[best].tolist())
                continue
            room = np.searchsorted(wool, thickest - tex - wool, side="right")
            mate = np.maximum.accumulate(worth[free])[np.maximum(room - 1, 0)]
            most = np.where(room > 0, value + worth[free] + (missing - 1) * mate, -np.inf)
            stems = largest(most, STEMS + 1)
            if len(stems) > STEMS:
                beyond = max(beyond, float(most[stems.pop()]))
            for at in reversed(stems):
                place, rest = int(free[at]), free[at:]
                if not self.sized.need.marl:
                    rest = np.intersect1d(rest, shelf.alike(place), assume_unique=True)
                begun.append(((*chosen, place), rest, value + float(worth[place]), tex + float(wool[at])))
        found = np.array(yarns, dtype=np.intp).reshape(-1, strands)
        several = (found != found[:, :1]).any(axis=1)
        found, own_gains = found[several], np.array(gains, dtype=float)[several]
        felting = np.bitwise_or.reduce(shelf.felting[found], axis=1)
        return Kind(own_gains, Shades(shelf.mixed(*found.T)), felting, lambda at: tuple(found[at].tolist())), beyond

    def fits(self, places: Places) -> bool:
        """Whether the yarn suits the need and is held: asked of the few that are worth it."""
        several = len(set(places)) > 1
        if not several:
            return True
        if places not in self._fit:
            yarn = self.store.shelf.yarn(places)
            self._fit[places] = not first_refusal(OF_THE_MIX, self.sized.need, yarn, self.setting)
        return self._fit[places] and (len(set(places)) == len(places) or self.longest(places) >= self.share)

    def longest(self, places: Places) -> int:
        """Longest run of a working yarn in cm."""
        given = self.store.given(self.least)
        return int(min(self.planned, *(given[place] // places.count(place) for place in set(places))))

    def offer(self, prices: Numbers, lengths: Sequence[tuple[Places, int]]) -> Offer:
        """The yarns and their lengths as an offer."""
        takes: dict[int, float] = {}
        joins, gain = 0, 0.0
        for places, length in lengths:
            for place in sorted(set(places)):
                pieces = 1 if self.divisible else self.store.fewest_of(place, length)
                strands = places.count(place)
                taken = strands * (length + END_CM * pieces)
                takes[place] = takes.get(place, 0.0) + taken
                gain += strands * length * self.rate * float(self.store.tex[place]) - taken * float(prices[place])
                joins += strands * (pieces - 1)
        runs = tuple(Run(self.need, self.step, places, length) for places, length in lengths)
        return Offer(gain, runs, takes, joins)

    def shared_out(
        self, prices: Numbers, yarns: Sequence[Places], meets: Sequence[Sequence[bool]]
    ) -> list[tuple[float, Lengths]]:
        """Ways to share the need out among several of these yarns that may all meet, and what each gains.

        `meets`: for each whether it may stand beside each of those after it.
        """
        shares = [self._share(prices, places) for places in yarns]
        tried = islice(self._sets(shares, meets, (), range(len(shares))), SETS + 1)
        return [self._lengths(chosen) for chosen in tried if len(chosen) > 1 and self._reach(chosen)]

    def _sets(
        self, shares: Sequence[Share], meets: Sequence[Sequence[bool]], chosen: Sequence[Share], free: Sequence[int]
    ) -> Iterator[Sequence[Share]]:
        """What is chosen, then with more of those that are free beside it, one after another, until they reach."""
        yield chosen
        most = self.sized.need.lots.most or len(shares)
        longest = sorted((shares[at].most for at in free), reverse=True)[: most - len(chosen)]
        if self._reach(chosen) or sum(own.most for own in chosen) + sum(longest) < self.planned:
            return
        for number, at in enumerate(free):
            beside = [other for other in free[number + 1 :] if meets[at][other - at - 1]]
            yield from self._sets(shares, meets, (*chosen, shares[at]), beside)

    def _reach(self, chosen: Sequence[Share]) -> bool:
        """Whether these are long enough together, and not too many for each to carry its share."""
        return sum(own.most for own in chosen) >= self.planned >= len(chosen) * self.share

    def _share(self, prices: Numbers, places: Places) -> Share:
        own = list(places)
        gain = float((self.rate * self.store.tex[own] - prices[own]).sum())
        return Share(gain, END_CM * float(prices[own].sum()), self.longest(places), places)

    def _lengths(self, chosen: Sequence[Share]) -> tuple[float, Lengths]:
        """Each its least share, the rest to those that gain most; what they gain together."""
        missing = self.planned - len(chosen) * self.share
        lengths, gain = [], 0.0
        for own in sorted(chosen, key=lambda own: -own.gain):
            part = min(missing, own.most - self.share)
            missing -= part
            lengths.append((own.strands, self.share + part))
            gain += own.gain * (self.share + part) - own.cost
        return gain, tuple(sorted(lengths))
