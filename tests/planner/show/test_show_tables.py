"""Tables keep to 80 columns and line up by what the eye sees."""

import io
import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.show.swatches import Screen, screen
from planner.show.tables import display_width, fold, grouped_table, table
from stash.colour import read_colour

SLATE = read_colour("#5b6770")


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_numbers_keep_their_last_zero():
    assert table([("a", "12.50 m"), ("b", "2.00 m")], ("lot", "length"), "lr") == (
        "lot   length\na    12.50 m\nb     2.00 m"
    )


def test_wide_letters_take_two_columns():
    assert display_width("青い") == 4
    assert table([("青い", "x"), ("blue", "y")], ("n", "v"), "ll") == "n     v\n青い  x\nblue  y"


@given(st.text("ab \t\u00a05m", max_size=12), st.integers(6, 14), st.sampled_from(("", "  ")))
def test_a_text_that_fits_is_folded_as_any_other(text, width, indent):
    expected = textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)
    assert "\n" in expected or expected.replace("\u00a0", " ") == fold(text, width, indent=indent)


def test_the_wrapped_column_is_folded_into_what_is_left():
    text = table([("a" * 60, "one two three four five six")], ("name", "why"), "ll", wrap=1)
    assert max(map(display_width, text.splitlines())) <= 80
    assert text.split() == ["name", "why", "a" * 60, "one", "two", "three", "four", "five", "six"]


def test_a_table_without_rows_is_its_heading():
    assert table([], ("lot", "length"), "lr", wrap=0) == "lot  length"


def test_groups_share_their_columns():
    head, blocks = grouped_table([[("a", "1")], [], [("long", "22"), ("b", "3")]], ("n", "v"), "lr", indent="  ")
    assert head == "  n      v"
    assert blocks == ["  a      1", "", "  long  22\n  b      3"]


def test_a_folded_cell_stays_in_its_group():
    head, blocks = grouped_table([[("x " * 50, "1")], [("y", "2")]], ("n", "v"), "lr", wrap=0)
    assert head.split() == ["n", "v"]
    assert len(blocks[0].splitlines()) == 2
    assert blocks[1].split() == ["y", "2"]


def test_a_paragraph_hangs_where_asked():
    assert fold("one two three", 9, indent="  ", hanging="    ") == "  one two\n    three"


@pytest.mark.parametrize(
    ("environment", "expected"),
    [
        ({"COLORTERM": "truecolor"}, True),
        ({"COLORTERM": "24bit"}, True),
        ({"COLORTERM": "truecolor", "NO_COLOR": "1"}, False),
        ({"COLORTERM": "truecolor", "NO_COLOR": ""}, True),  # no-color.org: when present and not empty
        ({"COLORTERM": "truecolor", "TERM": "dumb"}, False),
        ({"TERM": "xterm-256color"}, False),
        ({}, False),
    ],
)
def test_colour_only_where_the_terminal_says_so(environment, expected):
    assert expected == screen("metric", Terminal(), environment).truecolour


def test_no_colour_codes_into_a_file():
    assert screen("metric", io.StringIO(), {"COLORTERM": "truecolor"}) == Screen("metric", truecolour=False)


def test_a_swatch_is_a_code_behind_a_block_where_one_can_be_shown():
    assert Screen(truecolour=True).swatch(SLATE) == "\x1b[48;2;91;103;112m  \x1b[0m #5b6770"
    assert display_width(Screen(truecolour=True).swatch(SLATE)) == 10
    assert Screen().swatch(SLATE) == "#5b6770"


def test_a_number_and_its_unit_stay_on_one_line():
    assert fold("a garment of 48 g or more", 15) == "a garment of\n48 g or more"
