"""A stash and a plan that fit in the head: navy in three pieces and one, cream, ochre; one pullover in two sizes."""

from fractions import Fraction
from pathlib import Path

import pytest
from handmade import HERE, SURE, amount, make_lot, make_need

from patterns.needs import Pattern
from patterns.projects import ProjectList
from planner.answers import (
    Change,
    CoverNeed,
    CoverRow,
    CoverYarn,
    LookFor,
    ProjectShortfall,
    Refusal,
    ShortNeed,
)
from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
from planner.reasons import Thickness, because
from planner.workspace import Workspace
from stash.colour import read_colour
from stash.lots import Stash


@pytest.fixture
def workspace():
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


@pytest.fixture
def plan():
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


@pytest.fixture
def cover_rows():
    return (
        CoverRow(
            "skerry:M",
            "skerry",
            "M",
            "enough",
            (
                CoverNeed(
                    "main", Fraction(260), 28600, 0, (CoverYarn({"navy": 1}, 22000), CoverYarn({"cream": 2}, 6600))
                ),
            ),
        ),
        CoverRow(
            "skerry:S",
            "skerry",
            "S",
            "short",
            (
                CoverNeed("main", Fraction(150), 16500, 4321, (CoverYarn({"ochre": 1}, 12179),)),
                CoverNeed("motif", Fraction(50), 5500, 5500, ()),
            ),
        ),
        CoverRow(
            "hat", "hat", "one", "tight", (CoverNeed("main", Fraction(80), 8800, 21, (CoverYarn({"ochre": 1}, 8779),)),)
        ),
    )


@pytest.fixture
def shortfalls():
    find = LookFor(
        16500, 80.2, (Fraction(190), Fraction(273)), "at least 50 % wool", "any", read_colour("#b8862b"), 94.4
    )
    refused = Refusal(
        "cream",
        (
            because("too thin: ", Thickness(410), " where 190 to 273 is asked"),
            because("it felts and navy does not"),
        ),
    )
    main = ShortNeed("main", 4321, "replace", find, (refused,))
    return (
        ProjectShortfall(
            "skerry:S",
            "skerry",
            "S",
            "short",
            (main, ShortNeed("motif", 0, None, None, ())),
            (Change("hold cream double", "enough"),),
        ),
        ProjectShortfall("skerry:M", "skerry", "M", "enough", (), ()),
    )
