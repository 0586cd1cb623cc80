"""The card for the rack: one sheet to fold into a pocket, and the same file as a page on a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pages.finds import find_views
from planner.pages.labels import AVOID, leave, look_for
from planner.pages.page import write_page
from planner.pages.reckoner import MASSES, SEAMS, beside_wool, constants, fibres, gauge_rows
from planner.pages.shades import Palette
from planner.racklist.mass import masses
from planner.show import words
from planner.show.racklist import ending_lines, head_text
from stash.yielding import CUT, LINKED

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from planner.pages.finds import FindView
    from planner.pages.grids import Paper
    from planner.racklist.listing import RackList
    from stash.units import System

ACROSS, DOWN = 4, 2  # panels of a sheet that lies on its side: A7 and nearly so
PANELS = 3  # for finds: one each; those beyond are told in short on paper, and in full on a phone
SHOWN = 2  # projects named for a find on paper
ANY = ("fingering", "sport", "dk", "aran", "bulky")  # classes, where there is nothing to look for


def card_page(found: RackList, confidence: Fraction, paper: Paper, units: System) -> str:
    """The page of a rack list."""
    palette = Palette()
    finds = find_views(found.finds, confidence, palette, units)
    wanted = {row.name for find in found.finds for row in masses(find, confidence)} or set(ANY)
    return write_page(
        "card.html",
        "Rack card",
        palette,
        sheet="card.css",
        script="reckoner.js",
        paper=paper,
        across=ACROSS,
        down=DOWN,
        shown=SHOWN,
        head=head_text(found) if found.asked else "Nothing is asked: projects.yaml lists no projects.",
        finds=finds,
        panels=_panels(finds),
        endings=ending_lines(found, []),
        others=words.counted(len({*found.left_off, *found.no_find, *found.undecided}), "other project"),
        look=look_for(found.finds),
        leave=leave(found.finds),
        avoid=AVOID,
        masses=[label for label, _ in MASSES[units]],
        gauges=gauge_rows(wanted, units),
        cut_part=words.percent(round(CUT.left / LINKED.left, 2)),
        cotton=f"{beside_wool('cotton'):.2f}",
        acrylic=f"{beside_wool('acrylic'):.2f}",
        fibres=fibres(),
        mass_unit="ounces" if units == words.IMPERIAL else "grams",
        seam_names=[name for name, _ in SEAMS],
        **constants(units),
    )


def _panels(finds: Sequence[FindView]) -> list[Sequence[FindView]]:
    """The finds of each panel, all that are left on the last."""
    return [finds[at : at + 1] if at < PANELS - 1 else finds[at:] for at in range(PANELS)]
