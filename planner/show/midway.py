"""What `midway` says: will it reach, when to change lot, what to do instead, what changes for the rest."""

from __future__ import annotations

from statistics import NormalDist
from typing import TYPE_CHECKING

from planner.answers import ENOUGH, UNDECIDED
from planner.faultprint import safe_text
from planner.midway.answering import NO, PERHAPS, YES
from planner.show import words
from planner.show.cautions import bleeding_cautions, felting_caution
from planner.show.midwayhelp import help_lines
from planner.show.swatches import WIDTH
from planner.show.tables import display_width, fold, table
from stash.units import show_length, show_mass, show_number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.midway.answering import Midway
    from planner.midway.knitting import Knitting
    from planner.midway.others import OtherNeed
    from planner.midway.reach import LotReach, Span
    from planner.show.swatches import Screen
    from stash.lots import Lot
    from stash.units import System

    # lot, how it is held, used, (left, still needs) by weight and by length, chance
    _Row = tuple[str, str, str, tuple[str, str], tuple[str, str], str]

SAME_TENSION = "taking it that all is knitted at the tension measured here"
MANY_TIMES = 3  # of the pattern's figure: from here on percentages are hard to read
_SAID = {YES: "Yes", PERHAPS: "Perhaps", NO: "No"}


def midway_text(found: Midway, screen: Screen) -> str:
    """The answer first, then what it rests on, what to do, and what it means for the rest."""
    blocks = [
        fold(answer_text(found, screen.units)),
        "\n".join((fold(where_text(found.knitting)), _lots(found, screen.units))),
        "\n".join(fold(note, hanging="  ") for note in notes(found, screen.units)),
        "\n".join(help_lines(found, screen)),
        "\n".join(others(found, screen.units)),
        "\n".join(fold(f"! {caution}", hanging="  ") for caution in cautions(found)),
    ]
    return "\n\n".join(block for block in blocks if block)


def answer_text(found: Midway, units: System) -> str:
    what = safe_text(found.knitting.part or found.knitting.need)
    lots = words.listing(safe_text(lot.in_use.lot.id) for lot in found.reach.lots)
    reach = "reaches" if len(found.reach.lots) == 1 else "reach"
    chance = words.chance(found.reach.chance)
    if found.knitting.done.share == 1:
        return f"Yes: {what} is done."
    if found.verdict != NO:
        unsure = "" if found.verdict == YES else f", and {words.percent(found.confidence)} is asked"
        return f"{_SAID[found.verdict]}: it is {chance} sure that {lots} {reach} to the end of {what}{unsure}."
    short = [lot for lot in found.reach.lots if lot.spare_g < 0]
    missing = words.listing(f"{_ends(lot, units)} before the end of {what}" for lot in short)
    return f"No: {missing}; the chance that it reaches all the same is {chance}."


def _ends(lot: LotReach, units: System) -> str:
    """How far before the end: metres as knitted, so that of two strands side by side one counts; grams of all."""
    own = lot.in_use
    held = "" if own.strands == 1 else f", {words.held(own.strands)},"
    missing = show_length(lot.metres(-lot.spare_g) / own.strands, units)
    return f"{safe_text(own.lot.id)}{held} ends about {missing} ({show_mass(-lot.spare_g, units, 1)})"


def where_text(knitting: Knitting) -> str:
    rows = knitting.done.rows
    share = words.percent(round(float(knitting.done.share), 2))
    told = share if rows is None else f"row {rows.now} of {rows.of}, {share} of its area"
    names = (knitting.project.name, knitting.need, *((knitting.part,) if knitting.part else ()))
    return f"{', '.join(map(safe_text, names))}: {told} done."


def _lots(found: Midway, units: System) -> str:
    """Weights and lengths, side by side where 80 columns hold both, else a lot's length below its weight."""
    rows = [_lot(lot, units) for lot in found.reach.lots]
    beside = [
        (f"{name} {held}".rstrip(), used, *grams, *metres, chance) for name, held, used, grams, metres, chance in rows
    ]
    headers = ("lot", "used", "left", "still needs", "left", "still needs", "chance")
    wide = table(beside, headers, "lrrrrrr", wrap=0, indent="  ")
    if max(map(display_width, wide.splitlines())) <= WIDTH:
        return wide
    below = [
        row
        for name, held, used, grams, metres, chance in rows
        for row in ((name, used, *grams, chance), (held, "", *metres, ""))
    ]
    return table(below, ("lot", "used", "left", "still needs", "chance"), "lrrrr", wrap=0, indent="  ")


