"""What `prep` answers, as a document for other programs: the steps as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.prep.steps import SELLING
from planner.show.documents import figure
from stash.fibre import show_blend

if TYPE_CHECKING:
    from planner.prep.sheet import WorkSheet

    Document = dict[str, Any]


def prep_document(sheet: WorkSheet) -> Document:
    """Steps in order, each with what to do, cautions and lines to write on; then the lot's text with blanks."""
    garment = sheet.garment
    return {
        "format": "lotwise/prep-1",
        "donor": sheet.donor,
        "fibre": None if garment.blend is None else show_blend(garment.blend),
        "seams": garment.seams,
        "felted": garment.felted,
        "felts": sheet.felts,
        "steps": [
            {
                "step": step.key,
                "title": step.title,
                "do": list(step.do),
                "cautions": list(step.cautions),
                "blanks": list(step.blanks),
            }
            for step in sheet.steps
        ],
        "sample": None
        if sheet.sample is None
        else {
            "turns": sheet.sample.turns,
            "mass_g": figure(sheet.sample.grams),
            "thickness_known": sheet.sample.thickness_known,
        },
        "lot": list(sheet.blanks),
        "when_selling": list(SELLING),
    }
