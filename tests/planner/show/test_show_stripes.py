"""Stripes on the terminal: each with its rows, its need and its yarn, in the order they are worked."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

import pytest

from patterns.charts import Stripes, Work
from planner.plan import PlannedNeed, PlannedProject, YarnRun
from planner.show.chartdocument import stripes_document
from planner.show.chartkey import stripes_of
from planner.show.stripes import stripes_text
from planner.show.stripessvg import stripes_drawing
from planner.show.svg import NAMESPACE, image
from planner.show.swatches import Screen
from planner.show.tables import display_width

MADE = PlannedProject(
    "skerry:M",
    "skerry",
    "M",
    tuple(
        PlannedNeed(need, 100, (YarnRun({lot: 1}, 100, None, ()),))
        for need, lot in (("main", "navy"), ("motif", "cream"))
    ),
)


def striped(workspace, bands, times=1):
    stripes = Stripes(tuple(bands), {"M": 96}, {"M": times}, Work(Fraction(1), 0.1))
    return replace(workspace, patterns={"skerry": replace(workspace.patterns["skerry"], stripes=stripes)})


def test_stripes_are_shown_in_order(workspace):
    text = stripes_text(MADE, striped(workspace, [("main", 20), ("motif", 1), ("main", 4)], times=3), Screen())
    assert text == (
        "  The stripes in order, 3 times:\n"
        "    20 rows  main: navy (midnightblue, #1c2340)\n"
        "     1 row   motif: cream (antiquewhite, #efe6d0)\n"
        "     4 rows  main: navy (midnightblue, #1c2340)"
    )


def test_in_colour_each_stripe_has_its_block(workspace):
    text = stripes_text(MADE, striped(workspace, [("main", 2)]), Screen(truecolour=True))
    assert text.splitlines()[1] == "    2 rows  \x1b[48;2;28;35;64m    \x1b[0m  main: navy (midnightblue, #1c2340)"


@pytest.mark.parametrize("screen", [Screen(), Screen(truecolour=True)])
def test_many_stripes_are_cut_and_long_names_are_folded(workspace, screen):
    charted = striped(workspace, [("main " * 30, 10_000), *[("main", 2)] * 41])
    lines = stripes_text(MADE, charted, screen).splitlines()
    assert lines[-1] == "  and 2 stripes more, as the pattern has them"
    assert max(map(display_width, lines)) <= 80


def test_nothing_is_shown_where_there_are_no_stripes_or_nothing_is_made(workspace):
    assert stripes_text(MADE, workspace, Screen()) == ""
    assert stripes_text(PlannedProject("s", "skerry", None, ()), striped(workspace, [("main", 2)]), Screen()) == ""


def test_the_drawing_has_a_band_for_each_stripe_as_high_as_its_rows(workspace):
    drawn = stripes_of(MADE, striped(workspace, [("main", 20), ("motif", 1), ("main", 40)], times=3))
    root = ET.fromstring(image([stripes_drawing(drawn)]))
    bands = [box for box in root.iter(f"{{{NAMESPACE}}}rect") if box.get("stroke")]
    assert [(box.get("fill"), float(box.get("height"))) for box in bands] == [
        ("#1c2340", 200),  # the last at the top, as it is knitted
        ("#efe6d0", 20),  # a row alone is still as high as its words
        ("#1c2340", 100),
    ]
    said = [text.text for text in root.iter(f"{{{NAMESPACE}}}text")]
    assert said == [
        "skerry:M: Skerry yoked pullover, size M; worked 3 times",
        "40 rows main: navy (midnightblue, #1c2340)",
        "1 row motif: cream (antiquewhite, #efe6d0)",
        "20 rows main: navy (midnightblue, #1c2340)",
    ]


def test_the_document_has_the_stripes_in_order(workspace):
    assert stripes_document(MADE, striped(workspace, [("main", 20), ("motif", 1)], times=3)) == {
        "times": 3,
        "bands": [
            {
                "rows": 20,
                "need": "main",
                "lots": {"navy": 1},
                "colour": "#1c2340",
                "yarn": "navy (midnightblue, #1c2340)",
            },
            {
                "rows": 1,
                "need": "motif",
                "lots": {"cream": 1},
                "colour": "#efe6d0",
                "yarn": "cream (antiquewhite, #efe6d0)",
            },
        ],
    }
    assert stripes_document(MADE, workspace) is None
