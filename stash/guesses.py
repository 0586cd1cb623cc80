"""Guesses: quantities above zero known within a factor, each error by its source, so that shared ones are not lost.

The law of propagation (JCGM 100) in logarithms: a product's errors add source by source, and two guesses that share a
source are correlated by it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction


@dataclass(frozen=True)
class Guess:
    """A best value, and what each source of error adds to it: relative, standard, with a sign."""

    best: float
    errors: Mapping[str, float]

    @property
    def relative_u(self) -> float:
        """The relative standard uncertainty, all sources together."""
        return math.hypot(*self.errors.values()) if self.errors else 0.0

    def interval(self, z: float) -> tuple[float, float]:
        """The two ends that lie `z` standard uncertainties off, as factors."""
        factor = math.exp(z * self.relative_u)
        return self.best / factor, self.best * factor

    def __mul__(self, other: Guess) -> Guess:
        return Guess(self.best * other.best, _added(self.errors, other.errors, 1.0))

    def __truediv__(self, other: Guess) -> Guess:
        return Guess(self.best / other.best, _added(self.errors, other.errors, -1.0))

    def __pow__(self, exponent: float) -> Guess:
        return Guess(self.best**exponent, {name: exponent * error for name, error in self.errors.items()})


def exactly(value: Fraction | float) -> Guess:
    """A number that is not in doubt."""
    return Guess(float(value), {})


def apart(one: Guess, other: Guess) -> float:
    """How far two guesses of one quantity lie apart, in joint standard uncertainties of their quotient."""
    quotient = one / other
    if quotient.relative_u == 0:
        return 0.0 if one.best == other.best else math.inf
    return abs(math.log(quotient.best)) / quotient.relative_u


def combined(one: Guess, other: Guess) -> Guess:
    """The weighted mean of two guesses of one quantity, in logarithms, that is least uncertain (JCGM 100, F.1.2.3).

    It lies between the two: where they share most of their errors, the surer one stands.
    """
    quotient = one / other
    if quotient.relative_u == 0:
        return one
    shared = sum(error * other.errors.get(name, 0.0) for name, error in one.errors.items())
    share = min(max((other.relative_u**2 - shared) / quotient.relative_u**2, 0.0), 1.0)
    return one**share * other ** (1 - share)


def _added(one: Mapping[str, float], other: Mapping[str, float], sign: float) -> dict[str, float]:
    return {name: one.get(name, 0.0) + sign * other.get(name, 0.0) for name in (*one, *other)}
