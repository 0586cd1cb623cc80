"""A plan that names what is not there is told so in plain words, and nothing is raised."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from planner.verify.check import verify
from tests.planner.hat import CREAM, SLATE, Case

MAIN, MOTIF = PlannedNeed("main", 2000, (SLATE,)), PlannedNeed("motif", 1000, (CREAM,))
HAT = PlannedProject("hat:S", "hat", "S", (MAIN, MOTIF))


def main_from(run):
    return replace(HAT, needs=(replace(MAIN, runs=(run,)), MOTIF))


def slate(*takes):
    return main_from(YarnRun({"slate": 1}, 2000, None, takes))


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([HAT, HAT], "hat:S: stands in the plan 2 times, asked for once"),
        ([HAT, HAT, HAT], "hat:S: stands in the plan 3 times, asked for once"),
        ([HAT, replace(HAT, project="cap")], "cap: stands in the plan once, asked for not at all"),
        ([replace(HAT, pattern="cap")], "hat:S: made from cap, asked for from hat"),
        ([replace(HAT, size=None)], "hat:S: not made, yet yarn is planned for it"),
        ([replace(HAT, size="XL")], "hat:S: size XL was not asked for; asked for S"),
        ([replace(HAT, needs=(MAIN,))], "hat:S, motif: planned not at all, its size asks for it once"),
        ([replace(HAT, needs=(MAIN, MAIN, MOTIF))], "hat:S, main: planned 2 times, its size asks for it once"),
        ([replace(HAT, needs=(MAIN, replace(MAIN, runs=()), MOTIF))], "hat:S, main: no yarn is planned"),
        ([main_from(YarnRun({}, 2000, None, ()))], "hat:S, main: a working yarn without any lot"),
        ([main_from(YarnRun({"rose": 1}, 2000, None, ()))], "hat:S, main: there is no lot rose"),
        ([main_from(YarnRun({"slate": 0}, 2000, None, ()))], "hat:S, main: lot slate with 0 strands"),
        ([slate(Take(1, "slate", "rose-1", 1, 2030))], "hat:S, main: there is no skein rose-1"),
        ([slate(Take(1, "rose", "slate-2", 1, 2030))], "hat:S, main: skein slate-2 is of lot slate, not rose"),
        ([slate(Take(1, "cream", "slate-2", 1, 2030))], "hat:S, main: skein slate-2 is of lot slate, not cream"),
        ([slate(Take(1, "slate", "slate-1", 0, 2030))], "hat:S, main: skein slate-1 has no piece 0"),
        ([slate(Take(1, "slate", "slate-1", 3, 2030))], "hat:S, main: skein slate-1 has no piece 3"),
    ],
)
def test_what_is_not_there_is_told(rows, words):
    plan, *files = Case().parts()
    assert words in verify(replace(plan, projects=tuple(rows)), *files)


def test_the_last_piece_of_a_skein_is_there():
    plan, *files = Case().parts()
    take = Take(1, "slate", "slate-1", 2, 530)
    told = verify(replace(plan, projects=(slate(take),)), *files)
    assert not any("has no piece" in words for words in told)


def test_a_project_asked_for_in_no_size_by_name_may_be_made_in_any():
    case = Case()
    case.project = replace(case.project, sizes=())
    assert case.broken() == ()


def test_a_pattern_that_is_not_there_stands_for_no_rule():
    plan, asked, stash, _ = Case().parts()
    other = replace(plan, projects=(replace(HAT, pattern="cap"),))
    assert verify(other, asked, stash, {}) == ("hat:S: made from cap, asked for from hat",)


@pytest.mark.parametrize("sure", ["0", "1", "1.5"])
def test_no_plan_is_never_or_always_right(sure):
    plan, *files = Case().parts()
    told = verify(replace(plan, confidence=Fraction(sure)), *files)
    assert told == (f"a plan cannot be {float(sure):.2%} sure",)


def test_a_plan_as_sure_as_was_asked_is_good():
    case = Case()
    case.asked_confidence = Fraction(1, 2)
    assert case.broken() == ()


def test_a_size_that_the_pattern_lacks_is_none_that_can_be_asked_for():
    plan, asked, *files = Case().parts()
    told = verify(replace(plan, projects=(replace(HAT, size="XL"),)), (replace(asked[0], sizes=("S", "XL")),), *files)
    assert told == ("hat:S: size XL was not asked for; asked for S, XL",)
