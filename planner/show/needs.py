"""What `needs` says: metres by size and class first, then the pieces they come from, and how far to trust them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patterns.schematics import CM
from planner.faultprint import safe_text
from planner.measured import interval
from planner.needfile import title
from planner.needing import EDGING
from planner.prepsteps import SELLING
from planner.show import words
from planner.show.tables import fold, table
from stash.stitches import COMMON
from stash.units import INCH_M, YARD_M, show_length, show_mass, show_number
from stash.weightclass import class_mean

if TYPE_CHECKING:
    from fractions import Fraction

    from patterns.needs import Amount
    from planner.needing import Column, Estimate, SizeNeeds, Worked
    from stash.stitches import Stitch
    from stash.units import System
    from stash.weightclass import WeightClass

_SWATCH_FIRST = (
    "Estimated from shape and gauge; knitters, needles and fibres differ. A swatch of your own, unravelled and "
    "measured (--swatch), brings it to some 5 %."
)
_NO_GAUGE = (
    "Gauge: the middle of each class's published range, in plain knitting as it lies after washing; tell your own with "
    "--gauge."
)
_NAMING, _NIGHTWEAR = SELLING
MOST_COLUMNS = 1  # from two classes on, the table has a column for each


def needs_text(found: Estimate, units: System, saved: str | None = None) -> str:
    """The whole answer at 80 columns; `saved`: the pattern file that was written."""
    parts = [_head(found, units), _table(found, units)]
    if len(found.wish.columns) <= MOST_COLUMNS and len(found.sizes) == 1:
        parts.append(_pieces(found, found.sizes[0], units))
    elif len(found.wish.columns) <= MOST_COLUMNS:
        parts.append(_needs(found, units))
    if saved is not None:
        parts.append(fold(f"Wrote {safe_text(saved)}; see it with: lotwise check"))
    return "\n\n".join([*[part for part in parts if part], _notes(found, units)])


def _head(found: Estimate, units: System) -> str:
    wish = found.wish
    who = words.listing(dict.fromkeys(one.group for one in wish.bodies), "or")
    whom = "" if not wish.shape.ease_on else f" for a {who}"
    what = f"{title(found)}{whom}"
    if len(wish.columns) > MOST_COLUMNS:
        return fold(f"{what}: {'yards' if units == words.IMPERIAL else 'metres'} by size and class of yarn.")
    return fold(f"{what}, {_worked_at(found, wish.columns[0])}.")


def _worked_at(found: Estimate, column: Column) -> str:
    name = "" if column.weight_class is None else f", {column.weight_class.name} yarn"
    if found.wish.swatch is not None:
        return f"as your swatch has it{name}"
    over = show_number(100 * column.over_m, 2).rstrip("0").rstrip(".")
    stitches, rows = (f"{float(one):g}" for one in (column.stitches, column.rows))
    return f"{stitches} stitches and {rows} rows in {over} cm{name}"


def _table(found: Estimate, units: System) -> str:
    columns = found.wish.columns
    if len(columns) > MOST_COLUMNS:
        rows = [
            (safe_text(size.name), *(_bare(size.amount(one).metres, units) for one in columns)) for size in found.sizes
        ]
        return table(rows, ("", *(_short(one) for one in columns)), "l" + "r" * len(columns))
    (column,) = columns
    rows = [
        (
            safe_text(size.name),
            _with_ends(found, size.amount(column), units),
            _area(size.schematic.area, units),
            *(() if column.weight_class is None else (_as_wool(size.amount(column), column.weight_class, units),)),
        )
        for size in found.sizes
    ]
    heads = ("size", "yarn", "fabric", "as wool")[: 3 if column.weight_class is None else 4]
    return table(rows, heads, "lrrr"[: len(heads)])


def _as_wool(amount: Amount, one: WeightClass, units: System) -> str:
    return f"about {show_mass(amount.metres / class_mean(one) * 100, units)}"


def _short(column: Column) -> str:
    name = "" if column.weight_class is None else column.weight_class.name
    return {"fingering": "finger", "super bulky": "s.bulky"}.get(name, name)


def _bare(metres: Fraction, units: System) -> str:
    return show_length(metres, units).partition(" ")[0]


def _with_ends(found: Estimate, amount: Amount, units: System) -> str:
    ends = interval(amount.metres, amount.relative_u, found.confidence)
    digits = 0 if ends.best >= 100 * (float(YARD_M) if units == words.IMPERIAL else 1) else 1
    low, best, high = (show_length(one, units, digits) for one in (ends.low, ends.best, ends.high))
    return f"{best} ({low.partition(' ')[0]} to {high.partition(' ')[0]})"


def _area(square_metres: Fraction, units: System) -> str:
    if units == words.IMPERIAL:
        return f"{show_number(square_metres / YARD_M**2, 2)} sq yd"
    return f"{show_number(square_metres, 2)} m2"


def _needs(found: Estimate, units: System) -> str:
    """Each size's needs, where it has more than one."""
    (column,) = found.wish.columns
    if all(len(size.needs) < 2 for size in found.sizes):
        return ""
    rows = [
        ("" if place else safe_text(size.name), safe_text(need), _with_ends(found, size.amount(column, need), units))
        for size in found.sizes
        for place, need in enumerate(size.needs)
    ]
    return table(rows, ("size", "of which", "yarn"), "llr")


