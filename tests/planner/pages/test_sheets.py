"""The pages of `prep` and `midway`: what the answers say, with room to write and cautions where they matter."""

import json
import re
from pathlib import Path

import pytest
from paging import every, parsed, share, tables, text_of

from planner.pages.prep import prep_page, with_room
from planner.prep.sheet import Tools, work_sheet
from stash.colour import read_colour
from stash.garment import Garment
from stash.units import show_length, show_mass

DEMO = Path(__file__).parents[3] / "planner" / "demo"
MIDWAY = ("midway", "breakwater:M", "--need", "main", "--part", "body", "--began", "slate=270g", "--workspace", DEMO)
SHORT = ("--rows", "90 of 150", "--left", "slate=104g in 2 pieces", "--hides", "112 under the arm")
LONG = ("--rows", "140 of 150", "--left", "slate=104g in 2 pieces")


def test_the_sheet_has_every_step_caution_and_blank_of_the_text(run, tmp_path):
    file = tmp_path / "sheet.html"
    code, out, _ = run("prep", "buoy-guernsey", "--workspace", DEMO, "--page", file)
    assert code == 0
    assert out == f"{file} was written. Open it in a browser, and print it from there.\n"
    root = parsed(file.read_text(encoding="utf-8"))
    said = text_of(root).replace("\u00a0", "")
    document = json.loads(run("prep", "buoy-guernsey", "--workspace", DEMO, "--json")[1])
    for step in document["steps"]:
        assert step["title"] in said
        for line in (*step["do"], *step["cautions"]):
            assert line in said
    blanks = [one for one in every(root, "span") if one.get("class") == "blank"]
    text = run("prep", "buoy-guernsey", "--workspace", DEMO)[1]
    assert len(blanks) == len(re.findall("_{3,}", text))
    ticks = [one for one in every(root, "span") if one.get("class") == "tick"]
    assert len(ticks) == text.count("[ ]")


@pytest.mark.parametrize(
    "word", ["scald", "seam rippers", "Moths|moths", "mask", "felts, for good", "cut away from you"]
)
def test_what_can_hurt_is_said_where_it_can(run, tmp_path, word):
    assert run("prep", "buoy-guernsey", "--workspace", DEMO, "--page", tmp_path / "a.html")[0] == 0
    assert re.search(word, text_of(parsed((tmp_path / "a.html").read_text(encoding="utf-8"))))


def test_a_line_leaves_as_much_room_as_its_blank_has_letters():
    assert with_room("turns: ______, mass: ____ g") == (("turns: ", 6), (", mass: ", 4), (" g", 0))
    assert with_room("______-1:") == (("", 6), ("-1:", 0))
    assert with_room("") == ()


def test_what_is_copied_into_a_file_has_no_other_blanks_than_a_keyboard_gives():
    root = parsed(prep_page(work_sheet(Garment(), None, Tools(), None, "metric")))
    (lot,) = every(root, "pre")
    words = [lot.text, *(one.tail for one in every(lot, "span"))]
    assert any("around: 1.5 m" in one for one in words)
    assert not any("\u00a0" in one for one in words)
    assert any("-20\u00a0C" in "".join(one.itertext()) for one in every(root, "li"))


def test_a_sheet_of_a_garment_nobody_named_shows_its_colour():
    sheet = work_sheet(Garment(colour=read_colour("#8a3324")), None, Tools(), None, "metric")
    root = parsed(prep_page(sheet))
    assert text_of(every(root, "h1")[0]) == "This garment"
    assert "brown #8a3324" in text_of(every(root, "header")[0])


def test_a_felted_garment_has_no_lot_to_write_down():
    sheet = work_sheet(Garment(felted="felted"), "<b>", Tools(), None, "metric")
    root = parsed(prep_page(sheet))
    assert not every(root, "pre")
    assert not every(root, "b")
    assert text_of(every(root, "h1")[0]) == "<b>"


