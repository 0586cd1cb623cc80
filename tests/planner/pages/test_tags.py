"""Skein tags: every skein that is left has one, its code reads back, the tags tile the sheet, words fit."""

import re
import textwrap
from dataclasses import replace
from datetime import date
from fractions import Fraction
from types import SimpleNamespace

import numpy as np
import pytest
from handmade import HERE, make_lot, tiny_workspace
from paging import every, parsed, tags_of, text_of

from planner.asking import AskError
from planner.ledger.books import Books
from planner.ledger.entries import Entry, Ledger, Release, Taking
from planner.ledger.standing import Held, Standing
from planner.pages import fitting
from planner.pages import tags as tag_pages
from planner.pages.fitting import Room, Words, fits, height_of, shortened
from planner.pages.grids import A4, GRIDS, LETTER
from planner.pages.page import environment
from planner.pages.tags import qr_code, tags_page
from stash.lots import Counted, Stash
from stash.units import Quantity

SURE = Fraction(95, 100)
SMALL = GRIDS["a4", "small"]
LONG = "W" * 64


def with_lots(*lots):
    stash = Stash({}, {lot.id: lot for lot in lots})
    return replace(tiny_workspace(), stash=stash)


def taking(project, cm, *, lot="navy", skein="navy-1"):
    return Held(Taking(project, "main", lot, skein, 1, cm, Fraction(1)), SURE, 1)


def aside(workspace, *held):
    projects = {}
    for one in held:
        projects[one.taking.project] = (*projects.get(one.taking.project, ()), one)
    return replace(workspace, books=Books(standing=Standing(aside=projects), written=workspace.stash))


def page_of(workspace, *names, grid=SMALL, units="metric"):
    return tags_page(workspace, names, grid, SURE, units)[0]


def said(tag, kind):
    return [text_of(one) for one in every(tag, "p") if one.get("class") == kind]


def modules(svg):
    """The square of a code, True where it is dark, from the strokes of its drawing: each is one module high."""
    side = int(re.search(r'viewBox="0 0 (\d+) \1"', svg)[1])
    found = np.zeros((side, side), dtype=bool)
    x = y = 0.0
    (strokes,) = re.findall(r'stroke="#000" d="([^"]*)"', svg)
    for step, first, second in re.findall(r"([Mmh])(-?[\d.]+)(?: (-?[\d.]+))?", strokes):
        if step == "h":
            found[int(y), int(x) : int(x + float(first))] = True
            x += float(first)
        elif step == "M":
            x, y = float(first), float(second)
        else:
            x, y = x + float(first), y + float(second)
    return found


def grey(dark, larger=4):
    return np.kron(np.where(dark, 0, 255).astype(np.uint8), np.ones((larger, larger), dtype=np.uint8))


@pytest.mark.parametrize("words", ["a", "slate-1", "0", "Skerry_2-b", LONG, "a-" * 31 + "b1"])
def test_a_code_says_the_id_and_nothing_else(words):
    """ZXing's decoder, which shares nothing with the writer."""
    zxingcpp = pytest.importorskip("zxingcpp")
    (read,) = zxingcpp.read_barcodes(grey(modules(qr_code(words))))
    assert read.text == words
    assert read.format == zxingcpp.BarcodeFormat.QRCode
    assert read.ec_level == "M"


def test_every_code_of_a_page_is_that_of_its_tag():
    zxingcpp = pytest.importorskip("zxingcpp")
    page = page_of(tiny_workspace())
    codes = re.findall(r'<svg[^>]*class="qr">.*?</svg>', page)
    read = [zxingcpp.read_barcodes(grey(modules(code)))[0].text for code in codes]
    assert read == [text_of(every(tag, "h2")[0]) for tag in tags_of(page)] == ["cream-1", "navy-1", "navy-2", "ochre-1"]


@pytest.mark.parametrize("words", ["a", LONG])
def test_a_code_has_four_white_modules_round_it(words):
    """ISO/IEC 18004: a quiet zone of four modules; the smallest code is 21 wide (from memory)."""
    dark = modules(qr_code(words))
    rows, columns = np.nonzero(dark)
    assert rows.min() == columns.min() == 4
    assert rows.max() == columns.max() == len(dark) - 5
    assert len(dark) >= 29


