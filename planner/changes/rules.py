"""Steps by which a need's rules for lots and colours ask less."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from patterns.needs import LotRule
from patterns.rules import MATCH
from planner.changes.alterations import Ladder, Rung, need_edit, with_need
from planner.reasons import because

if TYPE_CHECKING:
    from collections.abc import Iterator

    from patterns.needs import Need, Pattern
    from planner.changes.alterations import Wish

FURTHEST = 100  # units of colour difference: past this everything is alike, or nothing is
MOST_ALTERNATING = 4
# What a change comes to, as a knitter would say it; our own rules, no source.
HARDLY_SEEN, NOT_SEEN = 10, 5  # L* apart
ANOTHER_COLOUR = 15  # units of colour difference
STRIPES = 10  # units of colour difference between the lots of a need
ANOTHER_THING = 100.0  # cost of a change after which it is no longer the thing that was asked for


def rule_ladders(pattern: Pattern, need: Need, size: str) -> Iterator[Ladder]:
    """Every way to loosen what one need asks of its lots and their colours."""
    for ladder in (
        *_lots(pattern, need, size),
        match_ladder(pattern, need),
        _near(pattern, need),
        _contrast(pattern, need),
    ):
        if ladder.rungs:
            yield ladder


def _lots(pattern: Pattern, need: Need, size: str) -> Iterator[Ladder]:
    """By-part instead of one; alternate instead of one; one lot more in turn."""
    kind, most, match = need.lots.kind, need.lots.most, need.lots.match
    if kind == "one":
        if len(pattern.sizes[size][need.name]) > 1:
            what = f"knit each part of {need.name} from a lot of its own, all of them look-alikes"
            rung = _with_lots(pattern, need, LotRule("by-part", None, MATCH), what, 1.5)
            yield Ladder("by part", (rung,), need.name)
        most, match = 1, MATCH
    if kind in ("one", "alternate") and most is not None:
        more = range(most + 1, max(most + 1, MOST_ALTERNATING) + 1)
        yield Ladder("alternate", tuple(_alternate(pattern, need, n, match) for n in more), need.name)
    elif kind == "any" and most is not None:
        rungs = [
            _with_lots(pattern, need, LotRule("any", n, None), f"take up to {n} lots for {need.name}", float(n - most))
            for n in range(most + 1, most + 4)
        ]
        yield Ladder("any", tuple(rungs), need.name)


def _alternate(pattern: Pattern, need: Need, most: int, match: float | None) -> Rung:
    what = f"knit {need.name} from up to {most} look-alike lots in turn, row by row"
    return _with_lots(pattern, need, LotRule("alternate", most, match), what, float(most))


def _with_lots(pattern: Pattern, need: Need, rule: LotRule, what: str, cost: float) -> Rung:
    value = f"{rule.kind} {rule.most}" if rule.most and rule.kind != "one" else rule.kind
    edit = need_edit(pattern, need.name, ("lots",), value)
    return Rung(because(what), (edit,), partial(_lots_changed, name=need.name, rule=rule), cost)


def _lots_changed(wish: Wish, *, name: str, rule: LotRule) -> Wish:
    return with_need(wish, name, lambda need: replace(need, lots=rule))


def match_ladder(pattern: Pattern, need: Need) -> Ladder:
    """Lots of one need less alike, in whole units of colour difference, at last not alike at all."""
    match = need.lots.match
    if match is None:
        return Ladder("match", (), need.name)
    units: list[float | None] = [float(n) for n in range(math.floor(match) + 1, FURTHEST + 1)]
    rungs = []
    for wider in [*units, None]:
        value = "any" if wider is None else f"{wider:g}"
        what = f"let the lots of {need.name} differ more in colour: by {value} instead of {match:g}"
        if wider is None:
            what = f"let the lots of {need.name} differ in colour as they will"
        what += "; it will show as stripes" if wider is None or wider > STRIPES else ""
        edit = need_edit(pattern, need.name, ("match",), value)
        alter = partial(_match_changed, name=need.name, match=wider)
        rungs.append(Rung(because(what), (edit,), alter, ((wider or 2 * FURTHEST) - match) / 3))
    return Ladder("match", tuple(rungs), need.name)


def _match_changed(wish: Wish, *, name: str, match: float | None) -> Wish:
    return with_need(wish, name, lambda need: replace(need, lots=replace(need.lots, match=match)))


def _near(pattern: Pattern, need: Need) -> Ladder:
    """A colour further from the one asked for, in whole units."""
    rule = need.colour
    if rule.near is None:
        return Ladder("colour", (), need.name)
    rungs = [
        Rung(
            because(
                f"let the colour of {need.name} be further from {rule.near.text}: {wider} instead of {rule.within:g}"
                f"{'; plainly another colour, yours to choose' if wider > ANOTHER_COLOUR else ''}"
            ),
            (need_edit(pattern, need.name, ("colour", "within"), f"{wider}"),),
            partial(_within_changed, name=need.name, within=float(wider)),
            (wider - rule.within) / 4 + (ANOTHER_THING if wider > ANOTHER_COLOUR else 0),
        )
        for wider in range(math.floor(rule.within) + 1, FURTHEST + 1)
    ]
    return Ladder("colour", tuple(rungs), need.name)


def _within_changed(wish: Wish, *, name: str, within: float) -> Wish:
    return with_need(wish, name, lambda need: replace(need, colour=replace(need.colour, within=within)))


def _contrast(pattern: Pattern, need: Need) -> Ladder:
    """Less apart in lightness, in whole L*; one `lightness` holds for all that a need asks."""
    rule = need.colour
    asked = [rule.against_lightness] if rule.against else []
    asked += [rule.lighter_lightness] if rule.lighter_than or rule.darker_than else []
    if not asked:
        return Ladder("contrast", (), need.name)
    # a number between two different ones would loosen the one and tighten the other
    first = math.ceil(asked[0]) - 1 if min(asked) == max(asked) else math.floor(min(asked))
    beside = ", ".join(dict.fromkeys((*rule.against, *rule.lighter_than, *rule.darker_than)))
    rungs = [
        Rung(
            because(
                f"ask less contrast between {need.name} and {beside}: {less} in lightness, not {max(asked):g}"
                f"{_seen(less)}"
            ),
            (need_edit(pattern, need.name, ("colour", "lightness"), f"{less}"),),
            partial(_lightness_changed, name=need.name, lightness=float(less)),
            (max(asked) - less) / 5 + (ANOTHER_THING if less < HARDLY_SEEN else 0),
        )
        for less in range(first, -1, -1)
    ]
    return Ladder("contrast", tuple(rungs), need.name)


def _seen(apart: int) -> str:
    if apart >= HARDLY_SEEN:
        return ""
    return "; it will hardly show" if apart >= NOT_SEEN else "; as good as none: it will not show"


def _lightness_changed(wish: Wish, *, name: str, lightness: float) -> Wish:
    def changed(need: Need) -> Need:
        return replace(need, colour=replace(need.colour, against_lightness=lightness, lighter_lightness=lightness))

    return with_need(wish, name, changed)
