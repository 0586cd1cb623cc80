"""Counts: every form read exactly, with its uncertainty, against published conversions and other programs."""

from fractions import Fraction

import pytest

from stash.count import (
    NUMBER_ONE_TEX,
    Count,
    CountError,
    count_fault,
    count_from_class,
    count_from_wraps,
    read_count,
)
from stash.fibre import read_blend
from stash.units import POUND_G, YARD_M
from stash.weightclass import CLASS_NAMES, CLASSES, m_per_100g, named_class

WOOL = read_blend("wool")
COTTON = read_blend("cotton")


@pytest.mark.parametrize(
    ("text", "tex"),
    [
        # exact from 1 lb = 453.59237 g and 1 yd = 0.9144 m; the systems as in ISO 1144 and ISO 2947 (from memory)
        ("Ne 1", 590.5412),
        ("worsted 1", 885.8119),
        ("run 1", 310.0342),
        ("lea 1", 1653.5155),
        ("Nm 1", 1000),
        ("900 den", 100),
        ("2140 dtex", 214),
        ("238 tex", 238),
        ("420 m/100g", 238.0952),
        ("420 m / 100 g", 238.0952),
        ("230 yd/50g", 237.7420),
        ("1200 yd/lb", 413.3789),
        ("496054.65 yd/lb", 1.0),
        ("Nm 28", 35.7143),
        ("Nm 2/12", 166.6667),
        ("Ne 8/2", 147.6353),
        ("worsted 2/10", 177.1624),
    ],
)
def test_counts_convert_to_tex(text, tex):
    assert tex == pytest.approx(float(read_count(text, WOOL).tex), rel=1e-6)


def test_20_tex_is_29_53_ne_180_den_and_50_nm():
    # GATE Textile 1992, question 2.
    assert round(float(NUMBER_ONE_TEX["ne"] / 20), 2) == 29.53
    assert [read_count("180 den", WOOL).tex, read_count("Nm 50", WOOL).tex] == [20, 20]


def test_worsted_2_10_is_2800_yards_in_a_pound_and_564_5_metres_in_100_grams():
    # Weaving handbook practice: 560 x 10 / 2 yards in a pound.
    tex = read_count("worsted 2/10", WOOL).tex
    assert POUND_G * 1000 / tex / YARD_M == 2800
    assert round(float(m_per_100g(tex)), 1) == 564.5


def test_plied_yarns_add_their_tex():
    # 60s and 40s make 24s: Taylor, Cotton Weaving and Designing, 6th ed., p. 239. 20s, 15s, 12s make 5s: worked out.
    one = NUMBER_ONE_TEX["ne"]
    assert one / (one / 60 + one / 40) == 24
    assert one / (one / 20 + one / 15 + one / 12) == 5


@pytest.mark.parametrize(
    ("first", "second"), [("Nm 2/12", "Nm 12/2"), ("Ne 8/2", "ne 2/8"), ("worsted 2/10", "WORSTED 10/2")]
)
def test_the_smaller_number_is_the_fold_whichever_way_round(first, second):
    assert read_count(first, WOOL).tex == read_count(second, WOOL).tex


def test_a_folded_count_weighs_fold_times_the_single():
    assert 2 * read_count("Nm 12", WOOL).tex == read_count("Nm 2/12", WOOL).tex


@pytest.mark.parametrize(
    ("text", "relative_u"),
    [
        ("420 m/100g", 0.03),
        ("1200 yd/lb", 0.03),
        ("238 tex", 0.02),
        ("900 den", 0.02),
        ("Nm 2/12", 0.02),
        ("worsted 2/10", 0.02),
    ],
)
def test_labels_and_numbers_have_their_usual_uncertainty(text, relative_u):
    # common practice, no source
    assert (relative_u, False, text) == (read_count(text, WOOL).relative_u, False, read_count(text, WOOL).text)


def test_worsted_alone_is_a_class_and_with_a_number_a_count():
    assert read_count("worsted", WOOL).tex == count_from_class(CLASSES[4], WOOL).tex
    assert read_count("worsted 4", WOOL).tex == NUMBER_ONE_TEX["worsted"] / 4


