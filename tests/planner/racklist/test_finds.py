"""A find as a lot and as a file; the kinds of yarn that are worth a try."""

from fractions import Fraction

import pytest

from planner.racklist.finds import FIBRES, Kind, find_lot, find_text
from planner.yarns import WorkingYarn
from stash.colour import read_colour
from stash.fibre import read_blend
from stash.lengths import length_m
from stash.read import read_stash
from stash.weightclass import m_per_100g

KIND = Kind(Fraction(230), read_blend("cotton"), read_colour("#2f6f8f"))


def test_a_find_is_as_thick_as_wool_of_its_count():
    """Cotton of 1.52 g/cm3 (Morton & Hearle, Table 5.1) as thick as wool of 230 m/100g: 230 x 1.31 / 1.52 = 198.22."""
    assert float(m_per_100g(find_lot(KIND, 100, "find").count.tex)) == pytest.approx(198.2237, abs=1e-4)


@pytest.mark.parametrize("each", [None, Fraction(3, 2)])
def test_the_file_of_a_find_reads_as_the_find(each):
    lot = find_lot(KIND, 400, "find", each_m=each)
    read = read_stash([("find.yaml", find_text(lot).encode())])
    assert read.faults == ()
    own = read.stash.lots["find"]
    assert (own.count.tex, own.felts, own.bleeds, own.colour.lab) == (
        lot.count.tex,
        lot.felts,
        lot.bleeds,
        lot.colour.lab,
    )
    assert [skein.shares for skein in own.skeins] == [skein.shares for skein in lot.skeins]
    for mine, theirs in zip(lot.skeins, own.skeins, strict=True):
        assert float(length_m(lot, mine)) == pytest.approx(float(length_m(own, theirs)), abs=0.006)


def test_a_find_in_short_lengths_holds_its_metres_to_the_centimetre():
    lot = find_lot(KIND, 400, "find", each_m=Fraction(3, 2))
    held = sum(skein.length_m for skein in lot.skeins)
    assert 0 <= 400 - held < len(lot.skeins) * Fraction(1, 100)  # each skein to the centimetre
    assert sum(len(skein.shares) for skein in lot.skeins) == 266  # 400 / 1.5, none shorter


@pytest.mark.parametrize("fibre", FIBRES)
@pytest.mark.parametrize("end", [190, 273])
def test_a_find_at_the_end_of_a_range_of_thickness_lies_within_it(fibre, end):
    """Limits are inclusive, to 1e-6: rounding its count must not make a find too thick or too thin."""
    lot = find_lot(Kind(Fraction(end), read_blend(fibre), KIND.colour), 1, "find")
    assert WorkingYarn(((lot, 1),)).wool_m_per_100g == pytest.approx(end, rel=0, abs=1e-6)
