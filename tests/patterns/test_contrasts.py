"""Needs with stitches side by side are set against one another, unless something else is said of them."""

from __future__ import annotations

import pytest

from patterns.needs import ColourRule, Pattern
from patterns.read import read_pattern

FILE = """\
yarn: dk
{top}
chart: {{legend: {{".": main, "x": motif, "o": edging}}, rows: [{rows}], worked: flat, floats: no}}
needs: {{main: {{{main}}}, motif: {{{motif}}}, edging: {{{edging}}}}}
sizes: {{one: {{main: 9 m, motif: 9 m, edging: 9 m}}}}
"""


def pattern_of(rows: str, *, main: str = "", motif: str = "", edging: str = "", top: str = "") -> Pattern:
    written = FILE.format(rows=rows, main=main, motif=motif, edging=edging, top=top)
    pattern, faults = read_pattern("hat.yaml", written.encode())
    assert [fault.message for fault in faults if "no row" not in fault.message] == []
    assert pattern is not None
    return pattern


def against(pattern: Pattern) -> dict[str, tuple[tuple[str, ...], float]]:
    rules = {name: need.colour for name, need in pattern.needs.items()}
    return {name: (rule.against, rule.against_lightness) for name, rule in rules.items() if rule.against}


def test_the_later_of_two_needs_is_set_against_the_earlier_by_20() -> None:
    assert against(pattern_of('".x"')) == {"motif": (("main",), 20.0)}


def test_needs_that_never_meet_are_not_set_against_one_another() -> None:
    assert against(pattern_of('".xo"')) == {"motif": (("main",), 20.0), "edging": (("motif",), 20.0)}
    assert against(pattern_of('"..", "oo"')) == {"edging": (("main",), 20.0)}
    assert against(pattern_of('"..."')) == {}


@pytest.mark.parametrize(
    "rule",
    ["{against: main, lightness: 8}", "{lighter-than: main}", "{darker-than: main}", "{same-as: main}"],
)
def test_what_a_need_says_of_the_other_stands(rule: str) -> None:
    said = pattern_of('".x"', motif=f"colour: {rule}").needs["motif"].colour
    assert said == pattern_of('"..."', motif=f"colour: {rule}").needs["motif"].colour


def test_what_the_earlier_need_says_of_the_later_stands_as_well() -> None:
    assert against(pattern_of('".x"', main="colour: {against: motif, lightness: 8}")) == {"main": (("motif",), 8.0)}


@pytest.mark.parametrize("which", ["main", "motif"])
def test_a_need_of_any_colour_is_set_against_nothing(which: str) -> None:
    assert against(pattern_of('".x"', **{which: "colour: any"})) == {}


def test_needs_of_a_fade_keep_to_its_steps() -> None:
    assert against(pattern_of('".xo"', top="order: [main, motif]")) == {"edging": (("motif",), 20.0)}


def test_a_colour_rules_own_lightness_holds_for_what_the_chart_adds() -> None:
    pattern = pattern_of('".o", "xo"', edging="colour: {against: main, lightness: 30}")
    assert against(pattern) == {"motif": (("main",), 20.0), "edging": (("main", "motif"), 30.0)}


def test_a_rule_that_says_nothing_of_the_other_keeps_what_it_says() -> None:
    said = pattern_of('".x"', motif='colour: {near: "#8a1c1c", within: 9, not: main}').needs["motif"].colour
    plain = pattern_of('"..."', motif='colour: {near: "#8a1c1c", within: 9, not: main}').needs["motif"].colour
    assert said == ColourRule(plain.near, 9.0, ("main",), 20.0, not_in=("main",))