@pytest.mark.parametrize(("key", "grid"), GRIDS.items(), ids=["-".join(key) for key in GRIDS])
def test_tags_tile_the_sheet_exactly(key, grid):
    """ISO 216: A4 is 210 x 297 mm; Letter is 8.5 x 11 in of 25.4 mm."""
    wide, high = {"a4": (210, 297), "letter": (Fraction("215.9"), Fraction("279.4"))}[key[0]]
    assert (grid.width * grid.across, grid.height * grid.down) == (wide, high)
    style = environment().get_template("tags.css").render(grid=grid, larger=())
    page = re.search(r"@page\{size:([\d.]+)mm ([\d.]+)mm;margin:0", style)
    sheet = re.search(r"inline-size:([\d.]+)mm;block-size:([\d.]+)mm;margin:0;gap:0;", style)
    assert page.groups() == sheet.groups() == (f"{float(wide):g}", f"{float(high):g}")
    assert f"grid-template-columns:repeat({grid.across},minmax(0,1fr))" in style
    assert f"grid-template-rows:repeat({grid.down},minmax(0,1fr))" in style


@pytest.mark.parametrize(("key", "grid"), GRIDS.items(), ids=["-".join(key) for key in GRIDS])
def test_cut_marks_stand_at_both_edges_of_every_cut(key, grid):
    page = page_of(tiny_workspace(), grid=grid)
    (marks,) = [one for one in every(parsed(page), "li") if one.get("class") == "marks"]
    (svg,) = every(marks, "svg")
    box = [float(side) for side in svg.get("viewBox").split()]
    assert box == pytest.approx([0, 0, float(grid.paper.width), float(grid.paper.height)], abs=1e-4)
    drawn = " ".join(one.get("d") for one in every(svg, "path"))
    starts = [(float(x), float(y)) for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)", drawn)]
    across = [float(grid.paper.width) * at / grid.across for at in range(1, grid.across)]
    down = [float(grid.paper.height) * at / grid.down for at in range(1, grid.down)]
    edges = [(x, y) for x in across for y in (0, box[3] - 8)] + [(x, y) for y in down for x in (0, box[2] - 8)]
    for x, y in edges:
        assert min(abs(x - a) + abs(y - b) for a, b in starts) < 1e-3
    assert len(starts) == len(edges) + 2 * len(across) * len(down)


def test_grids_are_those_the_readme_tells():
    assert {key: grid.tags for key, grid in GRIDS.items()} == {
        ("a4", "small"): 24,
        ("a4", "medium"): 18,
        ("a4", "large"): 8,
        ("letter", "small"): 21,
        ("letter", "medium"): 15,
        ("letter", "large"): 8,
    }
    assert {grid.paper for grid in GRIDS.values()} == {A4, LETTER}


def test_a_sheet_more_is_begun_when_one_is_full():
    lot = make_lot("fog", "#cccccc", [(20, 1)] * (SMALL.tags + 1))
    sheets = [one for one in every(parsed(page_of(with_lots(lot))), "ol") if one.get("class") == "sheet"]
    assert [len(every(one, "h2")) for one in sheets] == [SMALL.tags, 1]


def test_a_tag_says_what_the_skein_is():
    navy = tags_of(page_of(tiny_workspace(), "navy"))[1]
    assert text_of(every(navy, "h2")[0]) == "navy-2"
    assert said(navy, "colour") == ["midnightblue #1c2340"]
    assert said(navy, "yarn") == ["dk, 230 m/100g"]
    # 96 g at 230 m/100g are 220.8 m; 1.645 x hypot(3 %, 0.289 / 96) of it are 10.95 m; 1.645 x 0.289 g are 0.5 g
    assert said(navy, "amount") == ["96 ± 0.5 g, 210 to 232 m, 3 pieces"]
    assert said(navy, "fibre") == ["80% wool, 20% polyamide"]
    assert said(navy, "care") == ["Felts; may bleed: wash-test first."]
    assert not said(navy, "lot")
    assert not said(navy, "aside")


def test_yards_and_ounces_are_told_where_they_are_asked():
    page = page_of(tiny_workspace(), "ochre", units="imperial")
    (tag,) = tags_of(page)
    # 40 g are 92 m; 1.645 x hypot(3 %, 0.289 / 40) of it are 4.67 m: 87.33 to 96.67 m, in yards of 0.9144 m
    assert said(tag, "amount") == ["1.4 ± 0.02 oz, 96 to 106 yd"]
    assert "oz on" in text_of(tag)


@pytest.mark.parametrize(
    ("felts", "bleeds", "words"),
    [
        (True, True, "Felts; bleeds: wash it alone."),
        (False, False, "Does not felt; does not bleed."),
        (None, None, "May felt; may bleed: wash-test first."),
    ],
)
def test_what_is_not_known_of_its_care_is_told_as_a_caution(felts, bleeds, words):
    (tag,) = tags_of(page_of(with_lots(make_lot("fog", "grey", [(20, 1)], felts=felts, bleeds=bleeds))))
    assert said(tag, "care") == [words]


