"""What found yarn must be like, in words: the fibre and the colour to look for."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.instance import Making, SizedNeed
    from planner.yarns import WorkingYarn
    from stash.colour import Colour


def wanted_fibre(making: Making, sized: SizedNeed) -> str:
    """The fibre rule in one line, with what washing asks."""
    rule = sized.need.fibre
    parts = [" or ".join(sorted(rule.allow))] if rule.allow is not None else []
    parts += [f"at least {_percent(share)} {name}" for name, share in sorted(rule.at_least.items())]
    parts += [f"at most {_percent(share)} {name}" for name, share in sorted(rule.at_most.items())]
    parts += [f"no {name}" for name in sorted(rule.avoid)]
    if making.pattern.wash == "machine":
        parts.append("must not felt in the machine")
    return ", ".join(parts) or "any fibre"


def wanted_colour(
    making: Making, sized: SizedNeed, serving: Mapping[str, tuple[WorkingYarn, ...]]
) -> tuple[str, Colour | None]:
    """The colour rules in one line, beside the yarns that serve the other needs, and a colour to show."""
    rule, name = sized.need.colour, sized.need.name
    parts, near = [], rule.near
    if rule.near is not None:
        parts.append(f"like {rule.near.text} (within {rule.within:g})")
    mates = serving.get(name, ())
    if mates and sized.need.lots.match is not None:
        near = near or mates[0].colour
        parts.append(f"like {mates[0].name} (within {sized.need.lots.match:g})")
    for other in making.needs:
        theirs = serving.get(other.need.name, ())
        if other is not sized:
            parts += _contrasts(sized, other, _named(other.need.name, theirs))
    return "; ".join(parts) or "any colour", near


def _contrasts(sized: SizedNeed, other: SizedNeed, named: str) -> list[str]:
    """Every contrast between the two needs, from the side of the one to be found."""
    own, its, me, it = sized.need.colour, other.need.colour, sized.need.name, other.need.name
    parts = []
    if it in own.against or me in its.against:
        least = max(r.against_lightness for r, n in ((own, it), (its, me)) if n in r.against)
        parts.append(f"{least:g} or more lighter or darker than {named}")
    if it in own.lighter_than:
        parts.append(f"{own.lighter_lightness:g} or more lighter than {named}")
    if me in its.darker_than:
        parts.append(f"{its.lighter_lightness:g} or more lighter than {named}")
    if it in own.darker_than:
        parts.append(f"{own.lighter_lightness:g} or more darker than {named}")
    if me in its.lighter_than:
        parts.append(f"{its.lighter_lightness:g} or more darker than {named}")
    if it in own.same_as:
        parts.append(f"the same yarn as {it}")
    return parts


def _named(need: str, yarns: tuple[WorkingYarn, ...]) -> str:
    if not yarns:
        return need
    return f"{need} ({', '.join(f'{yarn.name}, L* {yarn.colour.lightness:.0f}' for yarn in yarns)})"


def _percent(share: object) -> str:
    return f"{float(share) * 100:g}%"  # type: ignore[arg-type]
