"""What is believed of several errors, and what a measurement changes in it.

Errors are independent standard normal amounts, each known by a name; a `Form` is a sum of them, each times a
coefficient. A measurement says what a form came to, and beliefs move by the rule for conditioning a normal
distribution (Kalman, A New Approach to Linear Filtering and Prediction Problems, 1960, from memory): for one form
measured with one error it is the mean of two values weighted by the inverses of their variances.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

Error = tuple[str, ...]
Form = dict[Error, float]

NOTHING = 1e-15  # a variance below it tells nothing
POINTS = 2000  # of the lattice several chances are averaged over
_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23)
_NORMAL = NormalDist()


@dataclass(frozen=True)
class Beliefs:
    """Means and covariances of errors by name; `at` is the place of each."""

    at: Mapping[Error, int]
    means: tuple[float, ...]
    covariances: tuple[tuple[float, ...], ...]

    def mean(self, form: Form) -> float:
        return math.fsum(self.means[self.at[error]] * times for error, times in form.items())

    def covariance(self, one: Form, other: Form) -> float:
        return math.fsum(
            a * b * self.covariances[self.at[first]][self.at[second]]
            for first, a in one.items()
            for second, b in other.items()
        )

    def spread(self, form: Form) -> float:
        """Return the standard deviation of a form."""
        return math.sqrt(max(self.covariance(form, form), 0.0))


def believe(forms: Iterable[Form], measured: Iterable[tuple[Form, float]]) -> Beliefs:
    """Return what is believed of every error in `forms` after each of `measured` came to its value, in any order."""
    told = list(measured)
    names = dict.fromkeys(error for form in [*forms, *(form for form, _ in told)] for error in form)
    at = {error: place for place, error in enumerate(names)}
    means = [0.0] * len(at)
    covariances = [[float(row == column) for column in range(len(at))] for row in range(len(at))]
    for form, value in told:
        along = [math.fsum(row[at[error]] * times for error, times in form.items()) for row in covariances]
        variance = math.fsum(along[at[error]] * times for error, times in form.items())
        if variance < NOTHING:
            continue
        surprise = value - math.fsum(means[at[error]] * times for error, times in form.items())
        means = [mean + own * surprise / variance for mean, own in zip(means, along, strict=True)]
        covariances = [
            [own - along[row] * along[column] / variance for column, own in enumerate(covariances[row])]
            for row in range(len(at))
        ]
    return Beliefs(at, tuple(means), tuple(map(tuple, covariances)))


def chance_all_above(beliefs: Beliefs, margins: Sequence[tuple[float, Form]]) -> float:
    """Return the chance that every constant + form is above zero.

    One by one, each given those before it, averaged over a lattice (Genz, Numerical Computation of Multivariate Normal
    Probabilities, 1992, from memory); closed form for one.
    """
    means = [constant + beliefs.mean(form) for constant, form in margins]
    rows = _triangle([[beliefs.covariance(one, other) for _, other in margins] for _, one in margins])
    if len(margins) == 1:
        return _above(means[0], rows[0][0])
    return math.fsum(_chain(means, rows, point) for point in range(1, POINTS + 1)) / POINTS


def _chain(means: list[float], rows: list[list[float]], point: int) -> float:
    chance, drawn = 1.0, list[float]()
    for place, (mean, row) in enumerate(zip(means, rows, strict=True)):
        given = mean + math.fsum(a * b for a, b in zip(row[:place], drawn, strict=True))
        own = _above(given, row[place])
        chance *= own
        if own <= 0:
            return 0.0
        # a point of the lattice, folded so that it closes on itself, spread over what is above zero
        at = abs(2 * ((point * math.sqrt(_PRIMES[place % len(_PRIMES)])) % 1) - 1)
        drawn.append(-_NORMAL.inv_cdf(min(max(own * at, 1e-300), 1 - 1e-15)))
    return chance


def _above(mean: float, spread: float) -> float:
    """Return the chance that a normal amount is above zero."""
    if spread <= 0:
        return 1.0 if mean >= 0 else 0.0
    return 0.5 * math.erfc(-mean / spread / math.sqrt(2))


def _triangle(matrix: list[list[float]]) -> list[list[float]]:
    """Return Cholesky's triangle of covariances; a row that adds nothing of its own ends in 0."""
    rows: list[list[float]] = []
    for place, line in enumerate(matrix):
        row: list[float] = []
        for column in range(place):
            left = line[column] - math.fsum(a * b for a, b in zip(row, rows[column][:column], strict=True))
            row.append(left / rows[column][column] if rows[column][column] > 0 else 0.0)
        row.append(math.sqrt(max(line[place] - math.fsum(one * one for one in row), 0.0)))
        rows.append(row)
    return rows
