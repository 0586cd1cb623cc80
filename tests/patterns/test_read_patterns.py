"""Reading a pattern: what it says, and what is filled in where it says nothing."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patterns.needs import ColourRule, FibreRule, LotRule, Need, Pattern
from patterns.read import read_pattern

SKERRY = b"""\
name: Skerry yoked pullover
craft: knitting
gauge: {stitches: 22, rows: 30, over: 10 cm}
yarn: dk
strands: 1-2
marl: no
fibre: {allow: [animal], at-least: {wool: 50%}, at-most: {synthetic: 25%}, avoid: [mohair]}
wash: hand
reserve: 12%
order: [main, motif]
needs:
  main:   {lots: by-part}
  motif:  {lots: one, colour: {against: main, lightness: 25}, strands: 2, marl: yes, yarn: sock, piece: 2 m, joins: 0}
  edging: {lots: one, colour: {near: "#8a1c1c", within: 8}, fibre: {allow: plant}}
sizes:
  S: {main: {body: 560 m, left sleeve: 150 m}, motif: 120 m, edging: 45 m}
  M: {main: 700 m}
"""


def pattern_of(text: bytes, file: str = "patterns/skerry.yaml") -> Pattern:
    pattern, faults = read_pattern(file, text)
    assert faults == []
    assert pattern is not None
    return pattern


def need_of(written: str, top: str = "yarn: dk") -> Need:
    text = f"{top}\nneeds: {{main: {written}, other: {{}}}}\nsizes: {{one: {{main: 9 m, other: 9 m}}}}\n"
    return pattern_of(text.encode()).needs["main"]


def test_a_pattern_goes_by_its_files_name() -> None:
    assert pattern_of(SKERRY).id == "skerry"


def test_what_a_pattern_says_is_kept() -> None:
    skerry = pattern_of(SKERRY)
    assert (skerry.name, skerry.craft, skerry.wash) == ("Skerry yoked pullover", "knitting", "hand")
    assert (Fraction(12, 100), ("main", "motif")) == (skerry.reserve, skerry.order)
    assert list(skerry.sizes) == ["S", "M"]
    assert list(skerry.sizes["M"]) == ["main"]


def test_a_need_takes_from_its_pattern_what_it_leaves_unsaid() -> None:
    main, motif, edging = pattern_of(SKERRY).needs.values()
    assert ((1, 2), False, Fraction(5), None) == (main.strands, main.marl, main.piece_m, main.joins)
    assert ((2, 2), True, Fraction(2), 0) == (motif.strands, motif.marl, motif.piece_m, motif.joins)
    assert (main.yarn.text, motif.yarn.text) == ("dk", "sock")
    whole = FibreRule(
        frozenset({"animal"}), {"wool": Fraction(1, 2)}, {"synthetic": Fraction(1, 4)}, frozenset({"mohair"})
    )
    assert whole == main.fibre == motif.fibre
    assert FibreRule(frozenset({"plant"})) == edging.fibre


def test_what_nobody_says_has_its_default() -> None:
    pattern = pattern_of(b"yarn: dk\nneeds:\n  main:\nsizes: {one: {main: 180 m}}\n", "cowl.yaml")
    assert ("cowl", "knitting", "any", Fraction(1, 10), ()) == (
        pattern.name, pattern.craft, pattern.wash, pattern.reserve, pattern.order
    )  # fmt: skip
    main = pattern.needs["main"]
    assert (LotRule("one", 1, None), ColourRule(), (1, 2), False) == (main.lots, main.colour, main.strands, main.marl)
    assert (FibreRule(), Fraction(5), None) == (main.fibre, main.piece_m, main.joins)


@pytest.mark.parametrize(
    ("written", "rule"),
    [
        ("{lots: one}", LotRule("one", 1, None)),
        ("{lots: by-part}", LotRule("by-part", None, 5.0)),
        ("{lots: by-part, match: any}", LotRule("by-part", None, None)),
        ("{lots: alternate}", LotRule("alternate", 2, 5.0)),
        ("{lots: alternate 3, match: 4.5}", LotRule("alternate", 3, 4.5)),
        ("{lots: any}", LotRule("any", None, None)),
        ("{lots: any 4}", LotRule("any", 4, None)),
    ],
)
def test_lot_rules(written: str, rule: LotRule) -> None:
    assert rule == need_of(written).lots


def test_lightness_is_20_against_and_5_lighter_or_darker() -> None:
    colour = need_of("{colour: {against: other, lighter-than: [other]}}").colour
    assert (colour.against_lightness, colour.lighter_lightness) == (20.0, 5.0)


def test_one_lightness_holds_for_all_contrasts_beside_it() -> None:
    colour = need_of("{colour: {against: other, darker-than: other, lightness: 12}}").colour
    assert (colour.against_lightness, colour.lighter_lightness) == (12.0, 12.0)


def test_colour_rules_name_other_needs_alone_or_in_a_list() -> None:
    colour = need_of("{colour: {same-as: other, near: navy, within: 3}}").colour
    assert (colour.same_as, colour.within) == (("other",), 3.0)
    assert need_of("{colour: {not: [other]}}").colour.not_in == ("other",)
    assert ColourRule() == need_of("{colour: any}").colour


@pytest.mark.parametrize(
    ("yarn", "low", "high"),
    [
        ("dk", "190", "273"),  # 0.95 x 200 to 1.05 x 260
        ("3", "190", "273"),
        ("{class: dk}", "190", "273"),
        ("{class: dk, within: 10%}", "180", "286"),
        ("{count: 230 m/100g}", "207", "253"),
        ("230 m/100g", "207", "253"),
        ("{count: 230 m/100g, within: 12%}", "202.4", "257.6"),
        ("{count: 230 m/100g, within: 0%}", "230", "230"),
    ],
)
def test_the_thickness_a_need_accepts(yarn: str, low: str, high: str) -> None:
    found = need_of("{}", f"yarn: {yarn}").yarn
    assert (Fraction(low), Fraction(high)) == (found.low, found.high)


def test_a_need_for_hardly_any_yarn_is_doubted_but_kept() -> None:
    """A yarn of 1,500 m in 100 g is taken for the finest of most knitting."""
    pattern, faults = read_pattern("patterns/skerry.yaml", SKERRY.replace(b"yarn: dk", b"yarn: 2000 m/100g"))
    assert [(fault.warning, "thinner than most knitting yarn" in fault.message) for fault in faults] == [(True, True)]
    assert pattern is not None
    assert (pattern.needs["main"].yarn.low, pattern.needs["main"].yarn.high) == (1800, 2200)


@pytest.mark.parametrize(("written", "strands"), [("1", (1, 1)), ("2", (2, 2)), ("1-3", (1, 3)), ("2 - 3", (2, 3))])
def test_strands(written: str, strands: tuple[int, int]) -> None:
    assert strands == need_of(f"{{strands: {written}}}").strands


def test_parts_add_up_where_a_need_is_not_divided_by_part() -> None:
    body = pattern_of(SKERRY).sizes["S"]["main"]
    assert {part: amount.metres for part, amount in body.items()} == {"body": 560, "left sleeve": 150}


def test_a_size_may_look_like_a_number() -> None:
    pattern = pattern_of(b"yarn: dk\nneeds: {main: {}}\nsizes: {38: {main: 9 m}, no: {main: 9 m}}\n")
    assert list(pattern.sizes) == ["38", "no"]


@pytest.mark.parametrize(("reserve", "said"), [("200%", []), ("201%", ["this share must lie between 0% and 200%"])])
def test_up_to_twice_the_need_may_be_kept_back(reserve: str, said: list[str]) -> None:
    text = f"yarn: dk\nreserve: {reserve}\nneeds: {{main: {{}}}}\nsizes: {{one: {{main: 9 m}}}}\n"
    assert [fault.message for fault in read_pattern("cowl.yaml", text.encode())[1]] == said


def test_a_note_in_a_pattern_changes_nothing() -> None:
    assert pattern_of(SKERRY + b'note: "knit it in the round"\n') == pattern_of(SKERRY)


def test_a_need_may_have_nothing_under_it_but_not_an_empty_text() -> None:
    text = 'yarn: dk\nneeds: {main: ""}\nsizes: {one: {main: 9 m}}\n'
    (fault,) = read_pattern("cowl.yaml", text.encode())[1]
    assert (fault.place.line, fault.place.column) == (2, 15)
