"""The answer midway as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.show.documents import figure, metres

if TYPE_CHECKING:
    from planner.midway.answering import Midway
    from planner.midway.helps import Help
    from planner.midway.others import OtherNeed
    from planner.midway.reach import LotReach

    Document = dict[str, Any]


def midway_document(found: Midway) -> Document:
    """What `midway` answers. Ends of intervals are passed with a chance of 1 - confidence each."""
    knitting, rows = found.knitting, found.knitting.done.rows
    ratio, ratio_u = found.reach.ratios[knitting.need]
    change = found.change
    return {
        "format": "lotwise/midway-1",
        "confidence": figure(found.confidence),
        "project": knitting.project.name,
        "pattern": knitting.pattern.id,
        "size": knitting.size,
        "need": knitting.need,
        "part": knitting.part,
        "done": figure(knitting.done.share),
        "row": None if rows is None else rows.now,
        "rows": None if rows is None else rows.of,
        "verdict": found.verdict,
        "chance": figure(found.reach.chance),
        "lots": [_lot(lot) for lot in found.reach.lots],
        "rate_measured": figure(found.reach.measured),
        "rate": figure(ratio),
        "rate_relative_u": figure(ratio_u),
        "change": None
        if change is None
        else {
            "latest_row": change.latest_row,
            "likely_row": change.likely_row,
            "hiding_row": None if change.hiding is None else change.hiding.row,
        },
        "help": None if found.help is None else _help(found.help),
        "others": [_other(need) for need in found.others],
    }


def _lot(lot: LotReach) -> Document:
    own = lot.in_use
    return {
        "lot": own.lot.id,
        "need": own.need,
        "strands": own.strands,
        "began_g": figure(own.began_g),
        "used_g": figure(own.used_g),
        "left_g": figure(own.left_g),
        "left_m": figure(lot.metres(float(own.left_g))),
        "rest_g": figure(lot.rest_g.likely),
        "rest_low_g": figure(lot.rest_g.low),
        "rest_high_g": figure(lot.rest_g.high),
        "rest_m": figure(lot.metres(lot.rest_g.likely)),
        "rest_low_m": figure(lot.metres(lot.rest_g.low)),
        "rest_high_m": figure(lot.metres(lot.rest_g.high)),
        "spare_g": figure(lot.spare_g),
        "chance": figure(lot.chance),
    }


def _help(help_: Help) -> Document:
    return {
        "need": help_.need,
        "missing_m": figure(help_.missing_m),
        "not_begun": [{"lot": more.lot, "mass_g": figure(more.grams), "enough": more.enough} for more in help_.more],
        "yarns": [
            {
                "lots": {lot.id: strands for lot, strands in other.yarn.lots},
                "difference": figure(other.apart),
                "free_m": figure(other.free_m),
                "enough": other.enough,
                "why_not": other.why_not or None,
                "alternate_rows": None if other.rows is None else list(other.rows),
            }
            for other in help_.others
        ],
    }


def _other(need: OtherNeed) -> Document:
    return {
        "need": need.need,
        "verdict": need.verdict,
        "short_m": metres(need.short_cm),
        "parts": [
            {"part": part.part, "before_m": figure(part.before_m), "now_m": figure(part.now_m)} for part in need.parts
        ],
    }
