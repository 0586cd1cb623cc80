"""What `midway` says where the yarn may not reach: when to change lot, for which other, or what else to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.tables import fold, table
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.midway.answering import Change, Midway
    from planner.midway.helps import Help
    from planner.show.swatches import Screen
    from planner.yarns import WorkingYarn
    from stash.colour import Colour
    from stash.units import System

HIDING = (
    "A change hides best where one part ends and the next begins, in a side seam or under the arm, where ribbing or "
    "an edging begins, or on the wrong side of a band."
)
NEAREST = "Go on with another lot; those that suit, the nearest in colour first:"
LOOKS = "differs: 3 or less looks alike, 8 or more is clearly another colour (our own rule, no source)."


def help_lines(found: Midway, screen: Screen) -> Iterator[str]:
    """A line for each thing to do, the least visible first; nothing where it reaches."""
    if found.help is None:
        return
    yield fold(wanted_text(found, screen.units))
    for said in things_to_do(found, screen.units):
        yield fold(f"- {said}", hanging="  ")
        if said == NEAREST:
            yield _nearest(found.help, screen)
            yield fold(LOOKS, indent="    ", hanging="      ")


def wanted_text(found: Midway, units: System) -> str:
    """How much more is wanted; empty where it reaches."""
    help_ = found.help
    if help_ is None:
        return ""
    wanted = words.length_up(round(help_.missing_m * 100 + 0.5), units)
    strands = max(help_.yarn.lots, key=lambda own: own[1])[1] if len(help_.yarn.lots) == 1 else 1
    held = "" if strands == 1 else f", {words.held(strands)},"
    return f"To be {words.percent(found.confidence)} sure, {wanted} more{held} is wanted."


def things_to_do(found: Midway, units: System) -> Iterator[str]:
    """What to do where it may not reach, the least visible first; after NEAREST its lots are told."""
    help_ = found.help
    if help_ is None:
        return
    if found.change is not None:
        yield from _change(found, found.change)
    yield HIDING
    for more in help_.more:
        enough = "enough" if more.enough else "not enough by itself"
        grams = show_mass(more.grams, units)
        yield f"First of all {safe_text(more.lot)} itself: {grams} of it was not begun, {enough}."
    yield NEAREST if help_.others else "No other lot you have suits this need."
    yield from _alternating(help_)
    yield f"Last of all, less length: {_shorter(found)}."


def _change(found: Midway, change: Change) -> Iterator[str]:
    sure = words.percent(found.confidence)
    likely = f"and likely to row {change.likely_row}" if change.likely_row < change.of else "and likely to the end"
    yield f"Change lot after row {change.latest_row} at the latest: it lasts so far ({sure} sure), {likely}."
    if change.hiding is not None:
        what = f" ({safe_text(change.hiding.what)})" if change.hiding.what else ""
        yield f"The last place you named that comes in time is row {change.hiding.row}{what}."
    elif found.knitting.hiding:
        yield "No place you named comes in time."


def nearest_rows(help_: Help, units: System) -> list[tuple[Colour, str, str, str, str, str]]:
    """The lots that suit, the nearest in colour first: colour, name, how far off, what it holds, enough, may it."""
    return [
        (
            other.yarn.colour,
            _named(other.yarn),
            f"{other.apart:.1f}",
            show_length(other.free_m, units),
            "enough" if other.enough else "too little",
            safe_text(other.why_not) or "may go on here",
        )
        for other in help_.others
    ]


def _nearest(help_: Help, screen: Screen) -> str:
    rows = [(screen.swatch(colour), *rest) for colour, *rest in nearest_rows(help_, screen.units)]
    return table(rows, ("colour", "lot", "differs", "holds", "", "by the pattern"), "llrrll", wrap=5, indent="    ")


def _alternating(help_: Help) -> Iterator[str]:
    mixing = [other for other in help_.others if other.rows]
    if not mixing:
        return
    best = min(mixing, key=lambda other: bool(other.why_not))
    mine, its = best.rows or (1, 1)
    yield (
        f"Or alternate from the next row on, which hides a small difference: {words.counted(mine, 'row')} of "
        f"{_named(help_.yarn)} to {words.counted(its, 'row')} of {_named(best.yarn)}, to the end."
    )


def _named(yarn: WorkingYarn) -> str:
    return words.working_yarn({lot.id: strands for lot, strands in yarn.lots})


def _shorter(found: Midway) -> str:
    if (change := found.change) is not None:
        return f"stop {words.counted(change.of - change.latest_row, 'row')} early, after row {change.latest_row}"
    share = float(found.knitting.done.share) + min(lot.lasts.low for lot in found.reach.lots)
    return f"stop when {words.percent(int(100 * min(share, 1.0)) / 100)} of it is done"
