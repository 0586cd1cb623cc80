"""A stash and a plan that fit in the head: navy in three pieces and one, cream, ochre; one pullover in two sizes."""

from fractions import Fraction

import pytest
from handmade import tiny_plan, tiny_workspace

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
from planner.reasons import Thickness, because
from stash.colour import read_colour


@pytest.fixture
def workspace():
    return tiny_workspace()


@pytest.fixture
def plan():
    return tiny_plan()


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
