"""Charts and stripes on the page of a plan, told as they are knitted."""

from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

import pytest
from paging import every, numbered, only, parsed, section, tables, text_of

from patterns.charts import Chart, Stripes, Work
from planner.pages.report import report_page


def test_the_chart_is_told_row_by_row_as_it_is_knitted(shown):
    """The hat's first row is "..x...xx", knitted from the right: worked out by hand."""
    (number,) = [number for number, project in numbered(shown) if project["pattern"] == "gannet-hat"]
    rows = tables(section(shown, number))["Each round from its first stitch, which is the one on the right"]
    assert only(rows[0]) == {"round": "1", "knit": "2 motif, 3 main, 1 motif, 2 main"}
    assert len(rows) == 4


def test_a_chart_tells_how_often_it_is_worked_and_what_that_comes_to(shown, workspace, plan):
    """The hat of adult size has 13 times 8 stitches and 12 times 4 rounds, and its file 58 m of main beside its chart."""
    assert (
        "One repeat: 8 stitches and 4 rounds. Worked in the round, from the foot up, 13 times across and 12 times up: "
        "104 stitches across, 48 rounds high. Of the 124.6 m of main the chart takes 66.6 m; the rest is knitted "
        "without it." in text_of(shown.root)
    )

    def said(**about):
        return text_of(parsed(report_page(plan, charted(workspace, ["x."], **about), "metric")))

    assert (
        "One repeat: 2 stitches and 1 row. Worked flat, back and forth, from the foot up, 2 times across and 1 time "
        "up: 4 stitches across, 1 row high." in said(flat=True)
    )
    assert "2 stitches and 1 round, worked once, in the round, from the foot up. " in said(repeats={"M": (1, 1)})
    assert "2 stitches and 1 round, worked in the round, from the foot up. " in said(repeats={})


@pytest.mark.parametrize(("wide", "stops"), [(8, 0), (60, 1)])
def test_a_chart_too_wide_for_a_phone_is_moved_sideways_by_keys_too(workspace, plan, wide, stops):
    root = parsed(report_page(plan, charted(workspace, ["x." * (wide // 2)]), "metric"))
    places = [one for one in root.iter() if one.get("tabindex") == "0"]
    assert len(places) == stops
    assert all(every(one, "svg") and one.get("role") and one.get("aria-label") for one in places)


def test_stripes_are_drawn_with_their_rows_and_told_in_order(workspace, plan):
    stripes = Stripes((("main", 4), ("motif", 1)), {"M": 96}, {"M": 3}, Work(Fraction(1), 0.1))
    striped = replace(workspace, patterns={"skerry": replace(workspace.patterns["skerry"], stripes=stripes)})
    root = parsed(report_page(plan, striped, "metric"))
    rows = [only(row) for row in tables(root)["From the first stripe on"]]
    assert [row["rows"] for row in rows] == ["4", "1"]
    assert [row["knit"] for row in rows] == [
        "A main: navy (midnightblue, #1c2340) in body; also cream held double in left sleeve, not drawn",
        "C motif: cream (antiquewhite, #efe6d0)",
    ]
    assert "From the foot up, 3 times in all." in text_of(root)


def test_chart_and_stripes_are_marked_as_the_yarns_are(workspace, plan):
    """A key line is its symbol, its need, the mark of the yarn that is drawn, and where the need has others."""
    stripes = Stripes((("main", 4), ("motif", 1)), {"M": 96}, {"M": 3}, Work(Fraction(1), 0.1))
    root = parsed(report_page(plan, charted(workspace, ["x."], stripes=stripes), "metric"))
    marks = {
        row["mark"]: (row["need"], row["yarn"]) for row in tables(root)["Each working yarn and its share of the metres"]
    }
    assert marks == {"A": ("main", "navy"), "B": ("main", "cream held double"), "C": ("motif", "cream")}
    also = "in body; also cream held double in left sleeve, not drawn"
    keys = [[text_of(line) for line in every(key, "li")] for key in every(root, "ul") if key.get("class") == "key"]
    assert keys == [
        [f". main: A navy (midnightblue, #1c2340) {also}", "x motif: C cream (antiquewhite, #efe6d0)"],
        [f"main: A navy (midnightblue, #1c2340) {also}", "motif: C cream (antiquewhite, #efe6d0)"],
    ]
    (_, drawn) = [one for one in every(root, "figure") if one.get("class") == "chart"]
    assert [text_of(one) for one in every(drawn, "text")] == ["C, 1 row", "A, 4 rows"]


def charted(workspace, rows, *, flat=False, stripes=None, repeats=MappingProxyType({"M": (2, 1)})):
    chart = Chart(tuple(rows), {".": "main", "x": "motif"}, repeats, flat, True, Work(Fraction(1), 0.1))
    pattern = replace(workspace.patterns["skerry"], chart=chart, stripes=stripes)
    return replace(workspace, patterns={"skerry": pattern})


@pytest.mark.parametrize(
    ("flat", "second"), [(False, "1 main, 3 motif"), (True, "3 motif, 1 main")], ids=["round", "flat"]
)
def test_rows_worked_to_and_fro_are_told_from_left_and_right_in_turn(workspace, plan, flat, second):
    """By hand: the foot row "x..." ends at its right, so it begins with 3 main; the row above it is told as it is worked."""
    root = parsed(report_page(plan, charted(workspace, ["xx..", "xxx.", "x..."], flat=flat), "metric"))
    caption = "Row 1 and every other row from the right, its outside towards you; the rows between from the left"
    rows = tables(root)[caption if flat else "Each round from its first stitch, which is the one on the right"]
    assert [row["knit"] for row in rows] == ["3 main, 1 motif", second, "2 main, 2 motif"]