def _lot(lot: LotReach, units: System) -> _Row:
    """A lot in cells; one held double shows the metres of both strands."""
    own = lot.in_use
    return (
        safe_text(own.lot.id),
        "" if own.strands == 1 else words.held(own.strands),
        show_mass(own.used_g, units),
        (show_mass(own.left_g, units), _span(lot.rest_g, lambda grams: show_mass(grams, units))),
        (_metres(lot, float(own.left_g), units), _span(lot.rest_g, lambda grams: _metres(lot, grams, units))),
        words.chance(lot.chance).removeprefix("about "),
    )


def _span(span: Span, show: object) -> str:
    likely, low, high = (show(value) for value in (span.likely, span.low, span.high))  # type: ignore[operator]
    return f"{likely.partition(' ')[0]} ({low.partition(' ')[0]}-{high.partition(' ')[0]}) {likely.partition(' ')[2]}"


def _metres(lot: LotReach, grams: float, units: System) -> str:
    return show_length(lot.metres(grams), units)


def notes(found: Midway, units: System, second: str = "in brackets") -> Iterator[str]:
    """What the figures mean; `second`: where the two ends of what is still needed stand."""
    sure = words.percent(found.confidence)
    lots = found.reach.lots
    lengths = "yards" if units == words.IMPERIAL else "metres"
    several = any(lot.in_use.strands > 1 for lot in lots)
    strands = f" The {lengths} are those of all strands together." if several else ""
    yield (
        f"still needs: the best guess, and {second} from what it is {sure} sure to pass to what it is {sure} sure "
        f"not to; the ends to weave in are taken off what is left.{strands}"
    )
    if found.knitting.done.share < 1:
        ratio, u = found.reach.ratios[found.knitting.need]
        within = words.percent(round(NormalDist().inv_cdf(float(found.confidence)) * u, 3))
        against = _times if max(found.reach.measured, ratio) >= MANY_TIMES else _percent
        yield (
            f"rate: weighed, {against(found.reach.measured)}; weighed together with the pattern's own figure, each by "
            f"how sure it is, {against(ratio)} (within {within} of it, {sure} sure of either end)."
        )
    if found.knitting.how == "alternate":
        yield "The lots are taken to go on in the proportion they have been used in so far."


def _times(ratio: float) -> str:
    """A rate of use in times the pattern's."""
    return f"{show_number(ratio, 1)} times as much yarn as the pattern says"


def _percent(ratio: float) -> str:
    """A rate of use beside the pattern's."""
    percent = show_number(abs(ratio - 1) * 100, 0)
    if percent == "0":
        return "as much yarn as the pattern says"
    return f"{percent} % {'more' if ratio > 1 else 'less'} yarn than the pattern says"


def others(found: Midway, units: System) -> Iterator[str]:
    if not found.others:
        return
    yield fold(f"The rest of the project, {SAME_TENSION}:")
    yield from (fold(f"- {_other_need(need, units)}", hanging="  ") for need in found.others)


def _other_need(need: OtherNeed, units: System) -> str:
    parts = words.listing(
        f"{safe_text(part.part or need.need)} needs {show_length(part.now_m, units)} instead of "
        f"{show_length(part.before_m, units)}"
        for part in need.parts
    )
    if need.verdict == ENOUGH:
        verdict = "enough, with its reserve"
    elif need.verdict == UNDECIDED:
        verdict = "not settled in the time there was"
    else:
        verdict = f"not enough, with its reserve {words.length_up(need.short_cm, units)} missing"
    return f"{parts}: {verdict}."


def cautions(found: Midway) -> Iterator[str]:
    lots: dict[str, Lot] = {one.lot.id: one.lot for one in found.knitting.in_use}
    offered = found.help.others if found.help else ()
    if found.reach.odd:
        yield (
            "What was weighed and what the pattern says are further apart than is usual: check the weights, the "
            "strands and how much is done. If they are right, swatch again: the pattern's figure is trusted less here."
        )
    lots |= {lot.id: lot for other in offered if not other.why_not for lot, _ in other.yarn.lots}
    yield from bleeding_cautions(lots.values())
    if caution := felting_caution(lots.values()):
        yield caution