def test_unknown_fibre_is_kept_from_flame_and_children():
    (tag,) = tags_of(page_of(with_lots(make_lot("fog", "grey", [(20, 1)], fibre="unknown"))))
    assert said(tag, "care")[1] == "Unknown fibre: no flame, no small children."


def test_unknown_fibre_is_not_said_to_stand_a_wash():
    fog = make_lot("fog", "grey", [(20, 1)], fibre="unknown")
    (tag,) = tags_of(page_of(with_lots(replace(fog, felts=False))))
    assert said(tag, "care")[0].startswith("Not known to felt; ")


def test_the_lot_is_named_where_the_id_does_not_tell_it():
    lot = make_lot("fog", "grey", [(20, 1)])
    lot = replace(lot, skeins=(replace(lot.skeins[0], id="shelf-4"),))
    (tag,) = tags_of(page_of(with_lots(lot)))
    assert said(tag, "lot") == ["lot fog"]


def test_what_is_set_aside_is_told_with_its_project():
    workspace = aside(tiny_workspace(), taking("skerry:M", 5250), taking("skerry:M", 1000), taking("hat", 300))
    first, second = tags_of(page_of(workspace, "navy", grid=GRIDS["a4", "large"]))
    assert said(first, "aside") == ["set aside: 62.5 m for skerry:M; 3.0 m for hat"]
    assert not said(second, "aside")


def test_where_room_is_short_projects_are_counted_and_nothing_set_aside_is_lost():
    held = [taking(f"{LONG[:60]}-{number}", 1000 + number) for number in range(9)]
    workspace = aside(tiny_workspace(), *held)
    (words,) = said(tags_of(page_of(workspace, "navy"))[0], "aside")
    metres = [float(one) for one in re.findall(r"([\d.]+) m for", words)]
    assert sum(metres) == pytest.approx(sum(one.taking.cm for one in held) / 100, abs=0.1 * len(metres))
    assert "more projects" in words or "9 projects" in words


def test_what_is_used_up_has_no_tag():
    lot = make_lot("fog", "grey", [(20, 1), (20, 1)])
    lot = replace(lot, skeins=(replace(lot.skeins[0], mass_g=Fraction(0)), lot.skeins[1]))
    assert [text_of(every(tag, "h2")[0]) for tag in tags_of(page_of(with_lots(lot)))] == ["fog-2"]
    gone = with_lots(replace(lot, skeins=lot.skeins[:1]))
    with pytest.raises(AskError, match="no skein is left to tag"):
        page_of(gone)


def test_a_lot_that_is_not_there_is_refused_with_one_that_is():
    with pytest.raises(AskError, match="no lot is called navi") as refused:
        page_of(tiny_workspace(), "navi")
    assert "navy" in refused.value.hint


def test_the_day_it_was_counted_stands_on_the_tag_and_else_a_blank():
    lot = make_lot("fog", "grey", [(20, 1), (20, 1), (20, 1)])
    counted = Counted(Fraction(20), Fraction(1), date(2026, 3, 2), HERE)
    lot = replace(lot, skeins=(replace(lot.skeins[0], counted=counted), *lot.skeins[1:]))
    workspace = with_lots(lot)
    finished = Entry(4, date(2026, 5, 9), Release("hat"), HERE)
    standing = Standing(left={"fog-2": [(4, Quantity(Fraction(20), Fraction(1), "20 g"))]})
    workspace = replace(workspace, books=Books(ledger=Ledger((finished,)), standing=standing, written=workspace.stash))
    first, second, third = tags_of(page_of(workspace))
    assert said(first, "write") == ["measured on 2026-03-02 weighs now g on"]
    assert said(second, "write") == ["measured on 2026-05-09 weighs now g on"]
    assert said(third, "write") == ["measured on weighs now g on"]
    blanks = [one for one in every(third, "span") if one.get("class") == "blank"]
    assert len(blanks) == 3


def test_the_same_stash_gives_the_same_bytes():
    assert page_of(tiny_workspace()) == page_of(tiny_workspace())


def test_a_tag_page_is_html_without_an_error_and_asks_nothing_of_the_network():
    """html5lib is the standard's own parsing algorithm (WHATWG HTML, 13.2)."""
    html5lib = pytest.importorskip("html5lib")
    page = page_of(tiny_workspace())
    html5lib.HTMLParser(strict=True).parse(page)
    assert re.findall(r"(?:https?:)?//[\w.]+[^\"' <]*", page) == ["http://www.w3.org/1999/xhtml"]
    assert not every(parsed(page), "script")


