"""What `measure` answers: count, class and metres of a yarn with their intervals, and what makes them uncertain."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING

from stash.budget import Better, Source, relative_u, sharpen, sources
from stash.count import LENGTH_U, TENSION_U, count_fault
from stash.fibre import density
from stash.weightclass import class_of, m_per_100g, wool_equivalent_tex

if TYPE_CHECKING:
    from planner.measure.asking import Told
    from stash.budget import Measured
    from stash.count import Count
    from stash.measuring import Pooled, Reading
    from stash.weightclass import WeightClass


@dataclass(frozen=True)
class Interval:
    """A best guess, and the ends each passed with a chance of 1 - confidence."""

    best: float
    low: float
    high: float


@dataclass(frozen=True)
class YarnFigures:
    """What samples or wraps tell of a yarn. `thick` and `thin`: its class at the ends of the interval."""

    count: Count
    relative_u: float  # of the metres in the batch, or in a given mass
    m_per_100g: Interval
    ply_m_per_100g: float | None  # None for a single
    wool_m_per_100g: float
    weight_class: WeightClass
    thick: WeightClass
    thin: WeightClass
    batch_m: Interval | None
    sources: tuple[Source, ...]
    better: tuple[Better, ...]
    pooled: Pooled | None
    odd: tuple[str, str] | None  # what is odd about a count that hardly any yarn has, and what to look at


@dataclass(frozen=True)
class Measurement:
    """The whole answer: `measured_m`, the metres of what was measured, None for wraps; `yarn` None if not weighed."""

    told: Told
    confidence: Fraction
    measured_m: Interval | None
    yarn: YarnFigures | None


def measure(told: Told, confidence: Fraction) -> Measurement:
    """Work out everything that what was told tells, at a confidence from 0.5 up."""
    readings = told.readings or (() if told.length is None else (told.length,))
    yarn = None if told.yarn is None else _figures(told.yarn, told.plies, confidence)
    return Measurement(told, confidence, _measured_m(readings, confidence) if readings else None, yarn)


def z_of(confidence: Fraction) -> float:
    """The one-sided normal quantile, as for guarded lengths."""
    return NormalDist().inv_cdf(float(confidence))


def interval(best: Fraction | float, relative: float, confidence: Fraction) -> Interval:
    reach = z_of(confidence) * relative
    return Interval(float(best), float(best) * max(1 - reach, 0.0), float(best) * (1 + reach))


def _measured_m(readings: tuple[Reading, ...], confidence: Fraction) -> Interval:
    """All that was measured, in metres: each sample's turns are its own, the way they were measured is shared."""
    total = float(sum(one.length_m for one in readings))
    own = [float(one.length.value) / math.sqrt(3) for one in readings if one.turns is not None]
    return interval(total, math.hypot(math.hypot(*own) / total, LENGTH_U, TENSION_U), confidence)


def _figures(yarn: Measured, plies: int, confidence: Fraction) -> YarnFigures:
    count = yarn.count()
    spread = relative_u(yarn)
    bare = math.hypot(*(one.relative_u for one in sources(yarn) if one.name != "batch scale"))
    metres = interval(m_per_100g(count.tex), bare, confidence)
    wool = m_per_100g(wool_equivalent_tex(count.tex, density(yarn.blend)))
    ends = interval(wool, bare, confidence)
    return YarnFigures(
        count,
        spread,
        metres,
        metres.best * plies if plies > 1 else None,
        float(wool),
        class_of(wool),
        class_of(Fraction(ends.low)),
        class_of(Fraction(ends.high)),
        None if yarn.batch_g is None else interval(1000 * yarn.batch_g / count.tex, spread, confidence),
        sources(yarn),
        sharpen(yarn),
        yarn.pooled,
        None if (told := count_fault(count)) is None else told[:2],
    )
