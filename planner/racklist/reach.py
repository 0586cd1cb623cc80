"""How far a find may be off: its thickness, its fibres, its colour, its seams; every answer tried."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain
from typing import TYPE_CHECKING

from planner.racklist.finds import FIBRES, counts_of
from stash.colour import colour_from_lab, difference
from stash.fibre import density, read_blend

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from planner.plan import PlannedProject
    from planner.racklist.finds import Kind
    from planner.racklist.trials import Open, Trials
    from stash.colour import Colour

    Does = Callable[..., bool]
    Made = Sequence[tuple[Open, PlannedProject]]

STEPS = 5  # L* from one lightness tried to the next
OFF = (10, 8, 6, 5, 4, 3, 2, 1)  # how far off, tried widest first
MARGIN = 0.5  # tried beyond what is told, for what lies between the colours tried
BETWEEN = 40  # colours tried between those at the ends
TURNS = 8  # hues tried round a colour
VIVID = 35.0  # chroma of the colours tried for "any colour"
CUT_ROW = Fraction(3, 2)  # m; what cut seams leave: a row or so of a front, common practice, no source
CUT_MORE = Fraction(7, 5)  # as each length loses its two ends
FURTHEST = 90.0  # in a* or b*
SEARCH = 14  # halvings on the way to a colour at a wanted difference


@dataclass(frozen=True)
class Latitude:
    """What else would do as well, each tried.

    `counts`: m/100 g as wool, both ends tried; `fibres`: of those on most labels, which do; `lightness`: L* from and
    to, where any hue does, else None; `off`: CIEDE2000 from the colour that may be, where it must be like it (0: this
    one alone was tried with success); `cut_metres`: with how many metres the short lengths from cut seams do, or None.
    """

    counts: tuple[Fraction, Fraction]
    fibres: tuple[str, ...]
    every_fibre: bool
    lightness: tuple[int, int] | None
    off: int
    cut_metres: int | None


def latitude(trials: Trials, kind: Kind, metres: int, made: Made) -> Latitude:
    """How far the find may be off and still unlock all of these."""
    does = _doing(trials, metres, [one for one, _ in made])
    served = [
        sized.need.piece_m
        for one, planned in made
        for sized, need in zip(one.making.needs, planned.needs, strict=True)
        if any(trials.name in run.lots for run in need.runs)
    ]
    more = math.ceil(metres * CUT_MORE)
    cut_does = _doing(trials, more, [one for one, _ in made])
    counts = _counts(trials, kind, made, does)
    ends = [replace(kind, wool_m_per_100g=count) for count in (*counts, kind.wool_m_per_100g)]
    fibres = [name for name in FIBRES if all(does(replace(end, blend=read_blend(name))) for end in ends)]
    own = [] if kind.blend.text in FIBRES else [kind.blend.text]
    by_weight = sorted((read_blend(name) for name in (*own, *fibres)), key=density)
    corners = [replace(end, blend=blend) for end in ends for blend in dict.fromkeys((by_weight[0], by_weight[-1]))]

    def does_anyhow(other: Kind) -> bool:
        return all(does(replace(corner, colour=other.colour)) for corner in corners)

    lightness, off = _in_colour(kind, does_anyhow)
    return Latitude(
        counts=counts,
        fibres=(*own, *fibres),
        every_fibre=len(fibres) == len(FIBRES),
        lightness=lightness,
        off=off,
        cut_metres=more if all(piece <= CUT_ROW for piece in served) and cut_does(kind, CUT_ROW) else None,
    )


def widest(trials: Trials, same: Sequence[Kind], metres: int, opened: Sequence[Open]) -> Kind:
    """Of kinds that all unlock these, the one whose colour may be furthest off; of two alike the first."""
    does = _doing(trials, metres, opened)

    def room(kind: Kind) -> tuple[int, int]:
        lightness, off = _in_colour(kind, does)
        return (0, off) if lightness is None else (lightness[1] - lightness[0] + 1, 0)

    return max(same, key=room) if len(same) > 1 else same[0]


def _doing(trials: Trials, metres: int, opened: Sequence[Open]) -> Does:
    def does(other: Kind, each_m: Fraction | None = None) -> bool:
        return all(trials.made(other, one, metres, each_m) is not None for one in opened)

    return does


def _in_colour(kind: Kind, does: Does) -> tuple[tuple[int, int] | None, int]:
    lightness = _lightness(kind, does)
    return lightness, 0 if lightness else next((off for off in OFF if _round(kind, off, does)), 0)


def _counts(trials: Trials, kind: Kind, made: Made, does: Does) -> tuple[Fraction, Fraction]:
    """The range that every need it serves takes, drawn in towards the count tried until both ends do."""
    low, high = Fraction(0), Fraction(10**6)
    for one, planned in made:
        served = {need.need: [run.lots for run in need.runs if trials.name in run.lots] for need in planned.needs}
        for sized in one.making.needs:
            for lots in served[sized.need.name]:
                least, most = counts_of(sized, sum(lots.values()))
                low, high = max(low, least), min(high, most)
    middle = kind.wool_m_per_100g
    ends = []
    for end, whole in ((low, math.ceil), (high, math.floor)):
        for part in (1, Fraction(3, 4), Fraction(1, 2), Fraction(1, 4)):
            tried = Fraction(whole(middle + (end - middle) * part))
            if does(replace(kind, wool_m_per_100g=tried)):
                ends.append(tried)
                break
        else:
            ends.append(middle)
    return ends[0], ends[1]


def _lightness(kind: Kind, does: Does) -> tuple[int, int] | None:
    """L* from and to, where any hue does; None where the hue counts."""
    middle = STEPS * round(kind.colour.lightness / STEPS)
    if not _any_hue(kind, middle, does):
        return None
    low = high = middle
    while low - STEPS >= 0 and _any_hue(kind, low - STEPS, does):
        low -= STEPS
    while high + STEPS <= 100 and _any_hue(kind, high + STEPS, does):
        high += STEPS
    spread = [(low + (high - low) * u, VIVID * 1.5 * math.sqrt(v), 2 * math.pi * w) for u, v, w in _spread()]
    between = (colour_from_lab(light, c * math.cos(hue), c * math.sin(hue)) for light, c, hue in spread)
    return (low, high) if all(does(replace(kind, colour=colour)) for colour in between) else None


def _any_hue(kind: Kind, lightness: int, does: Does) -> bool:
    greys_and_hues = [(0.0, 0.0), (VIVID, 0.0), (-VIVID, 0.0), (0.0, VIVID), (0.0, -VIVID)]
    return all(does(replace(kind, colour=colour_from_lab(lightness, a, b))) for a, b in greys_and_hues)


def _round(kind: Kind, off: int, does: Does) -> bool:
    """Whether lighter, darker and every hue round the colour, each so far off, still does, and what lies between."""
    tried = chain(around(kind.colour, off + MARGIN), _within(kind.colour, off))
    return all(does(replace(kind, colour=other)) for other in tried)


def _within(colour: Colour, off: int) -> Iterator[Colour]:
    """Colours between it and those so far off."""
    lightness, a, b = colour.lab
    for u, v, w in _spread():
        light = min(max(lightness + (2 * u - 1) * off, 0.0), 100.0)
        other = colour_from_lab(light, a + (4 * v - 2) * off, b + (4 * w - 2) * off)
        if difference(colour, other) <= off:
            yield other


def _spread() -> Iterator[tuple[float, float, float]]:
    """Points spread evenly in a cube of side 1: multiples of three numbers that have no common measure, without 1."""
    for place in range(1, BETWEEN + 1):
        yield place * 0.8191725134 % 1, place * 0.6710436067 % 1, place * 0.5497004779 % 1


def around(colour: Colour, off: float) -> Iterator[Colour]:
    """Colours no further off than so much (CIEDE2000) and nearly that, in every direction."""
    lightness, a, b = colour.lab
    turns = [2 * math.pi * n / TURNS for n in range(TURNS)]
    hues = [(up, math.cos(turn), math.sin(turn)) for turn in turns for up in (0.0, 1.0, -1.0)]
    for up, red, yellow in [(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), *hues]:
        near, far = 0.0, min(12.0 * off, FURTHEST)
        for _ in range(SEARCH):
            reach = (near + far) / 2
            light = min(max(lightness + up * reach, 0.0), 100.0)
            tried = colour_from_lab(light, a + red * reach, b + yellow * reach)
            near, far = (reach, far) if difference(colour, tried) <= off else (near, reach)
        light = min(max(lightness + up * near, 0.0), 100.0)
        yield colour_from_lab(light, a + red * near, b + yellow * near)