def test_a_class_of_cotton_weighs_more_than_the_same_class_of_wool():
    # as thick as wool: tex in the ratio of the densities, 1.52 : 1.31
    assert Fraction(152, 131) == read_count("dk", COTTON).tex / read_count("dk", WOOL).tex


def test_wraps_give_the_count_of_wool_as_thick():
    # (16 / 0.87)^2 = 338.2 m/100 g; our own fit, no source
    assert round(float(m_per_100g(count_from_wraps(Fraction(16), WOOL).tex)), 1) == 338.2
    assert count_from_wraps(Fraction(16), WOOL).relative_u == 0.20


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("Nm 2/2", "'Nm 2/2' does not tell which number is the fold",
         "measure it instead, for example {length: 12.4 m, mass: 5.1 g}, or write Nm and one number"),
        ("Nm 2/3/4", "'Nm 2/3/4' has more than two numbers", "write the fold and the single: Nm 2/12"),
        ("Nm 2.5/12", "'Nm 2.5/12': a fold is a whole number of strands", "write it like Nm 2/12"),
        ("Nm 0", "Nm is zero", "measure again and write Nm as a number above 0"),
        ("0 m/100g", "length is zero", "measure again and write length as a number above 0"),
        ("1,5 tex", "'1,5' is not a plain number", "write 1.5"),
        ("420 g/100m", "'420 g/100m' is not a length in a mass", "write it like 420 m/100g, 230 yd/50g or 1200 yd/lb"),
        ("3", "'3' has no unit", "write one of: 420 m/100g, 238 tex, 2140 dtex, 900 den, Nm 2/12, Ne 8/2, worsted 2/10, or a class name such as dk"),
        ("wrsted", "'wrsted' is not a count", "did you mean worsted?"),
        ("rope", "'rope' is not a count", "write one of: 420 m/100g, 238 tex, 2140 dtex, 900 den, Nm 2/12, Ne 8/2, worsted 2/10, or a class name such as dk"),
    ],
)  # fmt: skip
def test_what_is_no_count_is_refused(text, message, hint):
    with pytest.raises(CountError) as caught:
        read_count(text, WOOL)
    assert (message, hint) == (str(caught.value), caught.value.hint)


def _of(metres):
    return Count(Fraction(100_000) / Fraction(metres), 0.03, False, f"{metres} m/100g")


@pytest.mark.parametrize("metres", [40, 230, 1500])
def test_usual_counts_are_no_fault(metres):
    assert count_fault(_of(metres)) is None


@pytest.mark.parametrize(
    ("metres", "message", "warning"),
    [
        ("39", "'39 m/100g' comes to 39 m/100g: thicker than most knitting yarn", True),
        ("5", "'5 m/100g' comes to 5.0 m/100g: thicker than most knitting yarn", True),
        ("4.9", "'4.9 m/100g' comes to 4.9 m/100g: thicker than any yarn", False),
        ("1501", "'1501 m/100g' comes to 1501 m/100g: thinner than most knitting yarn", True),
        ("10000", "'10000 m/100g' comes to 10000 m/100g: thinner than most knitting yarn", True),
        ("10001", "'10001 m/100g' comes to 10001 m/100g: thinner than any yarn", False),
    ],
)
def test_unusual_counts_are_warned_of_and_impossible_ones_refused(metres, message, warning):
    said = count_fault(_of(metres))
    assert (message, warning) == (said[0], said[2])


def test_textile_units_agree_with_pint():
    pint = pytest.importorskip("pint")
    units = pint.UnitRegistry()
    for text, amount in {
        "238 tex": units.Quantity(238, "tex"),
        "900 den": units.Quantity(900, "denier"),
        "2140 dtex": units.Quantity(2140, "dtex"),
        "Ne 8": 1 / units.Quantity(8, "number_english"),
        "Nm 28": 1 / units.Quantity(28, "number_meter"),
        "420 m/100g": 1 / units.Quantity(4.2, "m/g"),
        "1200 yd/lb": 1 / units.Quantity(1200, "yard/pound"),
    }.items():
        assert amount.to("tex").magnitude == pytest.approx(float(read_count(text, WOOL).tex), rel=1e-12)


@pytest.mark.parametrize("name", CLASS_NAMES)
def test_every_name_of_a_class_is_a_count(name):
    one = named_class(name)
    assert read_count(name, WOOL) == count_from_class(one, WOOL, text=name)
