"""The chance of running short: that what is taken for a need holds less than the need without reserve.

Every strand of every part has a margin: the length wound for it, less its ends, less what the part needs. A margin is
a sum of independent normal errors, each times a constant: one for each lot (its count, shared by its skeins), one for
each skein (its own weighing) and one for the need (a printed figure is wrong for all parts alike). The need runs short
when any margin is below zero.

One margin: the normal distribution gives the chance in closed form. Several: given all errors but the need's, the
need's error alone decides, again in closed form; that is averaged over the other errors at fixed points of a lattice
(square roots of primes, folded so that it closes on itself; Genz and Bretz, Computation of Multivariate Normal and t
Probabilities, 2009, section 4.2, from memory), each point with its mirror image. No random numbers, so the same plan
has the same chance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from stash.lengths import guarded_factor, own_u, shared_u

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy.typing as npt

    from patterns.needs import Amount
    from planner.plan import Take, YarnRun
    from stash.lots import Stash

ENDS_M = 0.3  # woven in, of every piece taken
POINTS = 512
RISKY = 0.1  # more is told beside the answer; common practice, no source
NEGLIGIBLE = 1e-9  # a chance, or a length in metres, that makes no difference
_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97)
_NORMAL = NormalDist()

Error = tuple[str, ...]  # ("lot", lot) or ("skein", lot, skein)


@dataclass
class _Margin:
    """Metres to spare: `mean` + sum(error x metres) - need's error x `need`."""

    mean: float
    need: float
    errors: dict[Error, float] = field(default_factory=dict)

    @property
    def spread(self) -> float:
        return math.hypot(self.need, *self.errors.values())

    @property
    def chance(self) -> float:
        return _chance_below(self.mean, self.spread)


def chance_short(
    parts: Mapping[str | None, Amount], runs: tuple[YarnRun, ...], stash: Stash, confidence: Fraction
) -> float:
    """Return the chance, 0 to 1, that a planned need runs short in some part.

    `parts` are the need's amounts in the size made, `runs` what is planned for it. Yarn is wound off by weight, so a
    piece holds the share of its true length that was planned of its guarded length at `confidence`. Where the runs do
    not tell parts apart, the need is the sum of its parts.
    """
    margins: list[_Margin] = []
    for metres, relative_u, served in _by_part(parts, runs):
        strands = max((sum(run.lots.values()) for run in served), default=0)
        if not strands and metres > 0:
            return 1.0
        for strand in range(strands):
            margin = _Margin(-metres, metres * relative_u)
            for run in served:  # a run with fewer strands than another counts in every strand of the part
                _wind(margin, run, strand % sum(run.lots.values()) + 1, stash, confidence)
            margins.append(margin)
    return _chance_any(_worst(margins))


def _by_part(parts: Mapping[str | None, Amount], runs: Sequence[YarnRun]) -> list[tuple[float, float, list[YarnRun]]]:
    """Return (metres, their relative uncertainty, the runs for them) for each stretch that must be reached."""
    if any(run.part is not None for run in runs):
        return [
            (float(amount.metres), amount.relative_u, [run for run in runs if run.part == part])
            for part, amount in parts.items()
        ]
    metres = float(sum((amount.metres for amount in parts.values()), Fraction(0)))
    spread = math.fsum(float(amount.metres) * amount.relative_u for amount in parts.values())
    return [(metres, spread / metres if metres else 0.0, list(runs))]


def _wind(margin: _Margin, run: YarnRun, strand: int, stash: Stash, confidence: Fraction) -> None:
    """Add to a margin what one strand of a run holds."""
    for take in run.takes:
        if take.strand == strand:
            _add(margin, take, stash, confidence)


def _add(margin: _Margin, take: Take, stash: Stash, confidence: Fraction) -> None:
    lot = stash.lots[take.lot]
    skein = next(one for one in lot.skeins if one.id == take.skein)
    factor = guarded_factor(lot, skein, confidence)
    held = take.take_cm / 100 / factor if factor else 0.0
    margin.mean += held - ENDS_M
    shares: dict[Error, float] = {
        ("lot", lot.id): shared_u(lot, skein),
        ("skein", lot.id, skein.id): own_u(lot, skein),
    }
    for error, relative_u in shares.items():
        margin.errors[error] = margin.errors.get(error, 0.0) + held * relative_u


