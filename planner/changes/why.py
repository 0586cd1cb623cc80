"""Why a project is short, in one sentence that holds whatever else is tried."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from planner import pairs, suits
from planner.changes.counting import all_apart, held_by, hopeful, overdrawn, shared_most, unreached
from planner.clashes import why_apart
from planner.instance import held_cm, setting_of
from planner.reasons import Length, Reason, because
from planner.yarns import WorkingYarn
from stash import colour
from stash.weightclass import read_class

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from patterns.needs import Need
    from planner.instance import Instance, Making, SizedNeed, Stretch
    from planner.lacking import Missing
    from stash.lots import Stash


@dataclass(frozen=True)
class Why:
    """The needs it names are short by themselves.

    `kind`: none-suits, none-reaches, all-too-little, apart, both-want or together.
    """

    kind: str
    needs: tuple[str, ...]
    reason: Reason


def why_short(asked: Instance, making: Making, stash: Stash, missing: Missing) -> Why:
    """The plainest reason there is; where nothing can be counted, what the nearest choice of lots leaves missing."""
    for sized in making.needs:
        if not sized.yarns:
            return _none_suits(making, sized, stash)
    for sized in making.needs:
        stretch = unreached(asked, sized)
        if stretch is not None:
            return _too_little(asked, sized, stretch)
    for one, other in combinations(making.needs, 2):
        why = _apart(asked, making, one, other) or _both_want(asked, making, one, other)
        if why is not None:
            return why
    return _together(making, missing)


def _none_suits(making: Making, sized: SizedNeed, stash: Stash) -> Why:
    """Which rule, taken after those before it, leaves no lot, by itself in any number of strands."""
    need, setting = sized.need, setting_of(making.project, making.pattern, sized.need)
    tries = [
        WorkingYarn(((lot, strands),))
        for lot in stash.lots.values()
        for strands in range(need.strands[0], need.strands[1] + 1)
    ]
    said = because(f"Nothing you have suits {need.name}, by itself or held together.")
    for check in suits.REASONS:
        left = [yarn for yarn in tries if check(need, yarn, setting) is None]
        if tries and not left:
            nearest = _nearest(sized, check, tries)
            reason = check(need, nearest, setting)
            if reason is not None:
                how = {1: "", 2: " held double", 3: " held triple"}
                held = how.get(nearest.strands, f" in {nearest.strands} strands")
                name = nearest.lots[0][0].id
                told = because(f"No lot {_asked_of(sized, check)} {need.name}; the nearest, {name}{held}: ")
                said = Reason((*told.parts, *reason.parts, "."))
            break
        tries = left
    return Why("none-suits", (need.name,), said)


def _asked_of(sized: SizedNeed, check: object) -> str:
    others = {
        suits.kept_out: "that the project lets in is there for",
        suits.felts_in_the_machine: "that the machine does not felt is left for",
        suits.wrong_count: f"has the thickness ({sized.need.yarn.text}) asked for",
        suits.unwanted_fibre: "of that thickness is of the fibres asked for",
        suits.wrong_shares: "of that thickness has the blend asked for",
        suits.wrong_colour: "that would do otherwise has the colour asked for",
    }
    return others.get(check, "suits")  # type: ignore[call-overload, no-any-return]


def _nearest(sized: SizedNeed, check: object, tries: Sequence[WorkingYarn]) -> WorkingYarn:
    need = sized.need
    if check is suits.wrong_colour and need.colour.near is not None:
        near = need.colour.near
        return min(tries, key=lambda yarn: (colour.difference(yarn.colour, near), yarn.name))
    if check is suits.wrong_count:
        low, high = float(need.yarn.low), float(need.yarn.high)
        return min(
            tries,
            key=lambda y: (max(low / y.wool_m_per_100g, y.wool_m_per_100g / high), y.name),
        )
    return min(tries, key=lambda yarn: yarn.name)


def _too_little(asked: Instance, sized: SizedNeed, stretch: Stretch) -> Why:
    name = sized.need.name
    takes = Length(stretch.planned_cm / 100)
    best = max(sized.yarns, key=lambda yarn: (held_by(asked, stretch, yarn), yarn.name))
    has = Length(held_by(asked, stretch, best) / 100)
    scraps = tuple(_scraps(asked, stretch, best))
    if len(sized.yarns) == 1:
        what = f"{name} ({stretch.part})" if stretch.part else name
        told = because(f"Only {said_of(best)} suits {what}: it has ", has, " of the ", takes, " with reserve", *scraps)
        return Why("none-reaches", (name,), told)
    if sized.divisible:
        how = f"the best {sized.need.lots.most} lots" if sized.need.lots.most else "all of it together"
        have = Length(shared_most(asked, sized) / 100)
        told = because(f"Of what suits {name}, {how} give no more than ", have, " of the ", takes, " with reserve.")
        return Why("all-too-little", (name,), told)
    thick = f" of {sized.need.yarn.text} weight" if read_class(sized.need.yarn.text) else ""
    what = f"{name} ({stretch.part}) takes" if stretch.part else f"{name} takes"
    told = because(f"No single lot{thick} has the ", takes, f" that {what} with its reserve; the best that suits, ")
    return Why("none-reaches", (name,), Reason((*told.parts, f"{said_of(best)}, has ", has, *scraps)))


def _scraps(asked: Instance, stretch: Stretch, yarn: WorkingYarn) -> Iterator[str | Length]:
    """What of a yarn lies in pieces too short."""
    lost = sum(
        piece.length_cm
        for lot, _ in yarn.lots
        for piece in asked.stock[lot.id]
        if held_cm([piece], stretch.least_cm) == 0
    )
    if lost:
        yield " (another "
        yield Length(lost / 100)
        yield " lies in pieces too short to knit with)"
    yield "."


def said_of(yarn: WorkingYarn) -> str:
    """A working yarn in words."""
    if len(yarn.lots) == 1 and yarn.strands > 1:
        how = {2: "double", 3: "triple"}.get(yarn.strands, f"in {yarn.strands} strands")
        return f"{yarn.lots[0][0].id} held {how}"
    return " with ".join(lot.id if n == 1 else f"{n} strands of {lot.id}" for lot, n in yarn.lots)


def _apart(asked: Instance, making: Making, one: SizedNeed, other: SizedNeed) -> Why | None:
    """No yarn that reaches for the one may stand beside any that reaches for the other."""
    if not all_apart(asked, making, one, other):
        return None
    both = [(a, b) for a in hopeful(asked, one) for b in hopeful(asked, other)]
    meeting, names = making.meeting(one, other), (one.need.name, other.need.name)
    if all(not pairs.against(meeting, a, b) for a, b in both):
        return Why("apart", names, _too_little_contrast(one.need, other.need, both))

    def broken(pair: tuple[WorkingYarn, WorkingYarn]) -> tuple[int, float, str, str]:
        a, b = pair
        rules = sum(not rule(meeting, a, b) for rule in meeting.rules)
        return rules, -abs(a.colour.lightness - b.colour.lightness), a.name, b.name

    first, second = min(both, key=broken)
    reason = why_apart(making.meeting(other, one), second, first)
    words = because(
        f"No lot that reaches for {names[1]} goes with one that reaches for {names[0]}; {said_of(second)} comes near: "
    )
    return Why("apart", names, Reason((*words.parts, *(reason.parts if reason else ()), ".")))


def _too_little_contrast(one: Need, other: Need, both: Sequence[tuple[WorkingYarn, WorkingYarn]]) -> Reason:
    a, b = max(both, key=lambda two: (abs(two[0].colour.lightness - two[1].colour.lightness), two[0].name, two[1].name))
    apart = math.floor(10 * abs(a.colour.lightness - b.colour.lightness)) / 10  # never rounded up to what is asked
    asks = max(
        need.colour.against_lightness
        for need, target in ((one, other), (other, one))
        if target.name in need.colour.against
    )
    return because(
        f"No two lots that reach for {one.name} and {other.name} are {asks:g} apart in lightness; "
        f"the furthest apart, {said_of(a)} and {said_of(b)}, are {apart:g}."
    )


def _both_want(asked: Instance, making: Making, one: SizedNeed, other: SizedNeed) -> Why | None:
    """Every choice for two needs takes more of some lot than it has."""
    worst = overdrawn(asked, making, one, other)
    if not worst:
        return None
    lot = min(worst, key=lambda name: (worst[name][0] - worst[name][1], name))
    take, have = (Length(cm / 100) for cm in worst[lot])
    names = (one.need.name, other.need.name)
    want = f"both want {lot}" if len(worst) == 1 else f"want the same yarn whichever is taken; the nearest is {lot}"
    return Why(
        "both-want",
        names,
        because(f"{names[0]} and {names[1]} {want}: together they take ", take, " of it, and it has ", have, "."),
    )


def _together(making: Making, missing: Missing) -> Why:
    """What is left missing by the choice of lots that leaves the least to be found."""
    short = [(sized.need.name, missing.look_cm[sized.need.name]) for sized in making.needs]
    parts: list[str | Length] = ["Every choice of lots leaves something to be found; the least is "]
    for number, (name, cm) in enumerate((name, cm) for name, cm in short if cm):
        parts += [" and " if number else "", Length(cm / 100), f" for {name}"]
    return Why("together", tuple(sized.need.name for sized in making.needs), because(*parts, "."))
