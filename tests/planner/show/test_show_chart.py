"""A chart on the terminal and as an image: the plan's colours, symbols, and a key to them."""

import re
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest
from handmade import make_lot, tiny_plan

from patterns.charts import Chart, Work
from planner.pages.report import report_page
from planner.plan import PlannedNeed, PlannedProject, YarnRun
from planner.show.chart import chart_text, half_blocks
from planner.show.chartdocument import chart_document
from planner.show.chartkey import ROUND, TO_AND_FRO, chart_of
from planner.show.chartsvg import chart_drawing
from planner.show.svg import image
from planner.show.swatches import Screen
from planner.show.tables import display_width
from stash.colour import read_colour
from stash.lots import Stash

COLOURED = Screen(truecolour=True)
NS = "{http://www.w3.org/2000/svg}"
CREAM, NAVY = "48;2;239;230;208", "48;2;28;35;64"


def with_chart(workspace, rows, *, legend=None, repeat=(1, 1), flat=False):
    legend = legend or {".": "main", "x": "motif"}
    chart = Chart(tuple(rows), legend, {"M": repeat}, flat, True, Work(Fraction(1), 0.1))
    return replace(workspace, patterns={"skerry": replace(workspace.patterns["skerry"], chart=chart)})


def made(main=("navy",), motif=("cream",)):
    needs = [
        PlannedNeed(name, 100, tuple(YarnRun({lot: 1}, 100 - at, None, ()) for at, lot in enumerate(lots)))
        for name, lots in (("main", main), ("motif", motif))
        if lots
    ]
    return PlannedProject("skerry:M", "skerry", "M", tuple(needs))


def test_without_colour_a_chart_is_its_symbols_and_their_key(workspace):
    text = chart_text(made(), with_chart(workspace, ["x..", ".x."], repeat=(30, 4)), Screen())
    assert text == (
        "  The chart, 12 of 30 repeats across, 4 up, the top row first:\n"
        "    x..x..x..x..x..x..x..x..x..x..x..x..\n"
        "    .x..x..x..x..x..x..x..x..x..x..x..x.\n"
        "    .  main: navy (midnightblue, #1c2340)\n"
        "    x  motif: cream (antiquewhite, #efe6d0)\n"
        "  From the foot up. Each round from its first stitch, which is the one on the\n"
        "  right.\n"
        "  Least apart in lightness where they touch: main and motif, 76 of 100."
    )


def test_two_symbols_of_one_need_are_drawn_as_one(workspace):
    legend = {".": "main", "x": "motif", "v": "motif"}
    text = chart_text(made(), with_chart(workspace, ["xv."], legend=legend), Screen())
    assert text.splitlines()[1:] == [
        "    xx.",
        "    .  main: navy (midnightblue, #1c2340)",
        "    x  motif: cream (antiquewhite, #efe6d0)",
        "  From the foot up. Each round from its first stitch, which is the one on the",
        "  right.",
        "  Least apart in lightness where they touch: main and motif, 76 of 100.",
    ]


def test_the_least_contrast_is_that_of_the_nearest_yarns_that_touch(workspace):
    """L* of black is 0, of white 100, of the grey #777777 50.03 (CIE 1976, from Y = 18.45 %)."""
    shades = {"black": "#000000", "grey": "#777777", "white": "#ffffff"}
    lots = {name: make_lot(name, colour, [(9, 1)]) for name, colour in shades.items()}
    charted = replace(with_chart(workspace, ["x."]), stash=Stash({}, lots))
    found = chart_of(made(main=("black", "grey"), motif=("white",)), charted).least_contrast
    assert found == ("main", "motif", pytest.approx(49.97, abs=0.01))
    assert chart_of(made(main=("black",), motif=()), charted).least_contrast is None
    assert chart_of(made(), with_chart(workspace, ["..."])).least_contrast is None


def test_nothing_is_drawn_where_there_is_no_chart_or_nothing_is_made(workspace):
    assert chart_text(made(), workspace, Screen()) == ""
    assert chart_text(PlannedProject("s", "skerry", None, ()), with_chart(workspace, ["x."]), Screen()) == ""


def test_in_colour_two_rows_share_a_line():
    colours = {".": read_colour("#1c2340"), "x": read_colour("#efe6d0")}
    upper, navy, cream = "\u2580", "38;2;28;35;64", "38;2;239;230;208"
    assert half_blocks(["x..", ".x.", "..x"], colours) == [
        f"\x1b[{cream};{NAVY}m{upper}\x1b[0m\x1b[{navy};{CREAM}m{upper}\x1b[0m\x1b[{navy};{NAVY}m{upper}\x1b[0m",
        f"\x1b[{navy}m{upper * 2}\x1b[0m\x1b[{cream}m{upper}\x1b[0m",
    ]


