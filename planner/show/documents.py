"""Answers as documents for other programs: plain keys with their units, the format first, no times."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from planner.show.cautions import bleeding_cautions
from planner.show.cover import best_verdicts
from planner.show.lots import lot_rows
from stash.colour import nearest_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from planner.answers import Change, CoverNeed, CoverRow, LookFor, ProjectShortfall, ShortNeed
    from planner.show.lots import LotRow
    from stash.faults import Fault
    from stash.lots import Lot, Stash

    Document = dict[str, Any]


def write(document: Document) -> str:
    """The document as text; only ASCII, so that its bytes are the same wherever it is printed."""
    return json.dumps(document, indent=2, allow_nan=False)


def metres(cm: int) -> float:
    """Whole centimetres as metres."""
    return cm / 100


def figure(value: Fraction | float, digits: int = 6) -> float | None:
    """A figure cut to so many decimals; None where nothing is known."""
    number = float(value)
    return round(number, digits) if math.isfinite(number) else None


def cover_document(rows: Sequence[CoverRow], confidence: Fraction, stash: Stash) -> Document:
    """What `cover` answers, a row for each project and size."""
    return {
        "format": "lotwise/cover-1",
        "confidence": figure(confidence),
        "projects": [
            {
                "project": row.project,
                "pattern": row.pattern,
                "size": row.size,
                "verdict": row.verdict,
                "needs": [_cover_need(need) for need in row.needs],
                "warnings": list(bleeding_cautions(_lots_of(row, stash.lots))),
            }
            for row in rows
        ],
        "verdicts": best_verdicts(rows),
    }


def _lots_of(row: CoverRow, lots: Mapping[str, Lot]) -> list[Lot]:
    return [lots[name] for name in sorted({lot for need in row.needs for yarn in need.yarns for lot in yarn.lots})]


def _cover_need(need: CoverNeed) -> Document:
    return {
        "need": need.need,
        "need_m": figure(need.need_m),
        "with_reserve_m": metres(need.with_reserve_cm),
        "short_m": metres(need.short_cm),
        "yarns": [{"lots": dict(yarn.lots), "length_m": metres(yarn.length_cm)} for yarn in need.yarns],
    }


def shortfall_document(answers: Sequence[ProjectShortfall], confidence: Fraction) -> Document:
    """What `shortfall` answers."""
    return {
        "format": "lotwise/shortfall-1",
        "confidence": figure(confidence),
        "projects": [
            {
                "project": answer.project,
                "pattern": answer.pattern,
                "size": answer.size,
                "verdict": answer.verdict,
                "needs": [_short_need(need) for need in answer.needs],
                "why": None if answer.why is None else answer.why.reason.said(),
                "changes": [_change(change) for change in answer.changes],
                "warnings": [],
            }
            for answer in answers
        ],
    }


def _change(change: Change) -> Document:
    return {
        "change": change.change,
        "verdict": change.verdict,
        "file": change.edits[0].file if change.edits else None,
        "write": [
            {"file": edit.file, "line": edit.line, "under": edit.under, "text": edit.text} for edit in change.edits
        ],
        "chance_short": None if change.chance_short is None else figure(change.chance_short),
    }


def _short_need(need: ShortNeed) -> Document:
    return {
        "need": need.need,
        "short_m": metres(need.short_cm),
        "kind": need.kind,
        "look_for": None if need.look_for is None else _look_for(need.look_for),
        "refused": [
            {"lot": refusal.lot, "reasons": [why.said() for why in refusal.reasons]} for refusal in need.refusals
        ],
        "notes": list(need.notes),
    }


def _look_for(find: LookFor) -> Document:
    return {
        "length_m": metres(find.length_cm),
        "mass_g": figure(find.mass_g),
        "m_per_100g": [figure(end) for end in find.m_per_100g],
        "fibre": find.fibre,
        "colour": find.colour,
        "donor_mass_g": figure(find.donor_mass_g),
    }


def lots_document(owned: Stash, free: Stash, confidence: Fraction) -> Document:
    """What `lots` answers: what is there, and what of it is free."""
    return {
        "format": "lotwise/lots-1",
        "confidence": figure(confidence),
        "lots": [_lot(row) for row in lot_rows(owned, free, confidence)],
    }


def _lot(row: LotRow) -> Document:
    lot = row.lot
    return {
        "lot": lot.id,
        "donor": lot.donor,
        "fibre": {fibre: figure(share) for fibre, share in lot.blend.shares.items()},
        "colour": lot.colour.hex,
        "colour_name": nearest_name(lot.colour),
        "class": row.weight_class.number,
        "m_per_100g": figure(row.m_per_100g),
        "wool_equivalent_m_per_100g": figure(row.wool_m_per_100g),
        "length_m": figure(row.length_m),
        "length_low_m": figure(row.low_m),
        "length_high_m": figure(row.high_m),
        "mass_g": figure(row.mass_g),
        "mass_error_g": figure(row.mass_error_g),
        "skeins": [skein.id for skein in lot.skeins],
        "free_m": figure(row.free_m),
        "set_aside_m": figure(row.set_aside_m),
    }


def error_document(message: str, hint: str, faults: Sequence[Fault] = ()) -> Document:
    """What is answered in place of an answer: what is wrong, and each fault in the files."""
    return {
        "format": "lotwise/error-1",
        "message": message,
        "hint": hint,
        "faults": [
            {
                "file": fault.place.file,
                "line": fault.place.line,
                "column": fault.place.column,
                "message": fault.message,
                "hint": fault.hint,
                "warning": fault.warning,
            }
            for fault in faults
        ],
    }
