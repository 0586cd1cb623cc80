"""Why a garment is worth unravelling or not, in a knitter's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.rackverdict import LEAST_PIECE_M, SHORT_ROW_M
from planner.show import words
from stash.units import show_length

if TYPE_CHECKING:
    from planner.rack import Judgement
    from stash.units import System

_PLAIN = {
    "linked": "The seams are linked: panels knitted to shape, so the yarn runs on from row to row.",
    "metres": "There are metres enough to be worth winding.",
    "seams-unknown": (
        "Nobody looked at the seams. Turn it inside out: a chain of stitches joining whole edges is good; edges cut "
        "and bound over with thread mean one short piece a row."
    ),
    "felted": (
        "It is felted: the fibres are locked into each other and the yarn cannot be drawn out, or only in short tufts. "
        "To be sure, snip one edge and pull: if no thread runs, use it as fabric (slippers, pot-holders, patches), cut "
        "as you like, for it will not ladder."
    ),
    "slightly-felted": (
        "It is slightly felted: threads cling and tear. Pull one edge before you buy: if the first three rows run, "
        "half of it may come off, in short pieces."
    ),
    "moths": (
        "Moths have been at it: more is bitten than is seen, so the yarn comes off in many pieces. Seal it in a bag at "
        "once, and freeze it (-20 C or colder, a week) before it comes near other wool; many home freezers are not "
        "cold enough."
    ),
    "pilled": "It is pilled: the worn places are thin and will break, elbows and cuffs first.",
    "smell": (
        "It smells: smoke and damp wash out slowly, mould may not. Open it out of doors, with a mask if it is musty."
    ),
    "stains": "Stains are cut out or dyed over; each one cut out makes one more piece.",
    "colours": "Several colours: each is a lot of its own, and shorter. The figures are for the main colour.",
    "lace": "Lace comes off with crimps at every hole, and catches.",
    "fancy": "Fancy yarn: loops, hairs and knots catch as it is pulled, and much of it breaks.",
    "few-metres": "There is little of it: hardly enough for a pair of mittens.",
    "short-pieces": f"No piece is likely to reach the {LEAST_PIECE_M:g} m that a plan asks of one.",
    "fibre-unknown": (
        "The fibre is unknown: how it washes, felts and burns is not known either. Do not try it with a flame; keep it "
        "from heat and from small children's things."
    ),
}


def reason_text(key: str, judged: Judgement, units: System) -> str:
    """One reason in a sentence or two."""
    if key == "unlocks":
        many = words.counted(len(judged.opened), "project")
        return f"With it there would be enough for {many} that cannot be made now."
    if key == "holes":
        many = words.counted(judged.garment.holes, "hole")
        return f"It has {many}: each makes one more piece, and costs the rows round it."
    if key == "cut":
        return _cut(judged, units)
    if key == "metres" and judged.garment.seams == "cut":
        return "There are metres in it, for those who can use short threads."
    if key == "disagreement":
        return _disagreement(judged, units)
    return _PLAIN[key]


def about_length(metres: float, units: System) -> str:
    """A length about as fine as it is known: "2.1 m", "905 m"."""
    return show_length(metres, units, 1 if metres < 20 else 0)


def _cut(judged: Judgement, units: System) -> str:
    rows = [run.each_m for run in judged.pieces]
    longest, shortest = max(rows), min(rows)
    span = about_length(longest, units)
    if round(longest, 1) != round(shortest, 1):
        span = f"{about_length(shortest, units).partition(' ')[0]} to {span}"
    told = f"The seams are cut, so every row is a piece of its own, of {span}. "
    least = show_length(LEAST_PIECE_M, units)
    if longest >= LEAST_PIECE_M:
        return f"{told}That is above the {least} a plan asks of a piece, but means a join for every row."
    uses = "stripes of a row or two, fringes and tassels, tapestry, darning and weaving in as weft"
    if longest < SHORT_ROW_M:
        uses = "fringes and filling"
    return (
        f"{told}A plan asks {least} of a piece, so it plans with none of it, unless a pattern's `piece:` allows less. "
        f"It still serves for {uses}, or marled: held together with a whole strand, the joins hide."
    )


def _disagreement(judged: Judgement, units: System) -> str:
    found = judged.found
    if found.by_panels is None or found.by_mass is None:
        return ""
    panels, mass = (about_length(one.best, units) for one in (found.by_panels, found.by_mass))
    said = f"Its size and stitches tell {panels} of yarn in it, its mass {mass}: more apart than chance explains. "
    if found.by_panels.best < found.by_mass.best:
        return (
            f"{said}It is heavy for what is seen: lined or with heavy buttons, rib or cable counted as plain, a dense "
            "or felted yarn, strands held together, or stitches miscounted."
        )
    return (
        f"{said}It is light for what is seen: lace, a thin yarn knitted loosely, a label that is wrong, or stretched "
        "panels."
    )
