"""Will it reach: what the weighing says of the rate at which yarn goes into the knitting, and how far the rest goes.

Everything is in logarithms, where errors by a share add up. For each lot

    ln(grams used / grams expected so far) = need + count + share - began / used + left / used

with one error for the pattern's figure (5 % where it is printed), one for each lot's count, one for the share done and
one for each weighing. What was weighed moves all of them, each by as much as it may be to blame (beliefs.py): the
pattern's figure and the weighing are weighted by the inverses of their variances. With nothing knitted the pattern's
figure stands; where it is worth nothing, the measured rate does. Grams per share need no count: only their expected
value does.

Where the two are further apart than two of their combined standard uncertainties, this knitter is not the pattern's:
its figure is then trusted less, just so much that they agree within two (our own rule, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist
from typing import TYPE_CHECKING

from planner.midway.beliefs import Beliefs, Form, believe, chance_all_above
from stash.lengths import shared_u

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.midway.knitting import InUse, Knitting

END_M = 0.3  # woven in, of every piece
AGREE_WITHIN = 2  # combined standard uncertainties
SHARE = ("share",)


@dataclass(frozen=True)
class Span:
    """A best guess and the ends of its interval, each passed with a chance of 1 - confidence."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class LotReach:
    """How one lot stands. Grams, and metres of this lot (all its strands laid end to end)."""

    in_use: InUse
    rest_g: Span  # what the rest of the part takes
    spare_g: float  # best guess of what is then over, ends taken off; below 0: what is missing
    spare_low_g: float  # the same, counted on
    lasts: Span  # how much of the whole part its yarn still makes; more than is to come where it reaches
    chance: float
    tex: float  # as now believed
    tex_u: float

    def metres(self, grams: float) -> float:
        return 1000 * grams / self.tex


@dataclass(frozen=True)
class Reach:
    """How all lots stand together. `ratios`: by need, yarn used over the pattern's figure, with its relative u."""

    lots: tuple[LotReach, ...]
    chance: float
    ratios: Mapping[str, tuple[float, float]]
    measured: float  # the same ratio as weighed, the pattern's figure apart
    odd: bool  # the weighing and a pattern's figure do not agree, so that the figure is trusted less

    @cached_property
    def shortest(self) -> LotReach:
        """The lot that is the least likely to reach."""
        return min(self.lots, key=lambda lot: (lot.chance, lot.spare_g))


def reach(knitting: Knitting, confidence: float) -> Reach:
    """How far what is left goes; `confidence` is that of either end of every interval."""
    stated = {name: knitting.amount(name)[1] for name in knitting.needs}
    working = [_Working(knitting, one, stated[one.need]) for one in knitting.in_use]
    trusted = {name: max(own.need_u for own in working if own.in_use.need == name) for name in knitting.needs}
    working = [_Working(knitting, one, trusted[one.need]) for one in knitting.in_use]
    beliefs = believe((own.seen for own in working), ((own.seen, own.value) for own in working))
    margins = [own.margin for own in working]
    if knitting.done.share == 1:
        chance = 1.0
    elif all(own.usable_g > 0 for own in working):
        chance = chance_all_above(beliefs, margins)
    else:
        chance = 0.0
    z = NormalDist().inv_cdf(confidence)
    ratios = {}
    for name in knitting.needs:
        form: Form = {("need", name): trusted[name]}
        ratios[name] = (math.exp(beliefs.mean(form)), beliefs.spread(form))
    values = [own.value for own in working if own.in_use.need == knitting.need] or [own.value for own in working]
    return Reach(
        tuple(own.stand(beliefs, z) for own in working),
        chance,
        ratios,
        math.exp(math.fsum(values) / len(values)),
        any(trusted[name] > stated[name] for name in stated),
    )


def lot_metres_per_metre(knitting: Knitting, one: InUse) -> float:
    """Metres of a lot in a metre of the working yarn: its strands, and under `alternate` its share of the rows so far.

    The shares are those of the metres used so far, and are taken to stay what they are.
    """
    if knitting.how != "alternate":
        return float(one.strands)
    used = {other.lot.id: float(other.used_g / other.tex) for other in knitting.in_use}
    return one.strands * used[one.lot.id] / math.fsum(used.values())


class _Working:
    """One lot's logarithms: what was seen, what is over, and what they hang on."""

    def __init__(self, knitting: Knitting, one: InUse, need_u: float) -> None:
        self.in_use = one
        self.done, self.done_u = float(knitting.done.share), knitting.done.u
        metres, _ = knitting.amount(one.need)
        self.strand_tex = float(one.lot.count.tex)
        self.whole_g = metres * lot_metres_per_metre(knitting, one) * self.strand_tex / 1000
        self.usable_g = float(one.left_g) - END_M * one.pieces * self.strand_tex / 1000
        self.count: Form = {("count", one.lot.id): shared_u(one.lot)}
        used = float(one.used_g)
        self.scale: Form = {("left", one.lot.id): one.left_u_g}
        weighing: Form = {("began", one.lot.id): -one.began_u_g / used, ("left", one.lot.id): one.left_u_g / used}
        others: Form = {**self.count, SHARE: self.done_u / self.done, **weighing}
        self.value = math.log(used / (self.done * self.whole_g))
        agreeing = (self.value / AGREE_WITHIN) ** 2 - math.fsum(u * u for u in others.values())
        self.need_u = max(need_u, math.sqrt(max(agreeing, 0.0)))
        self.rate: Form = {("need", one.need): self.need_u, **self.count}
        self.seen: Form = {("need", one.need): self.need_u, **others}

    @property
    def left_share(self) -> float:
        return 1 - self.done

    @property
    def rest(self) -> Form:
        """What moves ln(grams the rest takes)."""
        return {**self.rate, SHARE: -self.done_u / self.left_share if self.left_share else 0.0}

    @property
    def usable(self) -> Form:
        """What moves ln(grams that are left)."""
        return {error: u_g / self.usable_g for error, u_g in self.scale.items()} if self.usable_g > 0 else {}

    @property
    def margin(self) -> tuple[float, Form]:
        """ln(grams left / grams the rest takes)."""
        if self.usable_g <= 0 or not self.left_share:
            return 0.0, dict.fromkeys(self.rest, 0.0)
        constant = math.log(self.usable_g / (self.left_share * self.whole_g))
        return constant, {**self.usable, **{error: -times for error, times in self.rest.items()}}

    def stand(self, beliefs: Beliefs, z: float) -> LotReach:
        rest = _span(self.left_share * self.whole_g, beliefs, self.rest, z)
        constant, margin = self.margin
        lasts = _span(max(self.usable_g, 0.0) / self.whole_g, beliefs, margin, z)
        if not self.left_share:
            chance = 1.0
        else:
            chance = chance_all_above(beliefs, [(constant, margin)]) if self.usable_g > 0 else 0.0
        spare = self.usable_g - rest.likely
        in_grams = {error: -rest.likely * times for error, times in self.rest.items()} | self.scale
        spread = beliefs.spread(in_grams)
        return LotReach(
            self.in_use,
            rest,
            spare,
            spare - z * spread,
            lasts,
            chance,
            self.strand_tex * math.exp(beliefs.mean(self.count)),
            beliefs.spread(self.count),
        )


def _span(scale: float, beliefs: Beliefs, form: Form, z: float) -> Span:
    """The interval of scale x e^form."""
    mean, spread = beliefs.mean(form), beliefs.spread(form)
    return Span(*(scale * math.exp(mean + sign * z * spread) for sign in (-1, 0, 1)))