def test_what_has_no_yarn_is_left_empty_in_colour():
    colours = {".": None, "x": read_colour("#1c2340")}
    assert half_blocks(["..x", ".x."], colours) == [" \x1b[38;2;28;35;64m\u2584\x1b[0m\x1b[38;2;28;35;64m\u2580\x1b[0m"]


def test_in_colour_the_symbols_stand_beside(workspace):
    lines = chart_text(made(), with_chart(workspace, ["x..", ".x.", "..x"]), COLOURED).splitlines()
    assert [line[-3:] for line in lines[1:4]] == ["x..", ".x.", "..x"]
    assert [display_width(line) for line in lines[1:4]] == [14, 14, 14]  # 4 + 4 beside twice three stitches
    assert lines[4] == f"    .  \x1b[{NAVY}m    \x1b[0m  main: navy (midnightblue, #1c2340)"


@pytest.mark.parametrize("screen", [Screen(), COLOURED])
@pytest.mark.parametrize("stitches", [1, 7, 36, 37, 76, 77, 500])
def test_a_chart_keeps_within_80_columns_and_says_what_it_leaves_out(workspace, screen, stitches):
    charted = with_chart(workspace, ["x" + "." * (stitches - 1)] * 61, repeat=(9, 1))
    text = chart_text(made(), charted, screen)
    assert max(display_width(line) for line in text.splitlines()) <= 80
    wide = f"76 of {stitches} stitches and " if stitches > 76 else ""
    said = f"Shown are {wide}60 of 61 rows; lotwise plan with --chart FILE.svg draws all of it."
    assert said in " ".join(text.split())


def test_a_wide_chart_in_colour_says_where_its_symbols_are(workspace):
    text = chart_text(made(), with_chart(workspace, ["x" + "." * 50]), COLOURED)
    assert text.splitlines()[-1] == "  The same in symbols is in stash.yaml."


def test_the_key_draws_the_longest_yarn_and_names_the_others(workspace):
    key = chart_of(made(main=("navy", "ochre")), with_chart(workspace, ["x."])).key
    assert [line.yarn for line in key] == [
        "navy (midnightblue, #1c2340); also ochre, not drawn",
        "cream (antiquewhite, #efe6d0)",
    ]


def test_the_key_names_the_parts_of_each_of_several_yarns(workspace):
    runs = [("navy", 300, "body"), ("ochre", 90, "left sleeve"), ("ochre", 90, "right\x1bsleeve")]
    need = PlannedNeed("main", 480, tuple(YarnRun({lot: 1}, length, part, ()) for lot, length, part in runs))
    project = replace(made(), needs=(need,))
    assert chart_of(project, with_chart(workspace, ["x."])).key[0].yarn == (
        "navy (midnightblue, #1c2340) in body; also ochre in left sleeve and right\\x1bsleeve, not drawn"
    )


def test_the_key_says_what_has_no_yarn(workspace):
    key = chart_of(made(motif=()), with_chart(workspace, ["x."])).key
    assert [(line.yarn, line.colour) for line in key[1:]] == [("no yarn in this size", None)]


def svg_of(workspace, rows, **kwargs):
    return ET.fromstring(image([chart_drawing(chart_of(made(), with_chart(workspace, rows, **kwargs)))]))


def test_the_image_has_every_stitch_in_its_colour_with_its_symbol(workspace):
    rows = ["x..x", ".xx.", "xxxx"]
    root = svg_of(workspace, rows)
    found = {}
    for path in root.iter(f"{NS}path"):
        for x, y, wide, high, back in re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h-([\d.]+)z", path.get("d")):
            assert (high, wide) == ("14", back)
            for step in range(round(float(wide) / 14)):
                found[round(float(y)), round(float(x)) + 14 * step] = path.get("fill")
    navy, cream = "#1c2340", "#efe6d0"
    assert [found[at] for at in sorted(found)] == [navy if one == "." else cream for one in "".join(rows)]
    signs = {}
    for group in root.iter(f"{NS}g"):
        for text in group:
            for x, symbol in zip(text.get("x").split(), text.text, strict=True):
                signs[float(text.get("y")), float(x)] = (symbol, group.get("fill"))
    ink = {".": "#ffffff", "x": "#000000"}  # white on navy, black on cream
    assert [signs[at] for at in sorted(signs)] == [(one, ink[one]) for one in "".join(rows)]


