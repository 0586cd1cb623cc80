"""What to do where the yarn will not reach: which other yarn is nearest, and whether it may go on from here."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.beside import reach_cm
from planner.instance import Stretch, round_up_cm
from planner.pairs import Meeting, blends, match, may_meet, washed_together
from planner.yarns import LIMIT, WorkingYarn
from stash import colour

if TYPE_CHECKING:
    from patterns.needs import Need
    from planner.instance import Instance, SizedNeed
    from planner.midway.knitting import InUse, Knitting
    from planner.midway.reach import Reach

ALIKE = 5.0  # CIEDE2000 that alternate rows hide; as patterns' own `match` where they say nothing
MOST_ROWS = 4  # of one yarn in a row before the other comes in again
NAMED = 5  # other yarns

ONE_LOT = {
    "one": "the pattern wants one lot all through",
    "by-part": "the pattern wants one lot in each part",
}


@dataclass(frozen=True)
class Other:
    """Another yarn for what is missing. `apart`: CIEDE2000 from the yarn on the needles; `why_not`: "" if allowed.

    `rows`: rows of the yarn on the needles to rows of this one, alternated from now on; None where that cannot do, or
    where the two are unlike.
    """

    yarn: WorkingYarn
    apart: float
    free_m: float
    enough: bool
    why_not: str
    rows: tuple[int, int] | None


@dataclass(frozen=True)
class More:
    """Grams of a lot on the needles that the files hold beside what was begun with."""

    lot: str
    grams: float
    enough: bool


@dataclass(frozen=True)
class Help:
    """What would serve `need`, where `yarn` is short: `missing_m` more of working yarn can be counted on to do."""

    need: str
    yarn: WorkingYarn
    missing_m: float
    more: tuple[More, ...]
    others: tuple[Other, ...]


def help_out(knitting: Knitting, found: Reach, stock: Instance, more_g: dict[str, Fraction]) -> Help:
    """What would serve the lot that is the least likely to reach; `stock` puts the same project and size.

    `more_g`: grams of each lot in use that the files hold beyond what was begun with.
    """
    short = found.shortest
    need = short.in_use.need
    mine = [lot for lot in found.lots if lot.in_use.need == need]
    yarn = working_yarn([lot.in_use for lot in mine] if knitting.how == "together" else [short.in_use])
    in_all = math.fsum if knitting.how == "alternate" else max
    missing = in_all(lot.metres(max(-lot.spare_low_g, 0.0)) / lot.in_use.strands for lot in mine)
    rest_m = in_all(lot.metres(lot.rest_g.high) / lot.in_use.strands for lot in mine)
    making = next(making for making in stock.makings if making.size == knitting.size)
    sized = next(sized for sized in making.needs if sized.need.name == need)
    beside = _Beside(knitting, yarn, sized, stock, missing, rest_m)
    others = tuple(beside.other(other) for other in _nearest(sized, yarn, {one.lot.id for one in knitting.in_use}))
    more = tuple(
        More(lot.in_use.lot.id, float(grams), float(grams) >= -lot.spare_low_g)
        for lot in mine
        if (grams := more_g[lot.in_use.lot.id]) and lot.spare_low_g < 0
    )
    return Help(need, yarn, missing, more, others)


def working_yarn(in_use: list[InUse]) -> WorkingYarn:
    """What lots on the needles are knitted as."""
    return WorkingYarn(tuple(sorted(((one.lot, one.strands) for one in in_use), key=lambda own: own[0].id)))


def _nearest(sized: SizedNeed, yarn: WorkingYarn, taken: set[str]) -> list[WorkingYarn]:
    """Other lots that suit the need, each in the fewest strands that do, the nearest in colour first."""
    fewest: dict[str, WorkingYarn] = {}
    for other in sized.yarns:
        if len(other.lots) == 1 and not other.lot_ids & taken:
            lot = other.lots[0][0].id
            if lot not in fewest or other.strands < fewest[lot].strands:
                fewest[lot] = other
    ranked = sorted(fewest.values(), key=lambda other: (colour.difference(yarn.colour, other.colour), other.name))
    return ranked[:NAMED]


@dataclass(frozen=True)
class _Beside:
    """What another yarn would go on from."""

    knitting: Knitting
    yarn: WorkingYarn
    sized: SizedNeed
    stock: Instance
    missing_m: float
    rest_m: float

    def other(self, other: WorkingYarn) -> Other:
        apart = colour.difference(self.yarn.colour, other.colour)
        free_m = self._free_m(other)
        meeting = self._meeting(self.sized.need)
        mixes = washed_together(meeting, self.yarn, other) and blends(meeting, self.yarn, other)
        rows = None
        if mixes and apart <= ALIKE + LIMIT and self.knitting.how != "alternate":
            rows = _alternated(1 - self.missing_m / self.rest_m, self.rest_m, free_m)
        return Other(other, apart, free_m, free_m >= self.missing_m, self._why_not(meeting, other), rows)

    def _free_m(self, other: WorkingYarn) -> float:
        """Metres of it that can be counted on, from pieces that are long enough."""
        missing_cm = round_up_cm(Fraction(self.missing_m))
        least = min(self.sized.stretches[0].least_cm, missing_cm)
        return reach_cm(self.stock.stock, other, Stretch(None, missing_cm, least), None) / 100

    def _meeting(self, other: Need) -> Meeting:
        """The need with itself, or with another one on the needles."""
        project, pattern = self.knitting.project, self.knitting.pattern
        order = tuple(name for name in pattern.order if name in pattern.sizes[self.knitting.size])
        return Meeting(self.sized.need, other, pattern.wash, project.bleed_risk, order)

    def _why_not(self, meeting: Meeting, other: WorkingYarn) -> str:
        """What the pattern has against going on in the same part with the other yarn."""
        rule = self.sized.need.lots
        yarns = len(self.knitting.in_use) if self.knitting.how == "alternate" else 1
        for one in self.knitting.in_use:
            across = self._meeting(self.knitting.rule(one.need))
            if one.need != self.sized.need.name and not may_meet(across, other, working_yarn([one])):
                return f"it cannot go with {one.lot.id} in {one.need}"
        if not washed_together(meeting, self.yarn, other):
            return "the two cannot be washed together"
        if not blends(meeting, self.yarn, other):
            return "its fibres are too unlike"
        if not match(meeting, self.yarn, other):
            return f"the pattern allows a difference of {rule.match:g}"
        if rule.kind in ONE_LOT:
            return ONE_LOT[rule.kind]
        return f"the pattern allows {rule.most} lots" if rule.most is not None and yarns >= rule.most else ""


def _alternated(share: float, rest_m: float, free_m: float) -> tuple[int, int] | None:
    """Rows of what is on the needles to rows of the other, as many of the first as reach to the end.

    `share`: how much of the rest the first can be counted on to make.
    """
    ratios = [(a, b) for a in range(1, MOST_ROWS + 1) for b in range(1, MOST_ROWS + 1) if math.gcd(a, b) == 1]
    fitting = [(a, b) for a, b in ratios if a / (a + b) <= share and rest_m * b / (a + b) <= free_m]
    return max(fitting, key=lambda rows: (rows[0] / sum(rows), -sum(rows)), default=None)
