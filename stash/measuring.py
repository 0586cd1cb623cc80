"""Samples of one yarn, measured and weighed: what each tells of its count, and what all of them tell together.

Every sample has errors of its own (the ends of a turn, the last digit of the scale), which several samples average
out, and errors all share (the length of a turn or of the tape, the pull of the hand), which they do not. The last digit
of samples that are alike averages out only as far as a part of a turn more or less changes it: a scale that shows the
same number every time is wrong by the same part of its step every time (JCGM 100 F.2.2.1, from memory).
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from stash.count import LENGTH_U, TENSION_U, Count, CountError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stash.units import Quantity

TURN_VARIANCE = Fraction(1, 3)  # turns are read to 1/sqrt(3) of a turn; common practice, no source
SCALE_VARIANCE = Fraction(1, 12)  # of the display's step, each reading; JCGM 100 F.2.2.1 (from memory)
LEAST_CHANCE = 0.05  # samples that scatter more than so many in a hundred would are said to disagree


@dataclass(frozen=True)
class Reading:
    """What was read of a sample: once round and how many turns of it (`turns` None: the length is all of it).

    `weighings`: none, one, or what the scale showed before and after the sample was wound off.
    """

    turns: Fraction | None
    length: Quantity
    weighings: tuple[Quantity, ...]

    @property
    def length_m(self) -> Fraction:
        return self.length.value * (1 if self.turns is None else self.turns)

    @cached_property
    def mass_g(self) -> Fraction:
        """The mass in grams; of two readings their difference, which may be 0 or less where they were mixed up."""
        first, *second = (one.value for one in self.weighings)
        return first - second[0] if second else first


@dataclass(frozen=True)
class Sample:
    """A measured and weighed stretch of yarn; `steps_g`: the step of the scale at each reading its mass comes from."""

    length_m: Fraction
    mass_g: Fraction
    steps_g: tuple[Fraction, ...]
    turns: Fraction | None
    apart: bool
    text: str

    @cached_property
    def tex(self) -> Fraction:
        return 1000 * self.mass_g / self.length_m

    @property
    def turns_variance(self) -> Fraction:
        """Relative variance that the part of a turn at each end leaves; none where nothing was wound."""
        return Fraction(0) if self.turns is None else TURN_VARIANCE / self.turns**2

    @property
    def scale_variance(self) -> Fraction:
        """Relative variance that the last digit of the scale leaves, of each reading."""
        return SCALE_VARIANCE * sum((step / self.mass_g) ** 2 for step in self.steps_g)

    @property
    def digit_stays(self) -> float:
        """How much of the last digit's error a sample like this one, taken again, has in common with it, 0 to 1.

        All of it where nothing was wound. The ends of wound ones, a turn either way, move the mass over r steps: the
        errors of two such samples are correlated by (1 - r)^2 up to r = 1 (our own reckoning: the mean over both
        ends of the autocorrelation 1 - 6 d (1 - d) of rounding, d the distance in steps).
        """
        if self.turns is None:
            return 1.0
        return max(1 - float(2 * self.mass_g / self.turns / max(self.steps_g)), 0.0)

    @property
    def own_variance(self) -> Fraction:
        return self.turns_variance + self.scale_variance


def sample_of(reading: Reading, steps_g: tuple[Fraction, ...], *, apart: bool = False) -> Sample:
    """Return the sample of a reading, weighed to `steps_g`, one for each weighing. Raises CountError."""
    for name, value in (("turns", reading.turns), ("length", reading.length.value), ("mass", reading.mass_g)):
        if value is not None and value <= 0:
            raise CountError(f"{name} is not above zero", f"measure again and write {name} as a number above 0")
    long = reading.length.text
    mass = " less ".join(one.text for one in reading.weighings)
    text = f"{mass} in {long}" if reading.turns is None else f"{plain_number(reading.turns)} turns of {long}, {mass}"
    return Sample(reading.length_m, reading.mass_g, steps_g, reading.turns, apart, text)


def plain_number(value: Fraction) -> str:
    """A number of at most four decimals in plain digits: "120", "12.5"."""
    return f"{float(value):.4f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class Scatter:
    """How far several samples lie apart, against what their turns and scales explain.

    `chi_square` over `degrees` of freedom; `chance`: how often honest samples of one even yarn lie so far apart or
    farther; `odd`: the place of the sample that fits the others least, from 0; None where two cannot tell which.
    """

    chi_square: float
    degrees: int
    chance: float
    odd: int | None

    @property
    def agree(self) -> bool:
        return self.chance >= LEAST_CHANCE

    @property
    def ratio(self) -> float:
        """What the samples' own uncertainty is multiplied with: 1 where they agree, else the Birge ratio.

        sqrt(chi-square / degrees), as the Particle Data Group scales the mean of measurements that disagree.
        """
        return 1.0 if self.agree else math.sqrt(self.chi_square / self.degrees)


@dataclass(frozen=True)
class Pooled:
    """Samples of one yarn taken together, each with its weight; the weights add up to 1."""

    samples: tuple[Sample, ...]
    weights: tuple[Fraction, ...]

    @cached_property
    def tex(self) -> Fraction:
        if len(self.samples) == 1:
            return self.samples[0].tex
        return sum((w * one.tex for w, one in zip(self.weights, self.samples, strict=True)), Fraction(0))

    @cached_property
    def scatter(self) -> Scatter | None:
        """None for one sample alone."""
        if len(self.samples) < 2:
            return None
        apart = [(one.tex / self.tex - 1) ** 2 / one.own_variance for one in self.samples]
        degrees = len(apart) - 1
        chi_square = float(sum(apart))
        # a sample pulls the mean towards itself by its weight; 1 - weight undoes that
        alone = [part / (1 - w) for part, w in zip(apart, self.weights, strict=True)]
        odd = max(range(len(alone)), key=alone.__getitem__) if degrees > 1 else None
        return Scatter(chi_square, degrees, chance_of_more(chi_square, degrees), odd)

    @cached_property
    def parts(self) -> dict[str, float]:
        """Relative standard uncertainty of the count by where it comes from; together as the root of their squares."""
        if len(self.samples) == 1:
            turns, scale = self.samples[0].turns_variance, float(self.samples[0].scale_variance)
        else:
            pairs = [(w * one.tex / self.tex, one) for w, one in zip(self.weights, self.samples, strict=True)]
            turns = sum((part**2 * one.turns_variance for part, one in pairs), Fraction(0))
            scale = _digits_variance(pairs)
        widened = 1.0 if self.scatter is None else self.scatter.ratio
        wound = all(one.turns is not None for one in self.samples)
        parts = {
            "turns": math.sqrt(turns),
            "scale": math.sqrt(scale),
            "scatter": math.sqrt((float(turns) + scale) * (widened**2 - 1)) if widened > 1 else 0.0,
            "around" if wound else "length": LENGTH_U,
            "tension": TENSION_U,
        }
        return {name: u for name, u in parts.items() if u}

    def count(self, text: str = "") -> Count:
        """The yarn's count; where any sample was weighed apart from the skeins, all of it counts as such."""
        text = text or (self.samples[0].text if len(self.samples) == 1 else f"{len(self.samples)} samples")
        return Count(self.tex, math.hypot(*self.parts.values()), any(one.apart for one in self.samples), text)


