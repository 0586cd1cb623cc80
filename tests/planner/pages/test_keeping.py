"""What is short is asked again for a page, unless that would take too long."""

from dataclasses import replace

from planner.pages.keeping import asked_again, what_is_short
from planner.plan import PlannedProject
from planner.workers import Stop, StoppedError
from stash.lots import Stash


def test_what_is_short_is_not_asked_where_that_would_take_too_long(shown):
    stopped = Stop()
    stopped.set()
    projects = asked_again(shown.workspace, shown.plan)
    assert what_is_short(shown.workspace, shown.plan, projects, stopped) == ()
    lots = {f"{at:03}": shown.workspace.stash.lots["cream"] for at in range(401)}
    many = replace(shown.workspace, stash=Stash({}, lots))
    assert what_is_short(many, shown.plan, projects, Stop()) == ()


def test_a_question_that_is_stopped_is_left_out(shown, monkeypatch):
    def stopped(*_, **__):
        raise StoppedError

    monkeypatch.setattr("planner.shortfall.shortfall", stopped)
    assert what_is_short(shown.workspace, shown.plan, asked_again(shown.workspace, shown.plan), Stop()) == ()


def test_projects_that_are_there_no_more_are_not_asked_again(shown):
    gone = replace(shown.plan, projects=(PlannedProject("gone", "gone", None, ()), *shown.plan.projects))
    assert asked_again(shown.workspace, gone) == asked_again(shown.workspace, shown.plan)
    assert len(asked_again(shown.workspace, gone)) == len(shown.plan.projects)
