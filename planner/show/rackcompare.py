"""What `rack --compare` says: several garments, the best first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.rack.judging import by_price
from planner.show import words
from planner.show.tables import fold, table
from stash.units import show_length, show_mass, show_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.rack.judging import Judgement
    from stash.units import System

NOTHING = "nothing"


def compare_text(judged: Sequence[Judgement], units: System) -> str:
    """The best in one line, a line for each garment, then how they were ranked."""
    priced = by_price(judged)
    best = judged[0]
    name = safe_text(best.donor or "")
    money = " for the money" if priced else ""
    head = fold(f"{name} comes first{money}: {best.verdict}; {_unlocks(best)}.")
    rows = [_row(place, one, units) for place, one in enumerate(judged, 1)]
    heads = ("", "donor", "verdict", "sure of", "price", "unlocks")
    body = table(rows, heads, "rllrrl", wrap=5)
    return f"{head}\n\n{body}\n\n{_notes(judged, priced=priced)}"


def _unlocks(best: Judgement) -> str:
    if best.opened:
        return f"it unlocks {words.counted(len(best.opened), 'project')}"
    none = _none_unlocked(best)
    return f"though it unlocks {NOTHING}" if none == NOTHING else f"unlocks: {none}"


def _row(place: int, one: Judgement, units: System) -> tuple[str, ...]:
    price = one.garment.price
    unlocks = words.listing(safe_text(row.project) for row in one.opened)
    unlocks = f"{unlocks} ({show_mass(float(one.wanted_g), units)})" if unlocks else _none_unlocked(one)
    return (
        str(place),
        safe_text(one.donor or ""),
        one.verdict,
        show_length(one.low_m, units),
        "-" if price is None else show_number(price, 2),
        unlocks,
    )


def _none_unlocked(one: Judgement) -> str:
    """Why no project is told, of a garment that is not known to unlock one."""
    if one.already:
        return "in the stash already"
    if one.unlocked is None:
        return "not told: no colour"
    return "not settled in the time there was" if one.unlocked else NOTHING


def _notes(judged: Sequence[Judgement], *, priced: bool) -> str:
    order = (
        "projects unlocked, then the grams these want (times how much each is wanted), then metres you can be sure of"
    )
    notes = [f"ranked by: {order}{'; each for one of the money' if priced else ''}."]
    if not priced and any(one.garment.price is not None for one in judged):
        missing = words.listing(safe_text(one.donor or "") for one in judged if one.garment.price is None)
        notes.append(f"price: not counted, for {missing} has none.")
    notes.append("sure of: the low end of what is to be had; nineteen times in twenty there is more.")
    notes.append("Each is asked alone: two of them may unlock one project only once. `lotwise rack DONOR` tells why.")
    return "\n".join(fold(note, hanging="  ") for note in notes)