def test_the_image_has_a_key_in_words(workspace):
    texts = [one.text for one in svg_of(workspace, ["x."], repeat=(3, 2)).iter(f"{NS}text")]
    assert texts[0] == "skerry:M: Skerry yoked pullover, size M; one repeat of 3 across, 2 up"
    assert ".   main: navy (midnightblue, #1c2340)" in texts
    assert "x   motif: cream (antiquewhite, #efe6d0)" in texts


@pytest.mark.parametrize(("flat", "order"), [(False, ROUND), (True, TO_AND_FRO)])
def test_which_way_the_rows_are_worked_is_said_alike_on_the_terminal_in_the_image_and_on_the_page(
    workspace, flat, order
):
    charted = with_chart(workspace, ["x..", ".x."], flat=flat)
    assert f"From the foot up. {order}." in " ".join(chart_text(made(), charted, Screen()).split())
    root = svg_of(workspace, ["x..", ".x."], flat=flat)
    assert f"From the foot up. {order}." in " ".join(one.text or "" for one in root.iter(f"{NS}text"))
    places = [float(one.get("y")) for one in root.iter(f"{NS}text")]
    assert max(places) < float(root.get("viewBox").split()[3])
    assert f"<caption>{order}</caption>" in report_page(tiny_plan(), charted, "metric")


def test_nothing_written_by_hand_is_markup_in_the_image(workspace):
    bad = '</text><script>alert("1")</script>'
    pattern = replace(
        with_chart(workspace, ["<&", "&<"], legend={"<": "main", "&": "motif"}).patterns["skerry"], name=bad
    )
    root = ET.fromstring(image([chart_drawing(chart_of(made(), replace(workspace, patterns={"skerry": pattern})))]))
    assert {one.tag.removeprefix(NS) for one in root.iter()} == {"svg", "title", "rect", "text", "path", "g"}
    assert any(bad in (one.text or "") for one in root.iter(f"{NS}text"))


def test_several_charts_stand_below_one_another(workspace):
    one = chart_of(made(), with_chart(workspace, ["x."]))
    heights = [float(ET.fromstring(image([chart_drawing(one)] * times)).get("height")) for times in (1, 2, 3)]
    assert heights[1] - heights[0] == heights[2] - heights[1] > 14


def test_a_mix_of_lots_is_drawn_in_its_mean(workspace):
    lots = {lot.id: lot for lot in (make_lot("black", "#000000", [(9, 1)]), make_lot("white", "#ffffff", [(9, 1)]))}
    mixed = PlannedNeed("main", 100, (YarnRun({"black": 1, "white": 1}, 100, None, ()),))
    charted = replace(with_chart(workspace, ["."]), stash=Stash({}, lots))
    (line,) = chart_of(PlannedProject("s", "skerry", "M", (mixed,)), charted).key
    assert line.colour.hex == "#bcbcbc"  # half of linear light is 188 of 255 (IEC 61966-2-1)
    assert line.yarn == "black with white (silver, #bcbcbc)"


def test_the_document_has_the_chart_with_its_stitches_and_least_contrast(workspace):
    assert chart_document(made(), with_chart(workspace, ["x..", ".x."], repeat=(30, 4))) == {
        "rows": ["x..", ".x."],
        "across": 30,
        "up": 4,
        "legend": [
            {
                "symbol": ".",
                "need": "main",
                "lots": {"navy": 1},
                "colour": "#1c2340",
                "yarn": "navy (midnightblue, #1c2340)",
                "stitches": 4 * 30 * 4,  # counted by hand: two of three in each of two rows
                "carried_behind_stitches": 2 * 30 * 4,  # worked in the round: behind each of the others
            },
            {
                "symbol": "x",
                "need": "motif",
                "lots": {"cream": 1},
                "colour": "#efe6d0",
                "yarn": "cream (antiquewhite, #efe6d0)",
                "stitches": 2 * 30 * 4,
                "carried_behind_stitches": 4 * 30 * 4,
            },
        ],
        "least_contrast": {
            "needs": ["main", "motif"],
            "lightness": round(read_colour("#efe6d0").lightness - read_colour("#1c2340").lightness, 6),
        },
    }
    assert chart_document(made(), workspace) is None
