"""Lots, needs and amounts in a line each; a workspace and a plan of them."""

from fractions import Fraction
from pathlib import Path

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, Need, Pattern, YarnRange
from patterns.projects import ProjectList
from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
from planner.workspace import Workspace
from stash.colour import read_colour
from stash.count import read_count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lots import Lot, Skein, Stash

HERE = Place("stash.yaml", 1, 1)
SURE = Fraction(95, 100)


def make_lot(name, colour, skeins, *, fibre="80% wool, 20% polyamide", felts=True, bleeds=False):
    """`skeins`: (grams, how many equal pieces) each; a label of 230 m/100g, so u is 3 % but for the scale."""
    blend = read_blend(fibre)
    wound = tuple(
        Skein(f"{name}-{i}", Fraction(grams), None, Fraction(1), (Fraction(1, pieces),) * pieces, pieces > 1, HERE)
        for i, (grams, pieces) in enumerate(skeins, 1)
    )
    return Lot(name, None, blend, read_colour(colour), read_count("230 m/100g", blend), felts, bleeds, wound, HERE)


def make_need(name, kind="one"):
    dk = YarnRange(Fraction(190), Fraction(273), "dk")
    return Need(name, LotRule(kind, 1, None), ColourRule(), dk, (1, 2), False, FibreRule(), Fraction(5), None, HERE)


def amount(metres):
    return Amount(Fraction(metres), 0.05)


def tiny_workspace():
    """Navy in three pieces and one, cream, ochre; one pullover in two sizes."""
    lots = (
        make_lot("cream", "#efe6d0", [(240, 1)]),
        make_lot("navy", "#1c2340", [(118, 1), (96, 3)], bleeds=None),
        make_lot("ochre", "#b8862b", [(40, 1)]),
    )
    skerry = Pattern(
        "skerry",
        "Skerry yoked pullover",
        "knitting",
        "hand",
        Fraction(1, 10),
        (),
        {"main": make_need("main", "by-part"), "motif": make_need("motif")},
        {
            "M": {"main": {"body": amount(200), "left sleeve": amount(60)}, "motif": {None: amount(50)}},
            "S": {"main": {None: amount(150)}},
        },
        HERE,
    )
    return Workspace(Path(), Stash({}, {lot.id: lot for lot in lots}), {"skerry": skerry}, ProjectList(SURE, None), ())


def tiny_plan():
    """The pullover in M from navy and cream, not in S."""
    body = YarnRun(
        {"navy": 1},
        22000,
        "body",
        (Take(1, "navy", "navy-1", 1, 14000), Take(1, "navy", "navy-2", 1, 6863), Take(1, "navy", "navy-2", 2, 1227)),
    )
    sleeve = YarnRun(
        {"cream": 2}, 6600, "left sleeve", (Take(1, "cream", "cream-1", 1, 6630), Take(2, "cream", "cream-1", 1, 6630))
    )
    motif = YarnRun({"cream": 1}, 5500, None, (Take(1, "cream", "cream-1", 1, 5530),))
    made = PlannedProject(
        "skerry:M", "skerry", "M", (PlannedNeed("main", 28600, (body, sleeve)), PlannedNeed("motif", 5500, (motif,)))
    )
    left_out = PlannedProject("skerry:S", "skerry", None, ())
    return Plan((made, left_out), SURE, "grams", 160.0, 164.0, "best-found", 30.2)
