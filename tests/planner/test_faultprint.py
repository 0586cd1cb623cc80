"""Faults as text, and foreign text made safe for a terminal."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.faultprint import MOST_COLUMNS, safe_text, show_faults, width
from stash.faults import Fault, Place


def fault(own_line: str = "", column: int = 1, message: str = "wrong", hint: str = "write right") -> Fault:
    return Fault(Place("stash/blue.yaml", 14, column), message, hint, own_line)


def test_a_fault_shows_place_own_line_caret_and_hint() -> None:
    expected = "stash/blue.yaml:14:9: error: '118' has no unit\n      mass: 118\n            ^\n\nhint: write 118 g\n"
    assert expected == show_faults([fault("  mass: 118", 9, "'118' has no unit", "write 118 g")])


def test_the_caret_stands_under_its_column_behind_wide_letters() -> None:
    shown = show_faults([fault("毛衣: 5", 5)]).split("\n")
    assert width(shown[1][: shown[1].index("5")]) == shown[2].index("^")


def test_combining_marks_take_no_column() -> None:
    shown = show_faults([fault("e\u0301: 5", 5)]).split("\n")
    assert shown[2] == "    " + " " * 3 + "^"


@pytest.mark.parametrize("column", [1, 2000, 3_999_999])
def test_of_a_line_of_4_mb_at_most_120_columns_are_shown(column: int) -> None:
    line = "x" * (column - 1) + "!" + "x" * (4_000_000 - column)
    shown = show_faults([fault(line, column)]).split("\n")
    assert width(shown[1].strip()) <= MOST_COLUMNS
    assert shown[1][shown[2].index("^")] == "!"


def test_20_faults_are_shown_and_the_rest_counted() -> None:
    shown = show_faults([fault()] * 57)
    assert shown.count("stash/blue.yaml") == 20
    assert shown.endswith("and 37 more\n")


def test_a_hint_may_hold_an_example_of_several_lines() -> None:
    assert "hint: for example:\n      lots:\n        slate:\n" in show_faults(
        [fault(hint="for example:\nlots:\n  slate:")]
    )


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("plain", "plain"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("a\x9bb", "a\\x9bb"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u2066b\u200e", "a\\u2066b\\u200e"),
        ("a\tb\nc", "a\\tb\\x0ac"),
        ("é 毛衣 🧶", "é 毛衣 🧶"),
        ("👩\u200d🦰", "👩\u200d🦰"),
        ("\ud800", "\\ud800"),
        ("\U000e0001", "\\U000e0001"),
    ],
)
def test_what_a_terminal_acts_on_is_shown_as_an_escape(text: str, safe: str) -> None:
    assert safe == safe_text(text)


@given(st.text())
def test_safe_text_holds_nothing_a_terminal_acts_on(text: str) -> None:
    left = {unicodedata.category(one) for one in safe_text(text) if one not in "\u200c\u200d"}
    assert set() == left & {"Cc", "Cf", "Cs", "Zl", "Zp"}


@given(st.text(max_size=300), st.integers(1, 400))
def test_no_own_line_and_no_column_breaks_the_layout(line: str, column: int) -> None:
    shown = show_faults([fault(line.replace("\n", " "), column)]).split("\n")
    assert len(shown) in {4, 6}
    assert all(width(row) <= MOST_COLUMNS + 16 for row in shown)