def _pieces(found: Estimate, size: SizeNeeds, units: System) -> str:
    """Its pieces, part by part, and what each need has of them."""
    (column,) = found.wish.columns
    rows = []
    for need, parts in size.needs.items():
        rows.append((safe_text(need), "", "", _with_ends(found, size.amount(column, need), units)))
        for part, worked in parts.items():
            metres = show_length(size.amount(column, need, part).metres, units)
            for place, one in enumerate(worked):
                rows.append(
                    (f"  {one.piece.name}", _measures(one, units), _stitch(found, one), "" if place else metres)
                )
    return table(rows, ("", "width x length", "worked in", ""), "lllr")


def _measures(one: Worked, units: System) -> str:
    piece = one.piece
    lower, upper = (_small(side, units).partition(" ")[0] for side in (piece.lower, piece.upper))
    wide = lower if lower == upper else f"{lower} to {upper}"
    return f"{'' if piece.times == 1 else f'{piece.times} x '}{wide} x {_small(piece.length, units)}"


def _small(metres: Fraction, units: System) -> str:
    """A measure of a garment: "47.3 cm" or "18.6 in"."""
    unit, name = (INCH_M, "in") if units == words.IMPERIAL else (CM, "cm")
    return f"{show_number(metres / unit, 1).removesuffix('.0')} {name}"


def _stitch(found: Estimate, one: Worked) -> str:
    name = (
        "as the swatch"
        if found.wish.swatch is not None
        else "plain"
        if one.patch.stitch is None
        else one.patch.stitch.name
    )
    return name if one.patch.share == 1 else f"{name}, {words.percent(round(one.patch.share, 3))}"


def _notes(found: Estimate, units: System) -> str:
    wish = found.wish
    sure = words.percent(found.confidence)
    notes = []
    if len(wish.columns) > MOST_COLUMNS:
        most = max(size.amount(wish.columns[0]).relative_u for size in found.sizes)
        reach = interval(1.0, most, found.confidence).high - 1
        notes.append(f"Each figure is good to ±\u00a0{words.percent(round(reach, 3))}: each end is {sure} sure.")
        notes.append(_NO_GAUGE)
    else:
        notes.append(f"In brackets: each end is {sure} sure. Joins, swatches and a reserve come on top.")
    notes.append(_from(found, units))
    if wish.swatch is not None:
        notes.append("Edgings are reckoned as if they were worked like the swatch, too.")
    else:
        notes.append(_SWATCH_FIRST)
        stitches = {one.patch.stitch for size in found.sizes for one in size.worked if one.patch.stitch is not None}
        notes += [
            f"{one.name}: {_factor(found, one)} times as much yarn as plain in the same area ({one.source})."
            for one in sorted(stitches, key=lambda one: one.name)
        ]
    if any(one.young for one in wish.bodies):
        notes.append(f"! {_NIGHTWEAR}")
    notes.append(f"! {_NAMING}")
    return "\n".join(fold(note, hanging="  ") for note in notes)


def _factor(found: Estimate, stitch: Stitch) -> str:
    ends = interval(stitch.in_area, stitch.in_area_u, found.confidence)
    return f"{ends.best:.2f} ({ends.low:.2f} to {ends.high:.2f})"


def _from(found: Estimate, units: System) -> str:
    """Where the measures come from."""
    wish = found.wish
    if not wish.shape.ease_on:
        own = any(one.size == "own size" for one in wish.bodies)
        return "Sizes: your own." if own else f"Sizes: {COMMON}; tell your own with --size."
    eases = sorted({size.ease for size in found.sizes})
    told = " to ".join(_small(one, units) for one in (eases[0], eases[-1])[: len(eases)])
    edged = " Edgings of their own yarn." if any(EDGING in size.needs for size in found.sizes) else ""
    return f"Bodies: the yarn trade's published measures, with {told} of ease round the {wish.shape.ease_on}.{edged}"
