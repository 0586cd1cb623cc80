"""What found yarn must be like, in words: the fibre and the colour to look for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, NamedTuple

from planner.pairs import BLEEDS_ONTO, BLENDS_APART, STEP, steps_between
from stash.fibre import show_blend

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from planner.instance import Making, SizedNeed
    from planner.yarns import WorkingYarn
    from stash.colour import Colour
    from stash.lots import Lot

Serving = Mapping[str, tuple["WorkingYarn", ...]]


def wanted_fibre(making: Making, sized: SizedNeed, serving: Serving) -> str:
    """The fibre rule in one line, with what washing and the blends beside it ask."""
    rule, wash = sized.need.fibre, making.pattern.wash
    parts = [" or ".join(sorted(rule.allow))] if rule.allow is not None else []
    parts += [f"at least {_percent(share)} {name}" for name, share in sorted(rule.at_least.items())]
    parts += [f"at most {_percent(share)} {name}" for name, share in sorted(rule.at_most.items())]
    parts += [f"no {name}" for name in sorted(rule.avoid)]
    if wash == "machine":
        parts.append("must not felt in the machine")
    elif wash != "hand":
        lots = [lot for yarns in serving.values() for yarn in yarns for lot, _ in yarn.lots]
        parts += [f"one that felts, as {lot.id} does" for lot in lots if lot.felts][:1]
        parts += [f"one that does not felt, as {lot.id} does not" for lot in lots if lot.felts is False][:1]
    for mate in serving.get(sized.need.name, ())[:1]:
        parts.append(f"within {BLENDS_APART:g} points of {mate.name} ({show_blend(mate.blend)})")
    return ", ".join(parts) or "any fibre"


def wanted_colour(making: Making, sized: SizedNeed, serving: Serving) -> tuple[str, Colour | None]:
    """The colour rules in one line, beside the yarns that serve the other needs, and a colour to show."""
    rule, near = sized.need.colour, sized.need.colour.near
    parts = [f"like {rule.near.text} (within {rule.within:g})"] if rule.near is not None else []
    mates = serving.get(sized.need.name, ())
    if mates and sized.need.lots.match is not None:
        near = near or mates[0].colour
        parts.append(f"like {mates[0].name} (within {sized.need.lots.match:g})")
    parts += [limit.words for limit in _limits(making, sized, serving)]
    return "; ".join(parts) or "any colour", near


def beyond_finding(making: Making, sized: SizedNeed, serving: Serving) -> bool:
    """Whether no lightness at all meets what the yarns that serve the other needs ask."""
    limits = _limits(making, sized, serving)
    return not any(all(limit.holds(step / 4) for limit in limits) for step in range(401))


class _Limit(NamedTuple):
    """Something asked of lightness: in words, and whether an L* meets it."""

    words: str
    holds: Callable[[float], bool]


def _limits(making: Making, sized: SizedNeed, serving: Serving) -> list[_Limit]:
    limits = []
    for other in making.needs:
        if other is not sized:
            theirs = serving.get(other.need.name, ())
            limits += [*_contrasts(sized, other, theirs), *_in_the_fade(making, sized, other, theirs)]
    if not making.project.bleed_risk:
        lots = {lot.id: lot for yarns in serving.values() for yarn in yarns for lot, _ in yarn.lots}
        limits += [_unstained(lots[name]) for name in sorted(lots) if lots[name].bleeds]
    return limits


def _unstained(lot: Lot) -> _Limit:
    words = f"less than {BLEEDS_ONTO:g} lighter than {lot.id}, which bleeds"
    return _Limit(words, lambda light: light - lot.colour.lightness < BLEEDS_ONTO)


def _contrasts(sized: SizedNeed, other: SizedNeed, theirs: tuple[WorkingYarn, ...]) -> Iterator[_Limit]:
    """Every contrast between the two needs, from the side of the one to be found."""
    own, its, me, it = sized.need.colour, other.need.colour, sized.need.name, other.need.name
    named, lights = _named(it, theirs), [yarn.colour.lightness for yarn in theirs]
    if it in own.against or me in its.against:
        least = max(r.against_lightness for r, n in ((own, it), (its, me)) if n in r.against)
        words = f"{least:g} or more lighter or darker than {named}"
        yield _Limit(words, lambda light: all(abs(light - other) >= least for other in lights))
    for told, step in ((it in own.lighter_than, own.lighter_lightness), (me in its.darker_than, its.lighter_lightness)):
        if told:
            yield _Limit(f"{step:g} or more lighter than {named}", _lighter(lights, step))
    for told, step in ((it in own.darker_than, own.lighter_lightness), (me in its.lighter_than, its.lighter_lightness)):
        if told:
            yield _Limit(f"{step:g} or more darker than {named}", _darker(lights, step))
    if it in own.same_as:
        yield _Limit(f"the same yarn as {it}", lambda _light: True)


def _in_the_fade(
    making: Making, sized: SizedNeed, other: SizedNeed, theirs: tuple[WorkingYarn, ...]
) -> Iterator[_Limit]:
    steps = abs(steps_between(making.meeting(sized, other)))
    if steps:
        lights = [yarn.colour.lightness for yarn in theirs]
        words = f"in the fade {STEP * steps:g} or more from {_named(other.need.name, theirs)}"
        yield _Limit(words, lambda light: all(abs(light - own) >= STEP * steps for own in lights))


def _lighter(lights: list[float], step: float) -> Callable[[float], bool]:
    return lambda light: all(light - own >= step for own in lights)


def _darker(lights: list[float], step: float) -> Callable[[float], bool]:
    return lambda light: all(own - light >= step for own in lights)


def _named(need: str, yarns: tuple[WorkingYarn, ...]) -> str:
    if not yarns:
        return need
    return f"{need} ({', '.join(f'{yarn.name}, L* {yarn.colour.lightness:.0f}' for yarn in yarns)})"


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:g}%"
