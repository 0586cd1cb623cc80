"""What a plan says in total is what its rows say."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Plan
from planner.verify.facts import Facts
from planner.verify.guarded import pieces_cm
from planner.verify.totals import grams_used, lots_and_joins, lots_finished, projects_made
from stash.lots import Skein, Stash
from tests.planner.hat import HERE, LOTS, Case, run


def facts(case):
    return Facts(*case.parts(), False)


def test_grams_are_weighed_by_how_much_a_project_is_wanted():
    case = Case()
    case.project = replace(case.project, want=Fraction(3))
    case.grams = 22.5  # 3 x 7.5
    assert case.broken() == ()


def test_grams_leave_the_reserve_out():
    """10 % more is planned of slate and cream, 22 m and 11 m; what counts is 20 m and 10 m of 250 tex."""
    case = Case()
    case.project = replace(case.project, reserve=Fraction(1, 10))
    case.planned = {"main": 2200, "motif": 1100}
    case.runs = {
        "main": (run({"slate": 1}, 2200, (1, "slate-2", 1, 2230)),),
        "motif": (run({"cream": 1}, 1100, (1, "cream-2", 1, 1130)),),
    }
    assert case.broken() == ()
    assert grams_used(facts(case)) == Fraction(15, 2)


def test_a_project_made_counts_one():
    case = Case()
    case.aim, case.grams = "projects", 1.0
    assert case.broken() == ()
    assert projects_made(facts(case)) == 1


@pytest.mark.parametrize(("cm", "finished"), [(3601, 1), (3600, 0)])
def test_a_lot_is_finished_when_nine_tenths_of_it_are_given(cm, finished):
    """The lot holds 40 m and 40 m; 72 m of them are nine tenths, woven-in ends aside."""
    case = Case()
    case.sizes["S"]["main"] = {None: replace(case.sizes["S"]["main"][None], metres=Fraction(cm + 3599, 100))}
    takes = ((1, "slate-1", 1, 2930), (1, "slate-1", 2, cm - 2900 + 30), (1, "slate-2", 1, 3629))
    case.runs["main"] = (run({"slate": 1}, cm + 3599, *takes),)
    assert lots_finished(facts(case)) == finished


def test_a_lot_that_holds_nothing_is_not_finished():
    case = Case()
    empty = replace(LOTS["slate"], id="empty", skeins=())
    case.lots["empty"] = empty
    assert lots_finished(facts(case)) == 0


def test_lots_and_joins_are_counted_for_each_project():
    """Slate in two pieces, which is one join, and cream in one: two lots and a join."""
    case = Case()
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-1", 1, 1030), (1, "slate-2", 1, 1030)),)
    assert lots_and_joins(facts(case)) == 3


@pytest.mark.parametrize("proof", ["optimal", "within", "best-found"])
def test_a_plan_says_what_is_proved(proof):
    case = Case()
    case.proof = proof
    assert case.broken() == ()


def test_a_proof_of_another_name_is_told():
    case = Case()
    case.proof = "sure"
    assert case.broken() == ("the plan says it is proved to be 'sure'",)


def test_the_best_possible_may_be_told_a_hundredth_of_a_gram_short():
    case = Case()
    case.bound = 7.51
    assert case.broken() == ()
    case.bound = 7.5101
    assert len(case.broken()) == 1


@pytest.mark.parametrize(("grams", "told"), [(7.5 + 7e-6, 0), (7.5 - 7e-6, 0), (7.5 + 8e-6, 1), (7.5 - 8e-6, 1)])
def test_a_total_may_be_off_by_a_millionth_of_itself(grams, told):
    case = Case()
    case.grams = grams
    assert len(case.broken()) == told


def test_a_skein_that_weighs_nothing_gives_nothing():
    nothing = Skein("slate-3", Fraction(0), None, Fraction(1), (Fraction(1),), False, HERE)
    plan = Plan((), Fraction(95, 100), "grams", 0.0, 0.0, "optimal", 0.0)
    stash = Stash({}, dict(LOTS))
    assert pieces_cm(Facts(plan, (), stash, {}, False), LOTS["slate"], nothing) == (0,)


@pytest.mark.parametrize(("off", "told"), [(7, 0), (-7, 0), (8, 1), (-8, 1)])
def test_of_a_large_total_a_millionth_is_more(off, told):
    """7.5 g wanted a million times over."""
    case = Case()
    case.project = replace(case.project, want=Fraction(1_000_000))
    case.grams = 7_500_000.0
    case.bound = case.grams + off
    assert len(case.broken()) == told
    case.bound, case.grams = None, case.grams + off
    assert len(case.broken()) == told
