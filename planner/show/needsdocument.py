"""What `needs` answers, as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.measure.figures import interval
from planner.prep.steps import SELLING
from planner.show.documents import figure
from stash.weightclass import class_mean

if TYPE_CHECKING:
    from patterns.needs import Amount
    from planner.needs.estimate import Column, Estimate, SizeNeeds

    Document = dict[str, Any]


def needs_document(found: Estimate, pattern: str | None = None, saved: str | None = None) -> Document:
    """Every size at every gauge, with its pieces; `pattern`: the text of the pattern file that was asked for."""
    wish = found.wish
    young = any(one.young for one in wish.bodies)
    return {
        "format": "lotwise/needs-1",
        "confidence": figure(found.confidence),
        "shape": wish.shape.name,
        "construction": wish.construction,
        "craft": wish.craft,
        "fit": wish.fit if wish.shape.ease_on == "chest" and wish.ease is None else None,
        "swatch": None
        if wish.swatch is None
        else {
            "length_m": figure(wish.swatch.length),
            "width_m": figure(wish.swatch.width),
            "height_m": figure(wish.swatch.height),
        },
        "sizes": [_size(found, size) for size in found.sizes],
        "pattern_file": pattern,
        "saved_as": saved,
        "cautions": [*SELLING] if young else [SELLING[0]],
    }


def _size(found: Estimate, size: SizeNeeds) -> Document:
    return {
        "size": size.name,
        "for": size.body.group,
        "ease_m": figure(size.ease) if found.wish.shape.ease_on else None,
        "area_m2": figure(size.schematic.area),
        "pieces": [
            {
                "part": one.part,
                "piece": one.name,
                "lower_m": figure(one.lower),
                "upper_m": figure(one.upper),
                "length_m": figure(one.length),
                "times": one.times,
                "edging": one.edging,
                "drawn": one.drawn,
            }
            for one in size.schematic.pieces
        ],
        "estimates": [_estimate(found, size, column) for column in found.wish.columns],
    }


def _estimate(found: Estimate, size: SizeNeeds, column: Column) -> Document:
    whole = size.amount(column)
    gauge = found.wish.swatch is None
    one = column.weight_class
    return {
        "class": None if one is None else one.number,
        "class_name": None if one is None else one.name,
        "stitches": figure(column.stitches) if gauge else None,
        "rows": figure(column.rows) if gauge else None,
        "over_m": figure(column.over_m) if gauge else None,
        **_figures(found, whole),
        "as_wool_mass_g": None if one is None else figure(whole.metres / class_mean(one) * 100),
        "needs": [
            {
                "need": need,
                **_figures(found, size.amount(column, need)),
                "parts": [{"part": part, **_figures(found, size.amount(column, need, part))} for part in parts],
            }
            for need, parts in size.needs.items()
        ],
    }


def _figures(found: Estimate, amount: Amount) -> Document:
    ends = interval(amount.metres, amount.relative_u, found.confidence)
    return {"length_m": figure(ends.best), "low_m": figure(ends.low), "high_m": figure(ends.high)}
