"""The page for the rack: 80 columns, at most 60 lines, the same without colour."""

import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest

from planner.racklist.finds import Kind
from planner.racklist.listing import Find, RackList, UnlockedBy
from planner.racklist.mass import masses
from planner.racklist.reach import Latitude
from planner.show.documents import write
from planner.show.racklist import LINES, rack_list_text
from planner.show.racklistdocument import rack_list_document
from planner.show.swatches import WIDTH, Screen
from planner.show.tables import display_width
from stash.colour import read_colour
from stash.fibre import read_blend

SURE = Fraction(95, 100)


def find(metres=120, *, lightness=None, off=6, cut=None, projects=2):
    reach = Latitude((Fraction(190), Fraction(273)), ("wool", "cotton"), False, lightness, off, cut)
    kind = Kind(Fraction(230), read_blend("wool"), read_colour("#2f6f8f"))
    rows = tuple(
        UnlockedBy(f"harbour-vest-{number}:M", "M", ("main",), ("main",) if number == 1 else (), metres - number)
        for number in range(projects)
    )
    return Find(kind, metres, reach, rows, 1)


def listed(*finds, **changes):
    return replace(RackList(9, 7, finds, ("pier-hat",), (), (), True), **changes)


def plain(text):
    return re.sub(r"\x1b\[[0-9;]*m", "", text)


@pytest.mark.parametrize("truecolour", [True, False])
def test_the_longest_list_fits_one_page(truecolour):
    finds = [find(metres, lightness=(45, 100), cut=300, projects=4) for metres in (100, 200, 300, 400, 500)]
    text = rack_list_text(listed(*finds, left_off=("a", "b")), SURE, Screen(truecolour=truecolour))
    assert max(map(display_width, text.splitlines())) <= WIDTH
    assert len(text.splitlines()) <= LINES
    assert text.count("unlocks  ") + text.count("they unlock") >= 4


def test_finds_beyond_the_page_are_told_of():
    text = rack_list_text(listed(*[find(metres, projects=6) for metres in range(100, 1100, 100)]), SURE, Screen())
    assert len(text.splitlines()) <= LINES
    assert "More finds than the page holds are left off; they unlock:" in text


def test_what_is_told_is_told_without_colour():
    seen = plain(rack_list_text(listed(find()), SURE, Screen(truecolour=True)))
    unseen = rack_list_text(listed(find()), SURE, Screen())
    assert " ".join(seen.split()) == " ".join(unseen.split())
    assert "blue #2f6f8f; may be off by 6" in unseen


def test_the_answer_comes_first():
    assert rack_list_text(listed(find()), SURE, Screen()).startswith("1 find would make 2 projects enough, of 7")


def test_a_lightness_is_told_by_its_ends():
    text = rack_list_text(listed(find(lightness=(45, 95))), SURE, Screen())
    assert "1. any colour of L* 45 to 95: 120 m, or 76 g" in text
    assert "any hue, from as dark as grey #6a6a6a to as light as" in text


def test_nothing_asked_nothing_short_and_nothing_to_find_are_told_apart():
    told = {
        rack_list_text(listed(asked=asked, short=short), SURE, Screen()) for asked, short in ((0, 0), (9, 0), (9, 7))
    }
    assert len(told) == 3


def test_grams_are_those_of_the_heaviest_fibre_at_the_thick_end_with_a_label():
    """By hand: 120 m measured count as 117.79; cotton as thick as wool of 190 m/100g has 190 x 1.31 / 1.52.

    117.79 / 163.75 x 100 = 71.93 g; the label's 3 % and the gram's 0.289 / 75.7 = 0.38 % are 3.02 % together, so
    71.93 / (1 - 1.645 x 0.0302) = 75.70 g; a garment 75.70 / 0.85 = 89.1 g (the program's own yield).
    Density of cotton 1.52 g/cm3: Morton & Hearle, Physical Properties of Textile Fibres, Table 5.1.
    """
    aran, dk, sport = masses(find(), SURE)
    assert (aran.name, dk.name, sport.name) == ("aran", "dk", "sport")
    assert aran.yarn_g == pytest.approx(75.70, abs=0.02)
    assert aran.linked_g == pytest.approx(89.06, abs=0.02)
    assert dk.yarn_g == pytest.approx(aran.yarn_g * 190 / 200, rel=1e-3)
    assert aran.cut_g is None


def test_yards_and_ounces_are_told_where_they_are_asked():
    text = rack_list_text(listed(find()), SURE, Screen("imperial"))
    assert "131.3 yd" in text  # 120 / 0.9144, rounded up
    assert not re.search(r"\d g\b", text)


def test_the_document_tells_the_same():
    document = json.loads(write(rack_list_document(listed(find()), SURE)))
    assert document["format"] == "lotwise/racklist-1"
    (row,) = document["finds"]
    assert row["length_m"] == 120.0
    assert row["colour"] == {"code": "#2f6f8f", "word": "blue", "off": 6, "lightness": None}
    assert row["unlocks"][1] == {
        "project": "harbour-vest-1:M",
        "size": "M",
        "needs": ["main"],
        "add_to_only": ["main"],
        "from_m": 119.0,
    }
