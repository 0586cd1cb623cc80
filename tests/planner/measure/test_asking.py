"""What `measure` is told: flags that go together, samples in words, and what is refused."""

from fractions import Fraction

import pytest

from planner.asking import AskError
from planner.measure.asking import QUESTIONS, WAY, ask_measure, read_sample
from planner.measure.lotasking import read_skein
from stash.units import YARD_M, UnitError

TURNS = {"--turns": "120", "--around": "1.5 m", "--mass": "42 g"}


@pytest.mark.parametrize(
    ("text", "turns", "length_m", "mass_g"),
    [
        ("120 turns of 1.5 m, 42 g", 120, 180, 42),
        ("1 turn of 61 in, 0.5 g", 1, Fraction("1.5494"), Fraction("0.5")),
        ("36 strands of 1 yd, 9 g", 36, 36 * YARD_M, 9),
        ("12.4 m, 5.1 g", None, Fraction("12.4"), Fraction("5.1")),
        ("12.4 m, 118 g - 76.5 g", None, Fraction("12.4"), Fraction("41.5")),
    ],
)
def test_a_sample_is_read_in_words(text, turns, length_m, mass_g):
    reading = read_sample(text)
    assert (turns, length_m, mass_g) == (reading.turns, reading.length_m, reading.mass_g)


@pytest.mark.parametrize(
    "text",
    ["", "120 turns", "120 turns of 1.5 m", "12.4, 5.1 g", "12.4 m, 5.1", "x turns of 1 m, 4 g", "1 m, 4 g - 4 g",
     "0 turns of 1 m, 4 g", "1 m, 9 g - 4 g - 1 g", "0 m, 4 g"],
)  # fmt: skip
def test_what_is_no_sample_is_refused_with_a_way_to_write_it(text):
    with pytest.raises(UnitError) as refused:
        read_sample(text)
    assert refused.value.hint


def test_turns_with_a_mass_are_a_sample_and_the_last_digit_is_the_scales_step():
    yarn = ask_measure({**TURNS, "--batch": "440.0 g"}).yarn
    assert yarn.samples[0].steps_g == (1,)
    assert (yarn.batch_g, yarn.batch_step_g) == (440, Fraction(1, 10))
    assert ask_measure({**TURNS, "--scale": "0.1 g"}).yarn.samples[0].steps_g == (Fraction(1, 10),)


def test_turns_without_a_mass_are_a_length():
    told = ask_measure({"--turns": "170", "--around": "61 in"})
    assert (told.yarn, told.length.length_m) == (None, 170 * Fraction("1.5494"))


def test_two_readings_of_the_scale_are_a_mass():
    told = ask_measure({"--length": "12 m", "--before": "118 g", "--after": "76 g"})
    assert (told.yarn.samples[0].mass_g, told.yarn.samples[0].steps_g) == (42, (1, 1))


def test_weighed_apart_holds_for_every_sample():
    told = ask_measure({"--sample": ["12 m, 4 g", "13 m, 5 g"], "--apart": "yes"})
    assert [one.apart for one in told.yarn.samples] == [True, True]


def test_a_way_is_asked_for_by_any_of_its_names_and_no_other():
    (way,) = [one for one in QUESTIONS if one.flag == WAY]
    assert [way.read(text) for text in ("swift", "tape", "wraps")] == ["turns", "length", "wraps"]
    with pytest.raises(UnitError, match="'pendulum' is not one of them") as refused:
        way.read("pendulum")
    assert refused.value.hint == "write turns, length, wraps, samples"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "nothing is written here"),
        ("0 g", "'0 g' is not above zero"),
        ("96 g in 0 pieces", "'0' pieces cannot be"),
        ("96 g in 1.5 pieces", "'1.5' pieces cannot be"),
    ],
)
def test_what_is_no_skein_is_refused(text, message):
    with pytest.raises(UnitError) as refused:
        read_skein(text)
    assert str(refused.value) == message
    assert refused.value.hint


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({}, "--turns, --length, --wraps or --sample is missing: how was the yarn measured?"),
        ({"--mass": "4 g"}, "--turns, --length, --wraps or --sample is missing: how was the yarn measured?"),
        ({"--turns": "12"}, "--around is missing: How long is one turn? such as 1.5 m or 61 in"),
        ({**TURNS, "--wraps": "9"}, "--wraps does not go with --turns"),
        ({**TURNS, "--before": "9 g"}, "--mass does not go with --before and --after"),
        ({"--length": "9 m", "--after": "9 g"}, "--after is given without --before"),
        ({"--length": "9 m", "--before": "9 g"}, "--after is missing: And after?"),
        ({"--length": "9 m", "--before": "7 g", "--after": "9 g"}, "--after 9 g is not below --before 7 g"),
        ({"--wraps": "9", "--apart": "yes"}, "--apart does not go with --wraps"),
        ({"--wraps": "0"}, "--wraps: '0' is not above zero"),
        ({**TURNS, "--plies": "2.5"}, "--plies: '2.5' plies cannot be"),
        ({**TURNS, "--fibre": "wol"}, "--fibre: 'wol' is not a fibre known here"),
        ({"--length": "1 m", "--mass": "0.4 g", "--scale": "1 g"}, "the sample weighs less than the scale can show"),
        ({**TURNS, "--apart": "maybe"}, "--apart: 'maybe' is neither yes nor no"),
        ({"--length": "1 m", "--mass": "400 g"}, "'400 g in 1 m' comes to 0.2 m/100g: thicker than any yarn"),
    ],
)
def test_what_is_missing_wrong_or_does_not_go_together_is_refused(given, message):
    with pytest.raises(AskError) as refused:
        ask_measure(given)
    assert message == str(refused.value)
    assert refused.value.hint


def test_a_sample_of_one_step_of_the_scale_is_taken():
    told = ask_measure({"--length": "2.3 m", "--mass": "1 g", "--scale": "1 g"})
    assert told.yarn.samples[0].steps_g == (1,)
