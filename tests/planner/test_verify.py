"""The independent check accepts good plans, at the limits too, and knows what a piece may give."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, YarnRange
from planner.plan import Plan
from planner.verify.facts import Facts
from planner.verify.guarded import pieces_cm
from stash.colour import difference
from stash.lengths import best_cm, guarded_cm
from stash.lots import Skein, Stash
from tests.oracle.workspaces import random_case
from tests.planner.hat import HERE, LOTS, Case, need, run


def test_the_hat_is_a_good_plan():
    assert Case().broken() == ()


def test_as_many_lots_and_joins_as_it_takes_may_be_called_the_fewest():
    case = Case()
    case.fewest = 2  # slate and cream
    assert case.broken() == ()


def test_a_project_that_is_not_made_takes_nothing_and_is_good():
    case = Case()
    case.size, case.runs, case.grams = None, {}, 0.0
    assert case.broken() == ()


def test_two_alternating_yarns_of_a_quarter_at_least_are_good():
    case = Case()
    case.two_yarns(LotRule("alternate", 2, 5.0), 1500, 500)
    assert case.broken() == ()


def test_a_piece_folded_to_hold_it_double_is_two_pieces_and_good():
    case = Case()
    case.runs["main"] = (run({"slate": 2}, 1000, (1, "slate-2", 1, 1030), (2, "slate-2", 1, 1030)),)
    case.planned["main"] = 1000
    case.sizes["S"]["main"] = {None: Amount(Fraction(10), 0.05)}
    assert case.broken() == ()


def test_parts_of_one_need_may_come_from_lots_that_look_alike():
    case = Case()
    case.change_need("main", lots=LotRule("by-part", None, 5.0))
    case.sizes["S"]["main"] = {"body": Amount(Fraction(15), 0.05), "cuff": Amount(Fraction("4.995"), 0.05)}
    case.runs["main"] = (
        run({"slate": 1}, 1500, (1, "slate-2", 1, 1530), part="body"),
        run({"sky": 1}, 500, (1, "sky-1", 2, 530), part="cuff"),
    )
    case.grams = (15 + 4.995) * 0.25 + 2.5
    assert case.broken() == ()


def test_a_stretch_shorter_than_the_least_piece_may_come_from_one_short_piece():
    case = Case()
    case.sizes["S"]["motif"] = {None: Amount(Fraction(3), 0.05)}
    case.runs["motif"] = (run({"cream": 1}, 300, (1, "cream-1", 2, 330)),)
    case.planned["motif"], case.grams = 300, 5.75
    assert case.broken() == ()


def test_a_rule_that_points_at_a_need_the_size_lacks_asks_nothing():
    case = Case()
    case.needs["edging"] = need("edging")
    rule = ColourRule(
        against=("edging",), lighter_than=("edging",), darker_than=("edging",), same_as=("edging",), not_in=("edging",)
    )
    case.change_need("main", colour=rule)
    case.order = ("main", "edging", "motif")
    assert case.broken() == ()


def test_limits_are_inclusive():
    case = Case()
    slate, cream = LOTS["slate"].colour, LOTS["cream"].colour
    case.change_need(
        "main",
        yarn=YarnRange(Fraction(400), Fraction(400), "400"),
        colour=ColourRule(near=cream, within=difference(slate, cream)),
    )
    case.change_need(
        "motif", colour=ColourRule(lighter_than=("main",), lighter_lightness=cream.lightness - slate.lightness)
    )
    case.change_need("main", fibre=FibreRule(at_least={"wool": Fraction(1)}, at_most={"animal": Fraction(1)}))
    assert case.broken() == ()


def test_a_best_guess_plan_counts_on_lengths_as_they_are_and_on_no_reserve():
    case = Case()
    case.project = replace(case.project, reserve=Fraction(1, 10))
    assert case.rules_broken() == ["planned_lengths", "stretches_filled", "aim_recounted"]
    case.best_guess = True
    assert case.broken() == ()


def test_a_plan_whose_search_was_ended_before_it_knew_a_bound_may_not_call_itself_the_best():
    case = Case()
    case.bound, case.proof = math.inf, "best-found"
    assert case.broken() == ()
    case.proof = "optimal"
    assert case.broken() == ("the plan says it is the best possible, yet inf grams might be",)


def test_a_fibre_that_is_not_allowed_may_be_in_within_its_own_limit():
    case = Case()
    case.runs["main"] = (run({"mist": 1}, 2000, (1, "mist-2", 1, 2030)),)
    rule = FibreRule(allow=frozenset({"animal"}), at_most={"synthetic": Fraction(2, 5)})
    case.change_need("main", fibre=rule)
    assert case.broken() == ()


@pytest.mark.parametrize("seed", range(60))
def test_what_a_piece_may_give_is_what_the_stash_says(seed):
    """Two separate workings of one rule, on lots drawn at random."""
    case = random_case(seed)
    plan = Plan((), case.confidence, "grams", 0.0, 0.0, "optimal", 0.0)
    sure = Facts(plan, (), case.stash, case.patterns, False)
    guess = replace(sure, best_guess=True)
    for one in case.stash.lots.values():
        for skein in one.skeins:
            assert guarded_cm(one, skein, case.confidence) == pieces_cm(sure, one, skein)
            assert best_cm(one, skein) == pieces_cm(guess, one, skein)


def test_damp_counts_where_the_sample_was_weighed_apart():
    """Wool, R 17 %: half-width 0.15 x 17 / 117 = 2.18 %, standard 1.26 %; with 2 % for a count in tex, 2.363 %.

    100 g of 250 tex are 400 m; less 1.6449 x 2.363 % of them, 384.453 m.
    """
    one = LOTS["slate"]
    one = replace(one, count=replace(one.count, apart=True))
    skein = Skein("slate-3", Fraction(100), None, Fraction(0), (Fraction(1),), False, HERE)
    plan = Plan((), Fraction(95, 100), "grams", 0.0, 0.0, "optimal", 0.0)
    facts = Facts(plan, (), Stash({}, {one.id: one}), {}, False)
    assert pieces_cm(facts, one, skein) == (38445,)
    assert guarded_cm(one, skein, Fraction(95, 100)) == pieces_cm(facts, one, skein)