def _digits_variance(pairs: Sequence[tuple[Fraction, Sample]]) -> float:
    """Relative variance that the last digits leave; `pairs`: each sample and its part of the whole.

    Samples that are alike are wrong by the same as far as their digit stays, and so far their errors add up.
    """
    own = 0.0
    alike: dict[object, float] = defaultdict(float)
    for part, one in pairs:
        error = float(part) * math.sqrt(one.scale_variance)
        stays = one.digit_stays
        own += error**2 * (1 - stays**2)
        shown = one.mass_g if one.turns is None else None
        alike[one.length_m, one.turns, one.steps_g, shown] += error * stays
    return own + math.fsum(error**2 for error in alike.values())


def pool(samples: Sequence[Sample]) -> Pooled:
    """Return samples of one yarn taken together, each weighed by how little error it has of its own."""
    if len(samples) == 1:
        return Pooled(tuple(samples), (Fraction(1),))
    inverse = [1 / one.own_variance for one in samples]
    total = sum(inverse, Fraction(0))
    return Pooled(tuple(samples), tuple(one / total for one in inverse))


def chance_of_more(chi_square: float, degrees: int) -> float:
    """Return the chance that a chi-square of so many degrees of freedom is this large or larger.

    Q(k/2, x/2) by its recurrence Q(a + 1, x) = Q(a, x) + x^a e^-x / Gamma(a + 1); from Q(1/2, x) = erfc(sqrt(x)) or
    Q(1, x) = e^-x (from memory).
    """
    x = chi_square / 2
    order, chance = (0.5, math.erfc(math.sqrt(x))) if degrees % 2 else (1.0, math.exp(-x))
    while order < degrees / 2:
        chance += math.exp(order * math.log(x) - x - math.lgamma(order + 1)) if x else 0.0
        order += 1
    return chance