def midway(run, tmp_path, more):
    file = tmp_path / "midway.html"
    code, out, _ = run(*MIDWAY, *more, "--page", file)
    assert out == f"{file} was written. Open it in a browser, and print it from there.\n"
    return code, parsed(file.read_text(encoding="utf-8"))


def test_the_page_midway_says_what_the_document_says(run, tmp_path):
    code, root = midway(run, tmp_path, SHORT)
    assert code == 1
    document = json.loads(run(*MIDWAY, *SHORT, "--json")[1])
    (lot,) = document["lots"]
    (row,) = tables(root)["Each lot, by weight and by length"]
    assert row["used"] == show_mass(lot["used_g"], "metric")
    assert row["left"] == f"{show_mass(lot['left_g'], 'metric')}, {show_length(lot['left_m'], 'metric')}"
    assert row["still needs"] == f"{show_mass(lot['rest_g'], 'metric')}, {show_length(lot['rest_m'], 'metric')}"
    assert (
        row["sure between"] == f"{show_mass(lot['rest_low_g'], 'metric')} to {show_mass(lot['rest_high_g'], 'metric')}"
    )
    near = tables(root)["Lots to go on with"]
    assert [re.sub(" held.*", "", one["lot"]) for one in near] == [
        next(iter(yarn["lots"])) for yarn in document["help"]["yarns"]
    ]
    assert [one["differs"] for one in near] == [f"{yarn['difference']:.1f}" for yarn in document["help"]["yarns"]]
    said = text_of(root)
    assert f"Change lot after row {document['change']['latest_row']} at the latest" in said
    assert "still needs: the best guess, and beside it from what" in said
    assert said.count(row["left"].partition(",")[0]) == 2  # in its table, and told of its picture
    assert "left sleeve needs" in said
    assert len(tables(root)["To write on"]) == 6


def test_the_scale_midway_is_true(run, tmp_path):
    _, root = midway(run, tmp_path, SHORT)
    (lot,) = json.loads(run(*MIDWAY, *SHORT, "--json")[1])["lots"]
    (picture,) = [one for one in every(root, "svg") if one.get("class") == "bar"]
    frame = next(one for one in every(picture, "rect") if one.get("class") == "frame")
    (dot,) = every(picture, "circle")
    line = every(picture, "line")[0]
    grams = {
        "left_g": share(frame, "width"),
        "rest_g": share(dot, "cx"),
        "rest_low_g": share(line, "x1"),
        "rest_high_g": share(line, "x2"),
    }
    scale = grams["left_g"] / lot["left_g"]
    for key, place in grams.items():
        assert place == pytest.approx(lot[key] * scale, abs=0.0026)  # 0.1 px on 3840


def test_where_it_reaches_there_is_nothing_to_do(run, tmp_path):
    code, root = midway(run, tmp_path, LONG)
    assert code == 0
    assert "What to do" not in text_of(root)
    assert "Yes: it is" in text_of(root)


@pytest.mark.parametrize("command", [("prep", "buoy-guernsey", "--workspace", DEMO), (*MIDWAY, *SHORT)])
def test_a_page_is_never_written_over_anything(run, tmp_path, command):
    file = tmp_path / "mine.html"
    file.write_text("mine", encoding="utf-8")
    code, out, err = run(*command, "--page", file)
    assert (code, out) == (2, "")
    assert "nothing is written over" in err
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("command", [("prep", "buoy-guernsey", "--workspace", DEMO), (*MIDWAY, *LONG)])
def test_sheets_are_html_without_an_error(run, tmp_path, command):
    html5lib = pytest.importorskip("html5lib")
    file = tmp_path / "page.html"
    assert run(*command, "--page", file, "--json")[0] == 0
    html5lib.HTMLParser(strict=True).parse(file.read_text(encoding="utf-8"))


def test_a_rehearsed_sheet_is_not_written(run, tmp_path):
    code, out, _ = run("prep", "buoy-guernsey", "--workspace", DEMO, "--page", tmp_path / "page.html", "--dry-run")
    assert code == 0
    assert "page.html, a new file of " in out
    assert not list(tmp_path.iterdir())
