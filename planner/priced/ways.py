"""The best way to make one project in one size at given prices, by every rule that holds inside a project."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from planner.instance import setting_of
from planner.pairs import may_meet, may_wash, rises
from planner.priced.rated import largest
from planner.priced.slots import Slot
from planner.shelf import FELTING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from planner.instance import Making
    from planner.priced.rated import Kind, Places, Rated
    from planner.priced.slots import Offer, Run
    from planner.priced.store import Numbers, Store

STEPS, FEWER_STEPS = 3000, 300  # in the search for offers that may stand together
FIRST, MORE = 12, 8  # yarns ranked at first, and how many times as many next
SHARERS = 12  # yarns tried to share a need out


@dataclass(frozen=True)
class Way:
    """One way to make a project in one size: its runs, its worth in the aim's unit, what it takes of each lot in cm."""

    making: int
    worth: float
    runs: tuple[Run, ...]
    takes: Mapping[int, float]


@dataclass(frozen=True)
class Priced:
    """The best way found at prices, its gain, and what no way gains more than."""

    way: Way | None
    gain: float
    most: float


NOTHING = Priced(None, -np.inf, -np.inf)


@dataclass
class Inside:
    """The rules inside one project in one size; `reward`: what making it is worth beside its yarn."""

    store: Store
    index: int
    making: Making
    reward: float
    weight: float  # worth of a gram
    _meets: dict[tuple[int, int, Places, Places], bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.slots: list[Slot] = []
        for place, sized in enumerate(self.making.needs):
            setting = setting_of(self.making.project, self.making.pattern, sized.need)
            rate = self.weight * float(sized.need_m / sized.planned_cm) / 1000
            same = self.making.meeting(sized, sized)
            steps = range(1) if sized.divisible else range(len(sized.stretches))
            self.slots += [Slot(self.store, sized, place, step, setting, rate, same) for step in steps]
        needs = self.making.needs
        self.meetings = [[self.making.meeting(one, other) for other in needs] for one in needs]

    def look_again(self) -> None:
        """Take in what the lots hold now."""
        for slot in self.slots:
            slot.look_again()

    @property
    def possible(self) -> bool:
        """Whether anything is there for every stretch."""
        return all(slot.possible for slot in self.slots)

    def best(self, prices: Numbers, holds: Numbers, *, mixed: bool = True, closely: bool = True) -> Priced:
        """The best way at prices for a cm of each lot, taking no more of a lot than it `holds`.

        `mixed` looks at yarns of several lots too; `closely` searches on where the first ways do not settle it.
        """
        if not self.possible:
            return NOTHING
        rated = [slot.rated(prices, holds, mixed=mixed) for slot in self.slots]
        search = _Search(self, rated, prices, holds, STEPS if closely else FEWER_STEPS)
        search.grow([], 0.0)
        most = max(search.most, search.gain) + self.reward
        if search.best is None:
            return Priced(None, -np.inf, most)
        runs = tuple(run for offer in search.best for run in offer.runs)
        takes = _sum(search.best)
        gain = search.gain + self.reward
        worth = gain + sum(float(prices[place]) * taken for place, taken in takes.items())
        return Priced(Way(self.index, worth, runs, takes), gain, most)

    def meet(self, one: Run, other: Run) -> bool:
        key = (one.need, other.need, one.strands, other.strands)
        if key not in self._meets:
            shelf = self.store.shelf
            meeting = self.meetings[one.need][other.need]
            self._meets[key] = may_meet(meeting, shelf.yarn(one.strands), shelf.yarn(other.strands))
        return self._meets[key]

    def may_be(self, offers: Sequence[Offer]) -> bool:
        """Rules on all the yarns of a project together: same-as, joins, one direction of a fade."""
        shelf, needs = self.store.shelf, self.making.needs
        named = {sized.need.name: place for place, sized in enumerate(needs)}
        runs = [run for offer in offers for run in offer.runs]
        for place, sized in enumerate(needs):
            own = {run.strands for run in runs if run.need == place}
            for target in sized.need.colour.same_as:
                if target in named and not own <= {run.strands for run in runs if run.need == named[target]}:
                    return False
            joins = sum(offer.joins for offer in offers if offer.runs[0].need == place)
            if sized.need.joins is not None and joins > sized.need.joins:
                return False
        by_step = [[run for run in runs if run.need == named[name]] for name in self.making.order]
        ways = {
            rises(shelf.yarn(a.strands), shelf.yarn(b.strands))
            for place, before in enumerate(by_step)
            for after in by_step[place + 1 :]
            for a in before
            for b in after
        }
        return len(ways) <= 1


@dataclass
class _Search:
    """Depth first over the slots, from what could be best on, left where the rest cannot make it good."""

    inside: Inside
    rated: list[Rated]
    prices: Numbers
    holds: Numbers
    limit: int
    best: list[Offer] | None = None
    gain: float = -np.inf
    most: float = -np.inf  # what was left untried gains no more
    steps: int = 0

    def grow(self, chosen: list[Offer], value: float) -> None:
        place = len(chosen)
        if place == len(self.rated):
            if value > self.gain and self.inside.may_be(chosen):
                self.best, self.gain = list(chosen), value
            return
        ranking = _Ranking(self, place, chosen)
        tries = 0
        while True:
            ranked = ranking.get(tries)
            tries += 1
            if ranked is None:
                self.most = max(self.most, value + ranking.beyond)
                return
            potential, offer = ranked
            if value + potential <= self.gain:
                return
            if self.steps >= self.limit:
                self.most = max(self.most, value + potential, value + ranking.beyond)
                return
            self.steps += 1
            if self._fits(chosen, offer):
                self.grow([*chosen, offer], value + offer.gain)

    def _fits(self, chosen: list[Offer], offer: Offer) -> bool:
        for place, taken in offer.takes.items():
            if taken + sum(own.takes.get(place, 0.0) for own in chosen) > self.holds[place]:
                return False
        return all(self.inside.meet(run, other) for run in offer.runs for before in chosen for other in before.runs)


class _Ranking:
    """Offers for a slot beside what is chosen, by what the whole could gain with each; ranked no further than asked."""

    def __init__(self, search: _Search, place: int, chosen: list[Offer]) -> None:
        self.search, self.place = search, place
        self.slot = search.inside.slots[place]
        self.rated = search.rated[place]
        self.runs = [run for offer in chosen for run in offer.runs]
        self.given = [self._later_beside_chosen(after) for after in range(place + 1, len(search.rated))]
        self.rest = sum(self.given)
        self.gains = [self._beside_chosen(place, kind) for kind in self.rated.kinds]
        self.left_out = np.inf  # what is not in the pool gains no more
        self.count = 0
        self.pool: list[tuple[float, int, int]] = []  # potential, kind and number of yarns, the best last
        self.seen: set[tuple[int, int]] = set()
        self.shared: list[tuple[float, Offer]] = []  # offers of several yarns, the best last
        self.at_most = -np.inf  # what such offers gain at most
        self.ranked: list[tuple[float, Offer]] = []

    @property
    def beyond(self) -> float:
        """What is not ranked yet gains no more."""
        return max(self.left_out, self._next(), self.at_most, self.rated.beyond + self.rest)

    def get(self, place: int) -> tuple[float, Offer] | None:
        """What could be gained with the offer at a place from 0, and the offer; None past the last."""
        while place >= len(self.ranked):
            following = self._next()
            if following < self.left_out:
                self._widen()
            elif following == -np.inf:
                return None
            elif self.shared and self.shared[-1][0] == following:
                self.ranked.append(self.shared.pop())
            else:
                potential, kind, at = self.pool.pop()
                self.seen.add((kind, at))
                offer = self._whole(self.rated.kinds[kind].strands(at))
                if offer is not None:
                    self.ranked.append((potential, offer))
        return self.ranked[place]

    def _next(self) -> float:
        return max(self.pool[-1][0] if self.pool else -np.inf, self.shared[-1][0] if self.shared else -np.inf)

    def _widen(self) -> None:
        """Take more yarns into the pool, those that gain most."""
        first = not self.count
        self.count = max(FIRST, MORE * self.count)
        self.left_out = -np.inf
        pool: list[tuple[float, int, int]] = []
        for number, (kind, gains) in enumerate(zip(self.rated.kinds, self.gains, strict=True)):
            best = largest(gains, self.count + 1)
            if len(best) > self.count:
                self.left_out = max(self.left_out, float(gains[best.pop()]) + self.rest)
            potentials = self._potentials(kind, gains, best).tolist()
            pool += zip(potentials, [number] * len(best), best, strict=True)
        self.pool = sorted(own for own in pool if own[0] > -np.inf and own[1:] not in self.seen)
        if first and self.slot.divisible:
            self._share_out()

    def _whole(self, places: Places) -> Offer | None:
        """The offer of this yarn alone, if it suits and is long enough."""
        slot = self.slot
        if not slot.fits(places) or (slot.divisible and slot.longest(places) < slot.planned):
            return None
        return slot.offer(self.search.prices, [(places, slot.planned)])

    def _share_out(self) -> None:
        """Find offers of several yarns together, and what any of them gain at most."""
        best = [(potential, self.rated.kinds[kind].strands(at)) for potential, kind, at in self.pool[: -SHARERS - 1 : -1]]
        fitting = [(potential, places) for potential, places in best if self.slot.fits(places)]
        outside = max(self.left_out, self.pool[-SHARERS - 1][0] if len(self.pool) > SHARERS else -np.inf)
        gain, missing = 0.0, self.slot.planned
        for potential, places in fitting:
            part = min(missing, self.slot.longest(places)) if potential > outside else 0
            gain += part * (potential - self.rest) / self.slot.planned
            missing -= part
        self.at_most = gain + self.rest + (missing * (outside - self.rest) / self.slot.planned if missing else 0.0)
        if fitting and self.slot.longest(fitting[0][1]) < self.slot.planned:
            offers = self.slot.shared_out(self.search.prices, [places for _, places in fitting])
            self.shared = sorted(((offer.gain + self.rest, offer) for offer in offers), key=lambda own: own[0])

    def _potentials(self, kind: Kind, gains: Numbers, best: list[int]) -> Numbers:
        """For some yarns of a kind, what they and the slots after them gain at most beside what is chosen."""
        potential = gains[best]
        inside = self.search.inside
        for after, given in zip(range(self.place + 1, len(self.search.rated)), self.given, strict=True):
            contrasts = inside.meetings[self.slot.need][inside.slots[after].need].contrasts
            beside = self.search.rated[after].beside(kind.shades.lightness[best], contrasts) if contrasts else given
            potential = potential + np.minimum(beside, given)
        return potential

    def _beside_chosen(self, place: int, kind: Kind) -> Numbers:
        """What each yarn of a kind gains in a slot, -inf where its colour keeps it from standing beside what is chosen."""
        inside, gains = self.search.inside, kind.gains
        need = inside.slots[place].need
        for run in self.runs:
            meeting, yarn = inside.meetings[run.need][need], inside.store.shelf.yarn(run.strands)
            colour = yarn.colour
            washed = [all(may_wash(lot.felts, own, meeting.wash) for lot, _ in yarn.lots) for own in FELTING]
            if not all(washed):
                together = np.array([*washed, washed[1] and washed[2]])
                gains = np.where(together[kind.felting], gains, -np.inf)
            for contrast in meeting.contrasts:
                gains = np.where(kind.shades.may_stand(colour.lightness, contrast), gains, -np.inf)
            if run.need == need and meeting.one.lots.match is not None:
                near = kind.shades.near(colour, meeting.one.lots.match)
                matching = np.full(len(gains), -np.inf)
                matching[near] = gains[near]
                gains = matching
        return gains

    def _later_beside_chosen(self, after: int) -> float:
        """What a slot after this one gains at most beside what is chosen."""
        inside, rated = self.search.inside, self.search.rated[after]
        need = inside.slots[after].need
        meetings = inside.meetings
        if all(r.need != need and not meetings[r.need][need].contrasts and meetings[0][0].wash == "hand" for r in self.runs):
            return rated.top
        return max(rated.beyond, *(float(self._beside_chosen(after, kind).max(initial=-np.inf)) for kind in rated.kinds))


def _sum(offers: Sequence[Offer]) -> dict[int, float]:
    takes: dict[int, float] = {}
    for offer in offers:
        for place, taken in offer.takes.items():
            takes[place] = takes.get(place, 0.0) + taken
    return takes