def _worst(margins: list[_Margin]) -> list[_Margin]:
    """Drop margins that cannot matter: no chance worth counting, or always above another; the likeliest first."""
    kept: list[_Margin] = []
    for margin in sorted(margins, key=lambda one: (-one.chance, one.mean, one.spread)):
        if kept and margin.chance < NEGLIGIBLE:
            break
        if not any(_always_above(margin, other) for other in kept):
            kept.append(margin)
    return kept


def _always_above(margin: _Margin, other: _Margin) -> bool:
    apart = [
        margin.errors.get(error, 0.0) - other.errors.get(error, 0.0) for error in {**margin.errors, **other.errors}
    ]
    return margin.mean >= other.mean and math.hypot(margin.need - other.need, *apart) < NEGLIGIBLE * (1 + other.spread)


def _chance_any(margins: list[_Margin]) -> float:
    """Return the chance that any margin is below zero."""
    if not margins:
        return 0.0
    chances = [margin.chance for margin in margins]
    low, high = max(chances), min(math.fsum(chances), 1.0)
    if high - low < NEGLIGIBLE:
        return low
    return min(max(_averaged(margins), low), high)


def _averaged(margins: list[_Margin]) -> float:
    """Return the chance that any margin is below zero, averaged over the errors but the need's."""
    loadings = np.array(_loadings(margins)).T  # a row for each independent error, a column for each margin
    drawn = np.zeros((len(margins), POINTS))
    for point, loading in zip(_points(len(loadings), POINTS), loadings, strict=True):
        drawn += np.outer(loading, point)
    both = [_given(margins, drawn), _given(margins, -drawn)]
    return 0.5 * math.fsum(math.fsum(map(math.erfc, one)) for one in both) / (2 * POINTS)


def _given(margins: list[_Margin], drawn: npt.NDArray[np.float64]) -> list[float]:
    """For each column of `drawn`: the need's error at which a margin is below zero, when the others come to that.

    In units whose complementary error function is twice the chance of it.
    """
    left = drawn + np.array([[margin.mean] for margin in margins])
    needs = np.array([[margin.need] for margin in margins])
    with np.errstate(divide="ignore", invalid="ignore"):
        reaches = np.where(needs, left / needs, np.copysign(np.inf, left)).min(axis=0)
    return list((reaches / math.sqrt(2)).tolist())


def _loadings(margins: list[_Margin]) -> list[list[float]]:
    """Return the margins' errors but the need's in as few independent ones as they span, the largest first.

    Cholesky's decomposition of their covariances, pivoted; what is left over below a hundred thousandth is nothing.
    """
    count = len(margins)
    left = [
        [math.fsum(a * two.errors.get(e, 0.0) for e, a in one.errors.items()) for two in margins] for one in margins
    ]
    rows: list[list[float]] = [[] for _ in range(count)]
    least = 1e-10 * max(left[at][at] for at in range(count))
    for _ in range(count):
        pivot = max(range(count), key=lambda at: left[at][at])
        if left[pivot][pivot] <= least:
            break
        root = math.sqrt(left[pivot][pivot])
        column = [left[at][pivot] / root for at in range(count)]
        for at in range(count):
            rows[at].append(column[at])
            left[at] = [left[at][to] - column[at] * column[to] for to in range(count)]
    return rows


@lru_cache(maxsize=16)
def _points(dimensions: int, count: int) -> npt.NDArray[np.float64]:
    """Return the lattice's points as standard normal errors, a row for each of the `dimensions`."""
    roots = [math.sqrt(_PRIMES[axis % len(_PRIMES)]) * (1 + axis // len(_PRIMES)) for axis in range(dimensions)]
    least = 0.25 / count
    return np.array(
        [
            [_NORMAL.inv_cdf(min(max(abs(2 * ((at * root) % 1) - 1), least), 1 - least)) for at in range(1, count + 1)]
            for root in roots
        ]
    )


def _chance_below(mean: float, spread: float) -> float:
    """Return the chance that a normal amount is below zero."""
    if spread <= 0:
        return 1.0 if mean < 0 else 0.0
    return 0.5 * math.erfc(mean / spread / math.sqrt(2))
