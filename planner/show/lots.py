"""What `lots` says: what the stash holds, how thick, how long, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.tables import fold, table
from stash.fibre import density
from stash.lengths import guarded_cm, length_m, mass_g, own_u, relative_u
from stash.units import show_length, show_mass
from stash.weightclass import class_of, m_per_100g, wool_equivalent_tex

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from planner.show.swatches import Screen
    from stash.lots import Lot, Stash
    from stash.weightclass import WeightClass


@dataclass(frozen=True)
class LotRow:
    """One lot at a confidence: each end of an interval is passed with a chance of 1 - confidence."""

    lot: Lot
    weight_class: WeightClass
    m_per_100g: float  # as spun
    wool_m_per_100g: float  # as wool of the same thickness would measure; what classes compare
    length_m: float
    low_m: float  # the guarded length
    high_m: float
    mass_g: float
    mass_error_g: float  # half the interval
    free_m: float  # guarded, and not set aside
    set_aside_m: float


def lot_rows(owned: Stash, free: Stash, confidence: Fraction) -> list[LotRow]:
    """A row for each lot that is there, and what of it is free."""
    return [lot_row(lot, confidence, free.lots[lot.id]) for lot in owned.lots.values()]


def lot_row(lot: Lot, confidence: Fraction, free: Lot | None = None) -> LotRow:
    """What there is of one lot, and how much of it is free; all of it where nothing else is said."""
    z = NormalDist().inv_cdf(float(confidence))
    low = _sure_m(lot, confidence)
    free_m = low if free is None else _sure_m(free, confidence)
    wool = m_per_100g(wool_equivalent_tex(lot.count.tex, density(lot.blend)))
    return LotRow(
        lot,
        class_of(wool),
        float(m_per_100g(lot.count.tex)),
        float(wool),
        float(sum(length_m(lot, skein) for skein in lot.skeins)),
        low,
        sum(float(length_m(lot, skein)) * (1 + z * relative_u(lot, skein)) for skein in lot.skeins),
        float(sum(mass_g(lot, skein) for skein in lot.skeins)),
        z * _mass_u(lot),
        free_m,
        low - free_m,
    )


def _sure_m(lot: Lot, confidence: Fraction) -> float:
    return sum(sum(guarded_cm(lot, skein, confidence)) for skein in lot.skeins) / 100


def _mass_u(lot: Lot) -> float:
    """Standard uncertainty of a lot's mass in g: every scale's step; where only lengths are known theirs and the count.

    The count's error is the same for all skeins that were not weighed, so it adds up; the others average out.
    """
    weighed = [float(skein.scale_g) / math.sqrt(12) for skein in lot.skeins if skein.mass_g is not None]
    reckoned = [(float(mass_g(lot, skein)), own_u(lot, skein)) for skein in lot.skeins if skein.mass_g is None]
    shared = lot.count.relative_u * sum(mass for mass, _ in reckoned)
    return math.hypot(*weighed, *(mass * own for mass, own in reckoned), shared)


def lots_text(owned: Stash, free_stash: Stash, confidence: Fraction, screen: Screen) -> str:
    """A line for each lot, then what the figures mean; what is used up is counted only."""
    all_rows = lot_rows(owned, free_stash, confidence)
    rows = [row for row in all_rows if row.mass_g or not row.lot.skeins]
    used_up = len(all_rows) - len(rows)
    total = sum(row.mass_g for row in rows)
    free = sum(row.free_m for row in rows)
    head = (
        f"You have {words.counted(len(rows), 'lot')}, {show_mass(total, screen.units)} in all, "
        f"of which {show_length(free, screen.units)} can be counted on and are free."
    )
    unit = "yd/oz" if screen.units == words.IMPERIAL else "m/100g"
    headers: tuple[str, ...] = ("colour", "lot", "class", unit, "length", "mass", "skeins", "free")
    cells: list[tuple[str, ...]] = [_cells(row, screen) for row in rows]
    if any(row.set_aside_m for row in rows):
        headers = (*headers, "aside")
        aside = (show_length(row.set_aside_m, screen.units) for row in rows)
        cells = [(*cell, set_aside) for cell, set_aside in zip(cells, aside, strict=True)]
    return "\n".join(
        (
            fold(head),
            "",
            table(cells, headers, f"ll{'r' * (len(headers) - 2)}", wrap=1),
            "",
            _notes(rows, confidence, used_up),
        )
    )


def _notes(rows: Sequence[LotRow], confidence: Fraction, used_up: int) -> str:
    sure = words.percent(confidence)
    classes = sorted({(row.weight_class.number, row.weight_class.name) for row in rows})
    aside = "" if any(row.set_aside_m for row in rows) else " Nothing is set aside."
    notes = (
        f"length: from what you can count on ({sure} sure) to the most there may be (as sure).",
        f"class: {', '.join(f'{number} {name}' for number, name in classes)}; as wool of the same thickness.",
        f"free: counted on, and not set aside.{aside or ' aside: set aside for projects.'}",
        *([f"Used up, and not shown: {words.counted(used_up, 'lot')}."] if used_up else ()),
    )
    return "\n".join(fold(note, hanging="  ") for note in notes)


def _cells(row: LotRow, screen: Screen) -> tuple[str, ...]:
    units = screen.units
    return (
        screen.swatch(row.lot.colour),
        safe_text(row.lot.id),
        str(row.weight_class.number),
        words.count(row.m_per_100g, units).partition(" ")[0],
        f"{show_length(row.low_m, units).partition(' ')[0]}-{show_length(row.high_m, units)}",
        f"{show_mass(row.mass_g, units).partition(' ')[0]}±{show_mass(row.mass_error_g, units, 1)}",
        str(len(row.lot.skeins)),
        show_length(row.free_m, units),
    )
