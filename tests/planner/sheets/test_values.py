"""A cell becomes a value of a stash file where it can mean one thing only; the stash's reader says the rest."""

import random

import pytest

from planner.sheets.table import Cell
from planner.sheets.values import CellError, fit_id, stash_text, unwrapped, wrapped, yaml_text
from stash.nodes import Mapping, Scalar
from stash.source import read_source


def read_back(text):
    """A value as the stash's reader has it: texts, lists and maps."""

    def plain(node):
        if isinstance(node, Mapping):
            return {key.text: plain(one) for key, one in node.items}
        return node.text if isinstance(node, Scalar) else [plain(one) for one in node.items]

    node, faults = read_source("a", f"key: {text}\n".encode())
    assert [fault for fault in faults if not fault.warning] == []
    return plain(node)["key"]


def value(text, kind, unit="", *, of="text"):
    return read_back(stash_text(Cell(text, of), kind, unit))


@pytest.mark.parametrize(
    ("text", "unit", "told"),
    [
        ("118", "g", "118 g"),
        ("118 g", "oz", "118 g"),
        ("118g", "", "118g"),
        ("118 grams", "", "118 g"),
        ("4 Ounces", "", "4 oz"),
        ("12,5 g", "", "12.5 g"),
        ("12,25", "g", "12.25 g"),
        ("0,125 kg", "", "0.125 kg"),
        ("1,234 g", "", "1,234 g"),  # may be thousands: left to be refused
        ("1.234,5 g", "", "1.234,5 g"),
        ("118", "", "118"),
        ("118 stone", "g", "118 stone"),
        ("", "g", "g"),
    ],
)
def test_a_mass_gets_its_unit_and_its_decimal_point_where_only_one_thing_can_be_meant(text, unit, told):
    assert value(text, "mass", unit) == told


@pytest.mark.parametrize(
    ("text", "told"), [("210 yds", "210 yd"), ('59"', "59 in"), ("210", "210 m"), ("200 Metres.", "200 m")]
)
def test_a_length_likewise(text, told):
    assert value(text, "length", "m") == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("80% wool, 20% polyamide", "80% wool, 20% polyamide"),
        ("80 % wool / 20 % nylon", "80 % wool, 20 % nylon"),
        ("80% wool + 20% nylon", "80% wool, 20% nylon"),
        ("80% wool and 20% nylon", "80% wool, 20% nylon"),
        ("80% wool 20% nylon", "80% wool, 20% nylon"),
        ("33,3% silk; 66,7% wool", "33.3% silk, 66.7% wool"),
        ("wool", "wool"),
    ],
)
def test_the_parts_of_a_blend_may_be_parted_as_labels_part_them(text, told):
    assert value(text, "blend") == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("#5b6770", "#5b6770"),
        ("5B6770", "#5B6770"),
        ("navy", "navy"),
        ("lab(45.1 12 -3.5)", {"lab": ["45.1", "12", "-3.5"]}),
        ("LAB (45,1; 12; -3,5)", {"lab": ["45.1", "12", "-3.5"]}),
    ],
)
def test_a_colour_is_a_code_a_name_or_lab(text, told):
    assert value(text, "colour") == told


@pytest.mark.parametrize(
    ("text", "unit", "told"),
    [
        ("230", "m/100g", "230 m/100g"),
        ("230,5", "tex", "230.5 tex"),
        ("dk", "m/100g", "dk"),
        ("Nm 2/12", "", "Nm 2/12"),
        ("12,5 tex", "", "12.5 tex"),
        ("{turns: 120, around: 1.5 m, mass: 42 g}", "", {"turns": "120", "around": "1.5 m", "mass": "42 g"}),
        ("[{turns: 60, around: 1 m, mass: 21 g}]", "", [{"turns": "60", "around": "1 m", "mass": "21 g"}]),
    ],
)
def test_a_count_takes_its_headers_unit_or_is_a_sample_as_in_a_file(text, unit, told):
    assert value(text, "count", unit) == told


@pytest.mark.parametrize("text", ["{turns: 120", "{a: &b 1}", "{a: 1}\nlots: {}", "{a: 1, a: 2}"])
def test_nothing_but_a_value_comes_of_a_sample(text):
    with pytest.raises(CellError, match="cannot be read"):
        stash_text(Cell(text), "count", "")


@pytest.mark.parametrize(
    ("text", "unit", "told"),
    [
        ("3", "", "3"),
        ("90 yd, 60 yd, 60 yd", "", ["90 yd", "60 yd", "60 yd"]),
        ("90 yd,60 yd", "", ["90 yd", "60 yd"]),
        ("12,5; 3,25", "m", ["12.5 m", "3.25 m"]),
        ("90 m\n60 m", "", ["90 m", "60 m"]),
    ],
)
def test_pieces_are_a_number_or_a_list(text, unit, told):
    assert value(text, "pieces", unit) == told


def test_words_are_told_in_small_letters_and_short_ones_at_length():
    assert [value(text, "word") for text in ("Yes", "y", "FALSE", "Untested")] == ["yes", "yes", "no", "untested"]
    assert value("60", "share", "%") == "60%"
    assert value("4,5", "number") == "4.5"
    assert value("M", "size") == "M"


def test_a_date_is_no_quantity_but_may_stand_in_a_note():
    with pytest.raises(CellError, match="a date stands here, 2024-02-12") as wrong:
        stash_text(Cell("2024-02-12", "date"), "count", "")
    assert "format the cell as text" in wrong.value.hint
    assert value("2024-02-12", "text", of="date") == "2024-02-12"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("slate-1", "slate-1"),
        (" Slate blue 1 ", "Slate-blue-1"),
        ("Blå/ærø", "Bla-aero"),
        ("-x-", "x"),
        ("a" * 80, "a" * 64),
    ],
)
def test_a_name_is_made_to_fit(text, told):
    assert fit_id(text) == told


def test_a_name_without_a_plain_letter_is_refused():
    with pytest.raises(CellError, match="no plain letter"):
        fit_id("毛糸")


def test_any_text_without_control_characters_reads_back_as_it_was():
    chance = random.Random(1)
    signs = "abc 019.,:;-#'\"\\{}[]&*!|>%@`?~=+\r\u00e9\u6bdb\U0001f9f6\u202e\u200d\u2028"
    for _ in range(2000):
        text = "".join(chance.choice(signs.replace("\u2028", "")) for _ in range(chance.randint(0, 9)))
        assert read_back(yaml_text(text)) == text


@pytest.mark.parametrize("text", ["", " ", '"', '""', '"a"', "a", ' "a" ', "'a'"])
def test_free_text_that_a_cell_would_not_keep_comes_back(text):
    assert unwrapped(wrapped(text)) == text
    assert wrapped(text).strip()
