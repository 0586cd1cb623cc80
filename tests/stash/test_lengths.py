"""Lengths: best guess, uncertainty by the law of propagation, guarded length on the grid."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.colour import read_colour
from stash.count import Count, count_from_class, count_from_wraps, read_count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lengths import (
    best_cm,
    disagreement,
    guarded_cm,
    guarded_factor,
    length_m,
    mass_g,
    own_u,
    relative_u,
    shared_u,
)
from stash.lots import Lot, Skein
from stash.weightclass import CLASSES
from tests.stash.measured import count_of, laid, wound

HERE = Place("stash.yaml", 1, 1)
WOOL = read_blend("80% wool, 20% polyamide")
WHOLE = (Fraction(1),)
EVEN = Fraction(95, 100)


def a_skein(mass=None, length=None, scale=1, shares=WHOLE):
    known = [None if value is None else Fraction(value) for value in (mass, length)]
    return Skein("slate-1", *known, Fraction(scale), shares, False, HERE)


def a_lot(count, *skeins, blend=WOOL):
    return Lot("slate", None, blend, read_colour("#5b6770"), count, None, None, skeins, HERE)


TURNS = count_of(wound(120, "1.5", 42))


def test_a_mass_gives_its_length_and_a_stated_length_wins():
    weighed, both = a_skein(mass=118), a_skein(mass=118, length=500)
    lot = a_lot(TURNS, weighed, both)
    assert [Fraction(118 * 3000, 700), 500] == [length_m(lot, weighed), length_m(lot, both)]


def test_a_length_gives_its_mass():
    lot = a_lot(TURNS)
    assert [mass_g(lot, a_skein(length=300)), mass_g(lot, a_skein(mass=118))] == [70, 118]


def test_the_count_is_shared_and_the_scale_is_the_skeins_own():
    skein = a_skein(mass=118)
    lot = a_lot(TURNS, skein)
    assert (TURNS.relative_u, 1 / math.sqrt(12) / 118) == pytest.approx((shared_u(lot), own_u(lot, skein)), rel=1e-14)
    assert math.hypot(shared_u(lot), own_u(lot, skein)) == relative_u(lot, skein)


def test_a_stated_length_is_known_to_1_12_percent_whatever_the_count():
    skein = a_skein(length=192)
    lot = a_lot(read_count("dk", WOOL), skein)
    assert [relative_u(lot, skein), shared_u(lot, skein), own_u(lot, skein)] == [0.0112, 0.0, 0.0112]


def test_a_sample_weighed_apart_adds_the_rooms_humidity():
    # R = 0.8 x 17 + 0.2 x 6.25 = 14.85 %; half-width 0.15 R/(100 + R) = 1.9395 %, rectangular: / sqrt(3) = 1.1198 %
    lot = a_lot(replace(TURNS, apart=True))
    assert pytest.approx(math.sqrt(shared_u(lot) ** 2 - TURNS.relative_u**2), rel=1e-4) == 0.0111977


def test_guarded_is_1_6448536_uncertainties_below_the_best_guess_at_95_percent():
    skein = a_skein(mass=118)
    lot = a_lot(TURNS, skein)
    assert 1 - 1.6448536 * relative_u(lot, skein) == pytest.approx(guarded_factor(lot, skein, EVEN), abs=1e-8)
    assert (
        math.floor(float(length_m(lot, skein)) * 100 * guarded_factor(lot, skein, EVEN))
        == guarded_cm(lot, skein, EVEN)[0]
    )


def test_pieces_have_their_share_rounded_down_to_the_centimetre():
    skein = a_skein(length=100, shares=(Fraction(1, 3),) * 3)
    assert best_cm(a_lot(TURNS), skein) == (3333,) * 3
    half = guarded_cm(a_lot(TURNS), skein, Fraction(1, 2))
    assert half == (3333,) * 3


def test_a_length_short_of_the_centimetre_by_a_millionth_of_a_metre_counts_as_it():
    lot = a_lot(TURNS)
    assert [best_cm(lot, a_skein(length=text)) for text in ("9.9999990", "9.9999980")] == [(1000,), (999,)]


def test_no_length_is_below_zero():
    lot = a_lot(Count(Fraction(400), 0.7, False, ""), a_skein(mass=100))
    assert guarded_cm(lot, lot.skeins[0], Fraction(99, 100)) == (0,)


def test_an_empty_skein_has_no_length():
    lot = a_lot(TURNS, a_skein(mass=0))
    assert (length_m(lot, lot.skeins[0]), guarded_cm(lot, lot.skeins[0], EVEN)) == (0, (0,))


def test_mass_and_length_that_differ_by_more_than_two_uncertainties_disagree():
    # 100 g at 400 tex: 250 m; u = 250 x hypot(0.03, 1/sqrt(12)/100) and 0.0112 of the stated length
    count = Count(Fraction(400), 0.03, False, "")
    lot = a_lot(count)
    u_weighed = 250 * math.hypot(0.03, 1 / math.sqrt(12) / 100)
    stated = 266
    assert stated - 250 < 2 * math.hypot(u_weighed, 0.0112 * stated)
    assert disagreement(lot, a_skein(mass=100, length=stated)) is None
    assert 2 * math.hypot(u_weighed, 0.0112 * 268) < 18
    assert (Fraction(250), Fraction(268)) == disagreement(lot, a_skein(mass=100, length=268))


def test_one_figure_alone_has_nothing_to_disagree_with():
    assert disagreement(a_lot(TURNS), a_skein(mass=100)) is None


COUNTS = {
    "turns": TURNS,
    "sample": count_of(laid("12.4", "5.1", "0.1")),
    "sample weighed apart": count_of(laid("12.4", "5.1", "0.1", apart=True)),
    "label": read_count("420 m/100g", WOOL),
    "number": read_count("Nm 2/12", WOOL),
    "wraps": count_from_wraps(Fraction(16), WOOL),
    "class": count_from_class(CLASSES[3], WOOL),
}


@pytest.mark.parametrize("form", COUNTS)
def test_a_lot_of_two_skeins_is_as_uncertain_as_the_uncertainties_package_finds(form):
    # Two skeins with the lot's count in common: their lengths are correlated, and so the lot's total.
    ufloat = pytest.importorskip("uncertainties").ufloat
    count = COUNTS[form]
    skeins = (a_skein(mass=118), a_skein(mass=96))
    lot = a_lot(count, *skeins)
    tex = ufloat(float(count.tex), float(count.tex) * count.relative_u)
    moisture = 0.15 * 14.85 / 114.85 / math.sqrt(3)
    damp = ufloat(1, moisture) if count.apart else 1
    lengths = [1000 * ufloat(float(one.mass_g), 1 / math.sqrt(12)) * damp / tex for one in skeins]
    for length, skein in zip(lengths, skeins, strict=True):
        assert length.n == pytest.approx(float(length_m(lot, skein)), rel=1e-12)
        assert length.s / length.n == pytest.approx(relative_u(lot, skein), rel=1e-9)
    total = lengths[0] + lengths[1]
    metres = [float(length_m(lot, skein)) for skein in skeins]
    own = [length * own_u(lot, skein) for length, skein in zip(metres, skeins, strict=True)]
    assert total.s == pytest.approx(math.hypot(sum(metres) * shared_u(lot), *own), rel=1e-9)


@given(st.integers(1, 100_000), st.integers(50, 99), st.integers(50, 99))
def test_more_confidence_never_guards_more_length(tenths, one, two):
    skein = a_skein(mass=Fraction(tenths, 10))
    lot = a_lot(TURNS, skein)
    low, high = sorted((one, two))
    assert (
        guarded_cm(lot, skein, Fraction(high, 100)) <= guarded_cm(lot, skein, Fraction(low, 100)) <= best_cm(lot, skein)
    )
