"""What makes the metres of a measured yarn uncertain, source by source, and what would sharpen them most."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from stash.count import Count, count_from_wraps, scale_relative_u
from stash.lengths import humidity_u
from stash.measuring import Pooled, Sample, pool

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stash.fibre import Blend

MANY_TURNS = Fraction(100)  # what a sample on a swift is best wound to
FINE_STEPS = (Fraction(1, 10), Fraction(1, 100))  # grams: scales that are easily had
WORTH = 0.95  # what does not bring the uncertainty below so much of itself is not worth the trouble
USUAL_AROUND_M = Fraction("1.5")


@dataclass(frozen=True)
class Measured:
    """A yarn as it was measured: by samples, or by wraps in an inch; and, where it was weighed, all there is of it."""

    samples: tuple[Sample, ...]
    wraps: Fraction | None
    blend: Blend
    batch_g: Fraction | None = None
    batch_step_g: Fraction = Fraction(0)

    @property
    def pooled(self) -> Pooled | None:
        return pool(self.samples) if self.samples else None

    def count(self) -> Count:
        """The yarn's count, as a file with the same samples gives it. Raises CountError."""
        if self.wraps is not None:
            return count_from_wraps(self.wraps, self.blend, text=f"{float(self.wraps):g} wraps in an inch")
        return pool(self.samples).count()


@dataclass(frozen=True)
class Source:
    """One thing that makes the metres uncertain; `share` of the whole variance."""

    name: str
    relative_u: float
    share: float


@dataclass(frozen=True)
class Better:
    """One thing done better, and the relative standard uncertainty of the metres before and then.

    `what`: scale, batch scale, turns, length, same day, more samples or sample; `figure`: the step in grams, the
    turns, the metres or the samples it takes.
    """

    what: str
    figure: Fraction
    before_u: float
    after_u: float


def sources(measured: Measured) -> tuple[Source, ...]:
    """What makes the metres of the batch uncertain (without one: the metres in a given mass), largest first."""
    pooled = measured.pooled
    parts = {"wraps": measured.count().relative_u} if pooled is None else dict(pooled.parts)
    if any(one.apart for one in measured.samples):
        parts["humidity"] = humidity_u(measured.blend)
    if measured.batch_g is not None:
        parts["batch scale"] = scale_relative_u(measured.batch_g, measured.batch_step_g)
    total = sum(part**2 for part in parts.values())
    ordered = sorted(parts.items(), key=lambda item: (-item[1], item[0]))
    return tuple(Source(name, part, part**2 / total) for name, part in ordered)


def relative_u(measured: Measured) -> float:
    """Return the relative standard uncertainty of the metres of the batch, or of the metres in a given mass."""
    return math.hypot(*(source.relative_u for source in sources(measured)))


def sharpen(measured: Measured) -> tuple[Better, ...]:
    """What is worth doing better, each done alone and all else left as it is; the most useful first."""
    now = relative_u(measured)
    tried = [Better(what, figure, now, relative_u(then)) for what, figure, then in _bettered(measured)]
    return tuple(sorted((one for one in tried if one.after_u < WORTH * now), key=lambda one: one.after_u))


def _bettered(measured: Measured) -> Iterator[tuple[str, Fraction, Measured]]:
    """Each thing that can be done better, its figure, and what would then have been measured."""
    if measured.wraps is not None:
        yield from _sample_instead(measured)
    coarsest = max((step for one in measured.samples for step in one.steps_g), default=Fraction(0))
    if (step := _finer(coarsest)) is not None:
        yield "scale", step, _with(measured, [_weighed_to(one, step) for one in measured.samples])
    if measured.batch_g is not None and (step := _finer(measured.batch_step_g)) is not None:
        yield "batch scale", step, replace(measured, batch_step_g=min(step, measured.batch_step_g))
    for what, wound in (("turns", True), ("length", False)):
        chosen = [one for one in measured.samples if (one.turns is not None) == wound]
        if chosen:
            yield from _longer(measured, what, min(chosen, key=_size))
    if any(one.apart for one in measured.samples):
        together = [replace(one, apart=False) for one in measured.samples]
        yield "same day", Fraction(0), _with(measured, together)
    pooled = measured.pooled
    if pooled is not None and pooled.scatter is not None and not pooled.scatter.agree:
        yield "more samples", Fraction(len(measured.samples)), _with(measured, [*measured.samples, *measured.samples])


def _with(measured: Measured, samples: list[Sample]) -> Measured:
    return replace(measured, samples=tuple(samples))


def _finer(step: Fraction) -> Fraction | None:
    return next((fine for fine in FINE_STEPS if fine < step), None)


def _weighed_to(sample: Sample, step: Fraction) -> Sample:
    return replace(sample, steps_g=tuple(min(step, old) for old in sample.steps_g))


def _size(sample: Sample) -> Fraction:
    return sample.length_m if sample.turns is None else sample.turns


def _longer(measured: Measured, what: str, least: Sample) -> Iterator[tuple[str, Fraction, Measured]]:
    """All samples of a kind made as long as is handy: 100 turns, or four times the least; no more than all there is."""
    size = _size(least)
    aim = max(MANY_TURNS, 2 * size) if what == "turns" else 4 * size
    if measured.batch_g is not None:
        aim = min(aim, Fraction(math.floor(size * measured.batch_g / least.mass_g)))
    if aim > size:
        grown = [_grown(one, aim) if one == least or _same(one, least, aim) else one for one in measured.samples]
        yield what, aim, _with(measured, grown)


def _same(one: Sample, least: Sample, aim: Fraction) -> bool:
    """Whether a sample was measured as `least` was, and is shorter than what is aimed at."""
    return (one.turns is None) == (least.turns is None) and _size(one) < aim


def _grown(sample: Sample, aim: Fraction) -> Sample:
    times = aim / _size(sample)
    turns = None if sample.turns is None else aim
    return replace(sample, length_m=sample.length_m * times, mass_g=sample.mass_g * times, turns=turns)


def _sample_instead(measured: Measured) -> Iterator[tuple[str, Fraction, Measured]]:
    """A sample wound on a swift, weighed to 1 g, in place of wraps in an inch."""
    tex = measured.count().tex
    turns = MANY_TURNS
    if measured.batch_g is not None:
        turns = min(turns, Fraction(math.floor(measured.batch_g * 1000 / tex / USUAL_AROUND_M)))
    if turns > 0:
        length = turns * USUAL_AROUND_M
        wound = Sample(length, tex * length / 1000, (Fraction(1),), turns, apart=False, text="")
        yield "sample", turns, replace(measured, samples=(wound,), wraps=None)
