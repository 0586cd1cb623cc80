"""Samples in a stash file: by difference, and several of one lot, pooled."""

from fractions import Fraction

import pytest

from stash.read import read_stash
from tests.stash.measured import count_of, laid, wound

LOT = """\
lots:
  slate:
    fibre: wool
    colour: navy
    count: COUNT
    skeins: {slate-1: 90 g}
"""


def read(count):
    found = read_stash([("stash.yaml", LOT.replace("COUNT", count).encode())])
    assert [fault for fault in found.faults if not fault.warning] == []
    return found.stash.lots["slate"].count


def test_a_mass_may_be_the_difference_of_two_readings():
    count = read("{turns: 120, around: 1.5 m, before: 118 g, after: 76 g}")
    assert (Fraction(700, 3), "120 turns of 1.5 m, 118 g less 76 g") == (count.tex, count.text)
    assert count.relative_u > read("{turns: 120, around: 1.5 m, mass: 42 g}").relative_u


def test_each_reading_has_the_step_it_is_written_with():
    coarse = read("{length: 9 m, before: 9 g, after: 5 g}")
    mixed = read("{length: 9 m, before: 9 g, after: 5.0 g}")
    stated = read("{length: 9 m, before: 9 g, after: 5 g, scale: 0.1 g}")
    assert coarse.tex == mixed.tex == stated.tex
    assert stated.relative_u < mixed.relative_u < coarse.relative_u


def test_the_scale_before_may_be_read_down_to_nothing():
    assert read("{length: 9 m, before: 5 g, after: 0 g}").tex == Fraction(5000, 9)


@pytest.mark.parametrize("lines", [False, True])
def test_a_list_of_samples_is_pooled(lines):
    one, two = "{turns: 120, around: 1.5 m, mass: 42 g}", "{length: 12.4 m, mass: 2.9 g, scale: 0.1 g}"
    count = read(f"\n      - {one}\n      - {two}" if lines else f"[{one}, {two}]")
    expected = count_of(wound(120, "1.5", 42), laid("12.4", "2.9", "0.1"))
    assert (expected.tex, expected.relative_u, "2 samples") == (count.tex, count.relative_u, count.text)


def test_a_list_of_one_sample_is_that_sample():
    one = "{turns: 120, around: 1.5 m, mass: 42 g}"
    assert read(f"[{one}]") == read(one)


def test_a_sample_of_one_step_of_the_scale_is_the_least_that_it_shows():
    assert read("{length: 2.3 m, mass: 1 g, scale: 1 g}").tex == Fraction(1000) / Fraction("2.3")
    less = LOT.replace("COUNT", "{length: 2.3 m, mass: 0.9 g, scale: 1 g}").encode()
    assert not all(fault.warning for fault in read_stash([("stash.yaml", less)]).faults)
