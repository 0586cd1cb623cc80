"""The brute force's two engines give what counting every whole number gives."""

import random
from fractions import Fraction
from itertools import product

import pytest

from tests.oracle import cutting
from tests.oracle.cutting import Strand
from tests.oracle.exact_lp import greatest_whole


@pytest.mark.parametrize("seed", range(10))
def test_the_greatest_whole_point_is_the_one_found_by_counting(seed):
    chance = random.Random(seed)
    for _ in range(60):
        n = chance.randint(1, 3)
        rows = [
            ([chance.randint(-3, 3) for _ in range(n)], chance.randint(-6, 12)) for _ in range(chance.randint(0, 5))
        ]
        rows += [([int(i == j) for j in range(n)], chance.randint(0, 6)) for i in range(n)]
        aim = [Fraction(chance.randint(-4, 6), chance.randint(1, 3)) for _ in range(n)]
        values = [
            sum(a * x for a, x in zip(aim, point, strict=True))
            for point in product(range(7), repeat=n)
            if all(sum(c * x for c, x in zip(row, point, strict=True)) <= right for row, right in rows)
        ]
        assert max(values, default=None) == greatest_whole(aim, rows)


@pytest.fixture
def short_ends(monkeypatch):
    """Ends of 1, so that every cut of short pieces can be counted."""
    monkeypatch.setattr(cutting, "ENDS", 1)
    cutting.ways.cache_clear()
    yield
    cutting.ways.cache_clear()


def can_be_cut(pieces, strands, lengths):
    """Whether the strands can be cut to these lengths: strand by strand, every way to give from every piece."""
    states = {pieces}
    for strand, length in zip(strands, lengths, strict=True):
        gives = [given for given in product(range(length + 1), repeat=len(pieces)) if sum(given) == length]
        gives = [given for given in gives if all(g == 0 or g >= strand.least for g in given)]
        after = {tuple(c - g - (g > 0) for c, g in zip(left, given, strict=True)) for left in states for given in gives}
        states = {left for left in after if min(left) >= 0}
    return bool(states)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.usefixtures("short_ends")
def test_a_lot_is_cut_whenever_counting_finds_a_cut(seed):
    chance = random.Random(seed)
    for _ in range(30):
        pieces = tuple(chance.randint(1, 9) for _ in range(chance.randint(1, 3)))
        lengths = [chance.randint(1, 8) for _ in range(chance.randint(1, 3))]
        strands = tuple(sorted(Strand(min(chance.randint(1, 4), length), length, "", "") for length in lengths))
        expected = can_be_cut(pieces, strands, [strand.fixed for strand in strands])
        assert expected == bool(cutting.ways(pieces, strands))


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.usefixtures("short_ends")
def test_the_lengths_a_lot_may_give_are_those_counting_finds(seed):
    chance = random.Random(seed)
    for _ in range(20):
        pieces = tuple(chance.randint(2, 8) for _ in range(chance.randint(1, 3)))
        fixed = chance.randint(1, 5)
        least = chance.randint(1, 3)
        strands = tuple(sorted([Strand(least, 0, "free", ""), Strand(min(least, fixed), fixed, "", "")]))
        found = cutting.ways(pieces, strands)
        for length in range(least, 10):
            lengths = [length if strand.free else fixed for strand in strands]
            expected = can_be_cut(pieces, strands, lengths)
            actual = any(all(key[0] * length <= right for key, right in way.room) for way in found)
            assert expected == actual
