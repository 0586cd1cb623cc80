"""What `rack` answers, as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.rack.figures import strands_of
from planner.show.documents import figure
from planner.show.rackreasons import reason_text
from stash.reclaiming import Z90
from stash.yielding import losses

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from planner.rack.figures import Strands
    from planner.rack.judging import Judgement
    from planner.rack.unlocking import Unlocked
    from stash.guesses import Guess

    Document = dict[str, Any]


def rack_document(judged: Judgement, confidence: Fraction) -> Document:
    """One garment: verdict, reasons, what is to be had (90 % intervals), pieces, the lot it would become."""
    return {"format": "lotwise/rack-1", "confidence": figure(confidence), **_judged(judged)}


def compare_document(judged: Sequence[Judgement], confidence: Fraction) -> Document:
    """Several garments, the best first."""
    return {
        "format": "lotwise/rack-compare-1",
        "confidence": figure(confidence),
        "donors": [_judged(one) for one in judged],
    }


def _judged(judged: Judgement) -> Document:
    found, garment = judged.found, judged.garment
    return {
        "donor": judged.donor,
        "verdict": judged.verdict,
        "reasons": [
            {
                "reason": reason.key,
                "speaks_for": reason.speaks_for,
                "weight": reason.weight,
                "text": reason_text(reason.key, judged, "metric"),
            }
            for reason in judged.reasons
        ],
        "interval": 0.9,
        "length": _ends(found.length_m, "m"),
        "mass": _ends(found.mass_g, "g"),
        "in_garment": _ends(found.in_garment_m, "m"),
        "by_panels": _ends(found.by_panels, "m"),
        "by_mass": _ends(found.by_mass, "m"),
        "ways_apart": None if found.apart is None else figure(found.apart),
        "loop_length": _ends(found.loop_cm, "cm"),
        "share_kept": None if found.share is None else figure(found.share.best),
        "losses": [] if found.share is None else [{"why": one.why, "left": one.left} for one in losses(garment)],
        "yarn": [_strands(one) for one in strands_of(garment, found)],
        "pieces": [
            {"panel": run.panel + 1, "pieces": run.number, "each_m": figure(run.each_m)} for run in judged.pieces
        ],
        "price": None if garment.price is None else figure(garment.price),
        "in_stash_as": list(judged.already),
        "unlocks": None if judged.unlocked is None else [_unlocked(one) for one in judged.unlocked],
        "unlocks_wanted_g": figure(judged.wanted_g),
        "lot": None if judged.expected is None else {"lot": judged.expected.lot.id, "text": judged.expected.text},
    }


def _unlocked(one: Unlocked) -> Document:
    return {
        "project": one.project,
        "sizes": list(one.sizes),
        "settled": not one.undecided,
        "wanted_g": figure(one.wanted_g),
    }


def _ends(guess: Guess | None, unit: str) -> Document | None:
    if guess is None:
        return None
    low, high = guess.interval(Z90)
    return {f"best_{unit}": figure(guess.best), f"low_{unit}": figure(low), f"high_{unit}": figure(high)}


def _strands(one: Strands) -> Document:
    thin, thick = one.tex.interval(Z90)
    return {
        "held": one.name,
        "tex": figure(one.tex.best),
        "m_per_100g": figure(100_000 / one.tex.best),
        "low_m_per_100g": figure(100_000 / thick),
        "high_m_per_100g": figure(100_000 / thin),
        "class": one.weight_class.number,
        "stitches_in_10_cm": figure(one.stitches, 2),
        "rows_in_10_cm": figure(one.rows, 2),
    }
