"""What to know where several lots make one need, or several strands one yarn: rhythm, changes, fades, marls."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.rhythm import rhythm
from planner.show import words
from planner.show.weighing import need_metres
from planner.yarns import WorkingYarn
from stash.colour import difference, nearest_name
from stash.units import show_length
from stash.weightclass import class_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from patterns.needs import Pattern
    from planner.plan import PlannedNeed, PlannedProject, YarnRun
    from planner.show.swatches import Screen
    from stash.lots import Stash

ALIKE, CLEAR = 3.0, 8.0  # CIEDE2000: look-alike, clearly different; our own rule, no source


def gathering_notes(project: PlannedProject, pattern: Pattern, stash: Stash, screen: Screen) -> Iterator[str]:
    """Notes for a project that is made, need by need, the fade last."""
    told = (note for need in project.needs for note in _need_notes(need, project, pattern, stash, screen))
    yield from dict.fromkeys(told)  # two needs of one yarn are told of it once
    order = [need for name in pattern.order for need in project.needs if need.need == name]
    if len(order) > 1:
        yield _fade(order, stash)


def _need_notes(
    need: PlannedNeed, project: PlannedProject, pattern: Pattern, stash: Stash, screen: Screen
) -> Iterator[str]:
    rule = pattern.needs[need.need].lots.kind
    distinct = list({tuple(sorted(run.lots.items())): run for run in need.runs}.values())
    if rule == "alternate" and len(distinct) > 1:
        yield _alternating(need, distinct, project, pattern, screen)
    if rule == "by-part" and len(distinct) > 1:
        yield _changing(need, distinct, stash)
    for run in distinct:
        if sum(run.lots.values()) > 1:
            yield _held(run, stash, screen)


def _alternating(
    need: PlannedNeed, runs: list[YarnRun], project: PlannedProject, pattern: Pattern, screen: Screen
) -> str:
    metres = need_metres(pattern, project.size or "", need.need)
    found = rhythm([run.length_cm for run in runs], metres * 100)
    names = [words.working_yarn(run.lots) for run in runs]
    if found is None:
        return (
            f"{safe_text(need.need)}: no short rhythm of rows fits these lengths; use the shortest where it shows least"
        )
    rows = words.listing(
        (f"{words.counted(number, 'row')} of {name}" for number, name in zip(found.rows, names, strict=True)), "then"
    )
    left = words.listing(
        f"{show_length(cm / 100, screen.units)} of {name}" for cm, name in zip(found.left_cm, names, strict=True)
    )
    return f"{safe_text(need.need)}: knit {rows}, over and over; kept to the end it leaves {left} of what is wound off"


def _changing(need: PlannedNeed, runs: list[YarnRun], stash: Stash) -> str:
    yarns = [_yarn(run, stash) for run in runs]
    apart = max(difference(a.colour, b.colour) for a in yarns for b in yarns)
    seen = "hardly seen" if apart <= ALIKE else "seen side by side" if apart < CLEAR else "clearly seen"
    names = words.listing(words.working_yarn(run.lots) for run in runs)
    return (
        f"{safe_text(need.need)}: {names} differ by {apart:.1f} ({seen}); change where a part begins, and knit all "
        "edgings from one lot"
    )


def _held(run: YarnRun, stash: Stash, screen: Screen) -> str:
    yarn = _yarn(run, stash)
    count = yarn.wool_m_per_100g
    marl = f", and looks {nearest_name(yarn.colour)} ({yarn.colour.hex}) from afar" if len(run.lots) > 1 else ""
    thick = f"{words.count(count, screen.units)} as wool, {class_of(Fraction(count)).name}"
    return f"{words.working_yarn(run.lots)} comes to {thick}{marl}: swatch before you trust it"


def _fade(order: list[PlannedNeed], stash: Stash) -> str:
    """How light each step is; a need of several yarns by their mean."""
    lights = []
    for need in order:
        own = [_yarn(run, stash).colour.lightness for run in need.runs]
        lights.append(sum(own) / len(own))
    steps = [abs(after - before) for before, after in pairwise(lights)]
    way = "lighter" if lights[-1] > lights[0] else "darker"
    names = ", ".join(f"{safe_text(need.need)} {light:.0f}" for need, light in zip(order, lights, strict=True))
    even = "even steps" if max(steps) <= 1.5 * min(steps) else "uneven steps: swatch them side by side"
    return f"the fade grows {way} (L* {names}), in steps of {words.listing(f'{step:.0f}' for step in steps)}: {even}"


def _yarn(run: YarnRun, stash: Stash) -> WorkingYarn:
    return WorkingYarn(tuple((stash.lots[lot], strands) for lot, strands in sorted(run.lots.items())))
