"""How far yarns get together is never told too short, and is reached where lots are not shared."""

import random
from itertools import combinations, product
from types import MappingProxyType

import pytest

from planner import instance as instances
from planner.asking import ask
from planner.instance import END_CM
from planner.topping import furthest, in_strands, reach_at_most
from tests.bench.generated import workspace

LEAST = 3


def cut_to_strands(pieces, strands):
    """The longest run in so many strands, by trying everything: each piece gives some of its cm to some strands."""
    reached = {(0,) * strands}
    for piece in pieces:
        gives = [
            given
            for given in product(range(piece + 1), repeat=strands)
            if all(own == 0 or own >= LEAST for own in given)
            and sum(own + END_CM for own in given if own) <= piece + END_CM
        ]
        reached = {tuple(map(sum, zip(own, given, strict=True))) for own in reached for given in gives}
    return max(min(own) for own in reached)


@pytest.mark.parametrize("strands", [1, 2])
@pytest.mark.parametrize("lengths", [(9,), (8, 5), (7, 7), (9, 5, 4), (34, 3), (38,)])
def test_a_run_of_several_strands_is_as_long_as_pieces_can_be_cut_to(lengths, strands):
    # the ends of one cut are off each length already, as they are in `in_strands`
    assert in_strands(lengths, strands) == cut_to_strands(lengths, strands)


def test_two_strands_that_share_no_piece_are_as_long_as_the_shorter():
    assert in_strands([500, 300, 190], 2) == 490  # 500 and 300 + 190; cut evenly: (990 - 30) / 2 = 480


def test_two_strands_share_a_piece_where_that_reaches_further():
    assert in_strands([1000], 2) == 485  # (1000 - 30) / 2


def shared_needs(seed, lots):
    drawn = workspace(lots, 30, 1, seed)
    asked = instances.build(
        drawn.stash, drawn.patterns, ask(drawn, (), every_size=True), drawn.projects.confidence, MappingProxyType({})
    )
    for making in asked.makings:
        for sized in making.needs:
            if sized.divisible and sized.yarns:
                yield asked, making, sized


def together(asked, making, sized, most):
    """The furthest that yarns of no lot in common get, by trying every set of so many."""
    best = 0
    strangers = asked.strangers(making, sized, sized)
    for count in range(1, most + 1):
        for some in combinations(sized.yarns, count):
            apart = any(b in strangers[a] for a, b in combinations(some, 2))
            lots = [lot for yarn in some for lot in yarn.lot_ids]
            reaches = [reach_at_most(asked.stock, sized, yarn) for yarn in some]
            if not apart and len(lots) == len(set(lots)) and min(reaches) >= sized.share_cm:
                best = max(best, sum(reaches))
    return min(best, sized.planned_cm)


def test_no_yarns_get_further_together_than_is_told():
    told = 0
    for seed, found in product(range(6), (0, 1)):
        for asked, making, sized in shared_needs(seed, 8):
            if len(sized.yarns) > 8:
                continue
            most = min(sized.need.lots.most - found if sized.need.lots.most else len(sized.yarns), len(sized.yarns))
            reach = furthest(making, sized, asked.stock, found)
            tried = together(asked, making, sized, most)
            assert tried <= reach.most_cm
            assert len(reach.shares) <= most
            if not any(a.lot_ids & b.lot_ids for a, b in combinations(sized.yarns, 2)):
                assert reach.surely_cm == reach.most_cm == tried
                told += 1
    assert told > 20


def test_shortened_runs_add_up_and_none_is_too_short():
    chance = random.Random(1)
    tried = 0
    for asked, making, sized in shared_needs(3, 20):
        reach = furthest(making, sized, asked.stock)
        if not reach.shares:
            continue
        tried += 1
        length = chance.randint(sized.share_cm, reach.surely_cm)
        runs = reach.shortened(length, sized.share_cm)
        assert sum(own for _, own in runs) <= length
        assert all(sized.share_cm <= own <= dict(reach.shares)[yarn] for yarn, own in runs)
        whole = reach.shortened(reach.surely_cm, sized.share_cm)
        assert sum(own for _, own in whole) == reach.surely_cm
    assert tried > 5
