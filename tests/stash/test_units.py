"""Lengths, masses and shares: read exactly, shown plainly, refused with what to write instead."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.units import (
    UnitError,
    read_length,
    read_mass,
    read_number,
    read_share,
    show_count,
    show_length,
    show_mass,
    unit_meant,
)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1 in", "0.0254"),  # exact by the international yard and pound agreement of 1959
        ("1 yd", "0.9144"),
        ("1 ft", "0.3048"),
        ("210 yd", "192.024"),
        ("59 in", "1.4986"),
        ("1500mm", "1.5"),
        ("12.5 cm", "0.125"),
        ("1.2 km", "1200"),
    ],
)
def test_lengths_are_exact(text, metres):
    assert Fraction(metres) == read_length(text).value


@pytest.mark.parametrize(
    ("text", "grams"),
    [("1 lb", "453.59237"), ("1.75 oz", "49.61166546875"), ("118 g", "118"), ("0.5 kg", "500"), ("16 oz", "453.59237")],
)
def test_masses_are_exact(text, grams):
    assert Fraction(grams) == read_mass(text).value


@pytest.mark.parametrize(
    ("text", "grams"), [("42 g", "1"), ("5.1 g", "0.1"), ("4 oz", "28.349523125"), ("0.50 kg", "10")]
)
def test_the_step_is_the_worth_of_the_last_digit(text, grams):
    assert Fraction(grams) == read_mass(text).step


@pytest.mark.parametrize(("text", "grams"), [("42 g", "1"), ("5.1 g", "0.1"), ("4 oz", "1"), ("0.50 kg", "1")])
def test_a_scale_is_the_last_digit_written_but_never_coarser_than_1_g(text, grams):
    assert Fraction(grams) == read_mass(text).assumed_scale


def test_a_number_may_have_12_digits_and_4_decimals_and_no_more():
    assert read_number("12345678.1234") == Fraction("12345678.1234")
    with pytest.raises(UnitError, match="of 13 digits"):
        read_number("123456789.1234")
    with pytest.raises(UnitError, match="5 decimals"):
        read_number("1.12345")


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("mms", "mm"), ("centimeters", "cm"), ("mtr", "m"), ("kms", "km"), ("inches", "in"), ("″", "in"), ("feet", "ft"),
        ("′", "ft"), ("yards", "yd"), ("M.", "m"), ("Yrds.", "yd"), ("metrs", "m"),
    ],
)  # fmt: skip
def test_what_people_write_for_a_unit_of_length_is_told_by_its_own_name(slip, meant):
    with pytest.raises(UnitError) as raised:
        read_length(f"12 {slip}")
    assert raised.value.hint == f"did you mean 12 {meant}?"


@pytest.mark.parametrize(
    ("slip", "meant"), [("grams", "g"), ("gms", "g"), ("kilo", "kg"), ("ounces", "oz"), ("lbs", "lb"), ("#", "lb")]
)
def test_what_people_write_for_a_unit_of_mass_is_told_by_its_own_name(slip, meant):
    with pytest.raises(UnitError) as raised:
        read_mass(f"12 {slip}")
    assert raised.value.hint == f"did you mean 12 {meant}?"


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("120.", "120"), (".25", "0.25"), ("+12.5", "12.5"), ("1'000", "1000"), ("12 000", "12000"), ("2 1/4", "2.25"),
        ("7/16", "0.4375"), ("1½", "1.5"), ("2 ¾", "2.75"), ("¼", "0.25"), ("1,234,567.5", "1234567.5"), ("1E+2", "100"),
        ("2.5e1", "25"), ("0xfF", "255"), ("１２", "12"),
    ],
)  # fmt: skip
def test_what_can_have_meant_one_number_only_is_offered_as_plain_digits(text, plain):
    with pytest.raises(UnitError) as raised:
        read_number(text)
    assert raised.value.hint == f"write {plain}"


def test_the_users_own_text_is_kept():
    assert read_length(" 210 yd ").text == "210 yd"


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("12,5", "'12,5' is not a plain number", "write 12.5"),
        ("1,234", "'1,234' is not a plain number", "write 1.234, or 1234 if thousands were meant"),
        ("1,234.5", "'1,234.5' is not a plain number", "write 1234.5"),
        ("1.234,5", "'1.234,5' is not a plain number", "write 1234.5"),
        ("1e3", "'1e3' is not a plain number", "write 1000"),
        ("1.0e+3", "'1.0e+3' is not a plain number", "write 1000"),
        ("0x1F", "'0x1F' is not a plain number", "write 31"),
        ("0o17", "'0o17' is not a plain number", "write 15"),
        ("1_000", "'1_000' is not a plain number", "write 1000"),
        ("190:20:30", "'190:20:30' is not a plain number", "write one plain number, for example 190, and its unit"),
        ("+5", "'+5' is not a plain number", "write 5"),
        ("-5", "'-5' is below zero", "write it without the minus: 5"),
        (".5", "'.5' is not a plain number", "write 0.5"),
        ("5.", "'5.' is not a plain number", "write 5"),
        ("1/2", "'1/2' is not a plain number", "write 0.5"),
        ("١٢", "'١٢' is not a plain number", "write 12"),
        ("nan", "'nan' is not a plain number", "write plain digits, with a point before decimals, for example 12.5"),
        (".inf", "'.inf' is not a plain number", "write plain digits, with a point before decimals, for example 12.5"),
        (
            "1.0e+999",
            "'1.0e+999' is not a plain number",
            "write plain digits, with a point before decimals, for example 12.5",
        ),
        ("", "a number is missing", "write a number, for example 120"),
        ("1234567890123", "a number of 13 digits is too long", "write 12 digits at most"),
        ("9" * 5000, "a number of 5000 digits is too long", "write 12 digits at most"),
        ("1.123456789", "'1.123456789' has 9 decimals", "write 4 at most, for example 1.1234"),
    ],
)
def test_what_is_no_plain_number_is_refused(text, message, hint):
    with pytest.raises(UnitError) as caught:
        read_number(text)
    assert (message, hint) == (str(caught.value), caught.value.hint)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("200", "'200' has no unit", "write the unit too, for example 200 m"),
        ("200 mt", "'mt' is not a unit known here", "did you mean 200 m?"),
        ("12 mtr", "'mtr' is not a unit known here", "did you mean 12 m?"),
        ("3 yrds", "'yrds' is not a unit known here", "did you mean 3 yd?"),
        ("3 Yd", "'Yd' is not a unit known here", "did you mean 3 yd?"),
        ('59"', "'\"' is not a unit known here", "did you mean 59 in?"),
        ("3 furlongs", "'furlongs' is not a unit known here", "write it in mm, cm, m, km, in, ft or yd"),
        ("118 g", "'118 g' is a mass; a length is wanted here", "write it in mm, cm, m, km, in, ft or yd"),
        ("12,5 m", "'12,5' is not a plain number", "write 12.5 m"),
        ("-3 m", "'-3' is below zero", "write it without the minus: 3 m"),
        (
            "5 ft 3 in",
            "'5 ft 3 in' is more than a length",
            "write one number and one unit, added up or multiplied already",
        ),
        ("1e3 m", "'1e3' is not a plain number", "write 1000 m"),
        ("0x1F", "'0x1F' is not a length", "write a length with its unit, for example 120 m"),
        ("m", "'m' is not a length", "write a length with its unit, for example 120 m"),
        ("", "'' is not a length", "write a length with its unit, for example 120 m"),
    ],
)
def test_what_is_no_length_is_refused(text, message, hint):
    with pytest.raises(UnitError) as caught:
        read_length(text)
    assert (message, hint) == (str(caught.value), caught.value.hint)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("4 lbs", "'lbs' is not a unit known here", "did you mean 4 lb?"),
        ("3 gm", "'gm' is not a unit known here", "did you mean 3 g?"),
        ("210 m", "'210 m' is a length; a mass is wanted here", "write it in g, kg, oz or lb"),
        ("42", "'42' has no unit", "write the unit too, for example 42 g"),
    ],
)
def test_what_is_no_mass_is_refused(text, message, hint):
    with pytest.raises(UnitError) as caught:
        read_mass(text)
    assert (message, hint) == (str(caught.value), caught.value.hint)


@pytest.mark.parametrize(("text", "share"), [("10%", "0.1"), ("10 %", "0.1"), ("33.3%", "0.333"), ("0%", "0")])
def test_shares_are_exact(text, share):
    assert Fraction(share) == read_share(text)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("10", "'10' has no % sign", "write 10%"),
        ("a tenth", "'a tenth' is not a share", "write it with its sign, for example 10%"),
        ("12,5%", "'12,5' is not a plain number", "write 12.5"),
    ],
)
def test_what_is_no_share_is_refused(text, message, hint):
    with pytest.raises(UnitError) as caught:
        read_share(text)
    assert (message, hint) == (str(caught.value), caught.value.hint)


@given(st.integers(0, 10**8 - 1), st.integers(0, 4), st.sampled_from(["mm", "cm", "m", "km", "in", "ft", "yd"]))
def test_a_length_is_its_number_times_its_unit(digits, decimals, unit):
    value = Fraction(digits, 10**decimals)
    text = f"{digits // 10**decimals}" + (f".{digits % 10**decimals:0{decimals}d}" if decimals else "")
    assert value * read_length(f"1 {unit}").value == read_length(f"{text} {unit}").value


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused_with_a_hint(text):
    hints = []
    for read in (read_number, read_length, read_mass, read_share):
        try:
            read(text)
        except UnitError as error:
            hints.append(error.hint)
    assert all(hints)


def test_figures_are_shown_rounded_with_their_unit():
    assert show_length(Fraction("123.4"), "metric") == "123 m"
    assert show_length(Fraction("123.4"), "imperial") == "135 yd"
    assert show_length(Fraction("123.45"), "metric", 2) == "123.45 m"
    assert show_length(-0.2, "metric") == "0 m"
    assert show_mass(Fraction(54), "metric") == "54 g"
    assert show_mass(Fraction(54), "imperial") == "1.9 oz"


def test_a_count_is_shown_as_metres_in_100_grams_or_yards_in_an_ounce():
    assert show_count(Fraction(100_000, 230), "metric") == "230 m/100g"
    assert show_count(Fraction("31.0034"), "imperial") == "1000 yd/oz"  # 496,054.65/tex yd/lb, a sixteenth of it


def test_units_agree_with_pint():
    pint = pytest.importorskip("pint")
    units = pint.UnitRegistry()
    names = {"in": "inch", "yd": "yard", "ft": "foot", "mm": "mm", "cm": "cm", "km": "km", "m": "m"}
    for ours, theirs in names.items():
        assert units.Quantity(7, theirs).to("m").magnitude == pytest.approx(
            float(read_length(f"7 {ours}").value), rel=1e-14
        )
    for ours, theirs in {"g": "g", "kg": "kg", "oz": "ounce", "lb": "pound"}.items():
        assert units.Quantity(7, theirs).to("g").magnitude == pytest.approx(
            float(read_mass(f"7 {ours}").value), rel=1e-14
        )


@pytest.mark.parametrize(
    ("word", "unit"), [("g", "g"), ("yd.", "yd"), ("KG", "kg"), ("Yards", "yd"), ("gm", "g"), ("Metre", "m"), ("cubit", None)]
)  # fmt: skip
def test_a_word_that_stands_for_a_unit_is_taken_for_it(word, unit):
    assert unit_meant(word) == unit
