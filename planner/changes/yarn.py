"""Steps by which a need takes more yarns: thickness, strands, marl, fibre."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from patterns.needs import FibreRule, YarnRange
from planner.changes.alterations import Ladder, Rung, need_edit, with_need
from planner.reasons import because
from stash.count import read_count
from stash.fibre import read_blend
from stash.units import read_share
from stash.weightclass import m_per_100g, read_class

if TYPE_CHECKING:
    from collections.abc import Iterator

    from patterns.needs import Need, Pattern
    from planner.changes.alterations import Wish

WIDEST = 50  # %, the most a pattern may write
CLASS_WITHIN = Fraction(1, 20)  # what a class accepts beyond its bin when nothing is written
MOST_STRANDS = 3
_WOOL = read_blend("wool")


def yarn_ladders(pattern: Pattern, need: Need) -> Iterator[Ladder]:
    """Every way to let more yarns serve one need by what they are."""
    for ladder in (
        _thickness(pattern, need),
        _more_strands(pattern, need),
        _fewer_strands(pattern, need),
        _marl(pattern, need),
    ):
        if ladder.rungs:
            yield ladder
    yield from _fibre(pattern, need)


def _thickness(pattern: Pattern, need: Need) -> Ladder:
    """Wider `within`, in steps of 1 %."""
    found = _written(need.yarn)
    rungs = []
    if found is not None:
        key, head, low, high, within = found
        for percent in range(int(within * 100) + 1, WIDEST + 1):
            share = Fraction(percent, 100)
            yarn = YarnRange(low * (1 - share), high * (1 + share), f"{head} within {percent} %")
            rungs.append(
                Rung(
                    because(
                        f"take a thicker or thinner yarn for {need.name}: up to {percent}% off {head} "
                        f"instead of {float(within * 100):g}%; the gauge will differ, so swatch first"
                    ),
                    (need_edit(pattern, need.name, ("yarn",), f"{{{key}: {head}, within: {percent}%}}"),),
                    partial(_with_yarn, name=need.name, yarn=yarn),
                    float(percent - within * 100) / 5,
                )
            )
    return Ladder("thickness", tuple(rungs), need.name)


def _written(yarn: YarnRange) -> tuple[str, str, Fraction, Fraction, Fraction] | None:
    """How a range was written: key, its word or count, the ends it starts from, and its `within`; None: not known."""
    head, _, tail = yarn.text.partition(" within ")
    within = read_share(tail) if tail else CLASS_WITHIN
    bases = []
    if (one := read_class(head)) is not None:
        bases.append(("class", one.low, one.high))
    try:
        metres = m_per_100g(read_count(head, _WOOL).tex)
        bases.append(("count", metres, metres))
    except ValueError:
        pass
    for key, low, high in bases:
        if (low * (1 - within), high * (1 + within)) == (yarn.low, yarn.high):
            return key, head, low, high, within
    return None


def _with_yarn(wish: Wish, *, name: str, yarn: YarnRange) -> Wish:
    return with_need(wish, name, lambda need: replace(need, yarn=yarn))


def _more_strands(pattern: Pattern, need: Need) -> Ladder:
    low, high = need.strands
    return Ladder(
        "more strands",
        tuple(_strands(pattern, need, low, most) for most in range(high + 1, MOST_STRANDS + 1)),
        need.name,
    )


def _fewer_strands(pattern: Pattern, need: Need) -> Ladder:
    low, high = need.strands
    rungs = tuple(_strands(pattern, need, least, high) for least in range(low - 1, 0, -1))
    return Ladder("fewer strands", rungs, need.name)


def _strands(pattern: Pattern, need: Need, low: int, high: int) -> Rung:
    how = {1: "single", 2: "double", 3: "triple"}
    held = how.get(high, f"{high} strands together") if high > need.strands[1] else how.get(low, f"{low} strands")
    value = f"{low}" if low == high else f"{low}-{high}"
    return Rung(
        because(f"let the yarn for {need.name} be held {held}; swatch first"),
        (need_edit(pattern, need.name, ("strands",), value),),
        lambda wish: with_need(wish, need.name, lambda own: replace(own, strands=(low, high))),
        2.0 * (high - need.strands[1] + need.strands[0] - low),
    )


def _marl(pattern: Pattern, need: Need) -> Ladder:
    """Strands of different colours."""
    if need.marl or need.strands[1] == 1:
        return Ladder("marl", (), need.name)
    rung = Rung(
        because(f"let {need.name} be a marl, strands of different colours held together"),
        (need_edit(pattern, need.name, ("marl",), "yes"),),
        lambda wish: with_need(wish, need.name, lambda own: replace(own, marl=True)),
        3.0,
    )
    return Ladder("marl", (rung,), need.name)


def _fibre(pattern: Pattern, need: Need) -> Iterator[Ladder]:
    """The fibre rule with one of its clauses dropped."""
    for told, rule in _without_one(need.fibre):
        rung = Rung(
            because(f"{told} in {need.name}, if whoever wears it can bear that"),
            (need_edit(pattern, need.name, ("fibre",), fibre_text(rule)),),
            partial(_with_fibre, name=need.name, rule=rule),
            3.0,
        )
        yield Ladder("fibre", (rung,), need.name)


def _with_fibre(wish: Wish, *, name: str, rule: FibreRule) -> Wish:
    return with_need(wish, name, lambda need: replace(need, fibre=rule))


def _without_one(rule: FibreRule) -> Iterator[tuple[str, FibreRule]]:
    if rule.allow is not None:
        yield f"allow other fibres than {' and '.join(sorted(rule.allow))}", replace(rule, allow=None)
    for name in rule.at_least:
        left = {other: share for other, share in rule.at_least.items() if other != name}
        yield f"ask no least share of {name}", replace(rule, at_least=left)
    for name in rule.at_most:
        # beside `allow`, what has a largest share is allowed by it: to leave it out would forbid the fibre
        left = {other: share for other, share in rule.at_most.items() if other != name}
        if rule.allow is not None:
            left = {**rule.at_most, name: Fraction(1)}
        yield f"allow any share of {name}", replace(rule, at_most=left)
    for name in sorted(rule.avoid):
        yield f"allow {name}", replace(rule, avoid=rule.avoid - {name})


def fibre_text(rule: FibreRule) -> str:
    """A fibre rule as a pattern writes it."""
    told = [] if rule.allow is None else [f"allow: [{', '.join(sorted(rule.allow))}]"]
    for key, shares in (("at-least", rule.at_least), ("at-most", rule.at_most)):
        if shares:
            told.append(f"{key}: {{{', '.join(f'{name}: {float(share) * 100:g}%' for name, share in shares.items())}}}")
    if rule.avoid:
        told.append(f"avoid: [{', '.join(sorted(rule.avoid))}]")
    return f"{{{', '.join(told)}}}"