def test_what_somebody_wrote_stays_text():
    hostile = "</style><script>alert(1)</script>\u202e<b>"
    workspace = aside(tiny_workspace(), taking(hostile, 100))
    root = parsed(page_of(workspace, "navy", grid=GRIDS["a4", "large"]))
    assert not every(root, "script")
    assert not every(root, "b")


@pytest.mark.parametrize(("key", "grid"), GRIDS.items(), ids=["-".join(key) for key in GRIDS])
def test_the_longest_ids_are_reckoned_to_fit(key, grid, monkeypatch):
    reckoned = []

    def watched(paragraphs, points, room):
        reckoned.append(fits(paragraphs, points, room))
        return reckoned[-1]

    monkeypatch.setattr(tag_pages, "fits", watched)
    lot = make_lot(LONG, "lightgoldenrodyellow", [(1118, 3)], fibre="40% wool, 30% polyamide, 20% alpaca, 10% elastane")
    lot = replace(lot, skeins=(replace(lot.skeins[0], id="m" * 64),), felts=None, bleeds=None)
    workspace = aside(with_lots(lot), taking(LONG, 100_000, lot=LONG, skein="m" * 64))
    (tag,) = tags_of(page_of(workspace, grid=grid))
    assert reckoned[-1]
    assert text_of(every(tag, "h2")[0]) == "m" * 64


def test_where_nothing_fits_the_id_is_whole_and_the_rest_as_short_as_it_can_be(monkeypatch):
    monkeypatch.setattr(tag_pages, "fits", lambda *_: False)
    workspace = aside(tiny_workspace(), taking(LONG, 100), taking("hat", 100, skein="navy-2"))
    first, second = tags_of(page_of(workspace, "navy"))
    assert text_of(every(first, "h2")[0]) == "navy-1"
    assert "at-50 by-100" in first.get("class")
    assert said(first, "aside") == ["set aside: 1.0 m for WWWWWW…WWWWW"]
    assert said(second, "aside") == ["set aside: 1.0 m for hat"]


def test_words_take_as_many_lines_as_they_need():
    """By hand: 10 pt are 3.53 mm, a letter 0.6 of it 2.12 mm, a line 4.13 mm; so 28 letters in 60 mm, 18 in 40."""
    line = 10 * 25.4 / 72 * 1.17
    room = Room(60, 100, 20)
    assert height_of([Words("x" * 18)], 10, room) == pytest.approx(line)
    assert height_of([Words("x" * 19)], 10, room) == pytest.approx(2 * line)
    beside = 5 * 18  # five lines reach 20.6 mm
    assert height_of([Words("x" * (beside + 28))], 10, room) == pytest.approx(6 * line)
    assert height_of([Words("x" * (beside + 29))], 10, room) == pytest.approx(7 * line)
    assert height_of([Words("xx xx", less=30)], 10, room) == pytest.approx(2 * line)
    assert height_of([Words("漢" * 10)], 10, room) == pytest.approx(2 * line)


def test_no_more_is_wrapped_of_a_long_list_than_a_tag_has_room_for(monkeypatch):
    wrapped: list[int] = []

    def wrap(text, columns, **more):
        wrapped.append(len(text))
        return textwrap.wrap(text, columns, **more)

    monkeypatch.setattr(fitting, "textwrap", SimpleNamespace(wrap=wrap))
    assert not fits([Words("1.0 m for hat:S; " * 3000)], Fraction(6), Room(60, 40, 20))
    assert sum(wrapped) < 10_000


@pytest.mark.parametrize(
    "text", ["x" * 300, "a bc " * 60, "x" * 19 + " " + "y" * 60, " ".join("x" * n for n in range(1, 40))]
)
@pytest.mark.parametrize("columns", [1, 7, 18, 19, 20])
def test_a_line_ends_where_it_would_if_all_the_rest_were_wrapped(text, columns):
    whole = textwrap.wrap(text, columns, break_on_hyphens=False)
    size = fitting.POINT_MM * 10 * fitting.LETTER
    room = Room((columns + 0.5) * size, 1000, 0)
    assert height_of([Words(text)], 10, room) == pytest.approx(len(whole) * fitting.POINT_MM * 10 * fitting.LEADING)


def test_a_name_is_shortened_in_its_middle():
    assert shortened("slate", 5) == "slate"
    assert shortened("slategrey", 5) == "sl…ey"
    assert len(shortened(LONG, 24)) == 24
