"""The rack list as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.racklist.mass import masses
from planner.show.documents import figure
from stash.colourwords import word_for

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.racklist.listing import Find, RackList
    from planner.show.documents import Document


def rack_list_document(found: RackList, confidence: Fraction) -> Document:
    """What `shortfall --list` answers."""
    return {
        "format": "lotwise/racklist-1",
        "confidence": figure(confidence),
        "projects_asked": found.asked,
        "projects_short": found.short,
        "finds": [_find(find, confidence) for find in found.finds],
        "no_find": list(found.no_find),
        "left_off": list(found.left_off),
        "undecided": list(found.undecided),
        "every_kind_tried": found.whole,
    }


def _find(find: Find, confidence: Fraction) -> Document:
    reach = find.latitude
    return {
        "length_m": float(find.metres),
        "m_per_100g": [figure(count) for count in reach.counts],
        "fibres": list(reach.fibres),
        "any_fibre": reach.every_fibre,
        "colour": {
            "code": find.kind.colour.hex,
            "word": word_for(find.kind.colour),
            "off": None if reach.lightness is not None else reach.off,
            "lightness": None if reach.lightness is None else list(reach.lightness),
        },
        "cut_seams_length_m": None if reach.cut_metres is None else float(reach.cut_metres),
        "classes": [
            {
                "class": row.name,
                "mass_g": figure(row.yarn_g),
                "donor_mass_g": figure(row.linked_g),
                "cut_donor_mass_g": None if row.cut_g is None else figure(row.cut_g),
            }
            for row in masses(find, confidence)
        ],
        "unlocks": [
            {
                "project": row.project,
                "size": row.size,
                "needs": list(row.needs),
                "add_to_only": list(row.pinned),
                "from_m": float(row.metres),
            }
            for row in find.unlocks
        ],
        "enough_for_at_once": find.at_once,
    }
