"""One project alone is asked no more once the work in hand is to end."""

from functools import partial
from pathlib import Path

import pytest

from planner.asking import ask
from planner.priced.searching import Search
from planner.racklist.finds import kinds
from planner.racklist.listing import rack_list
from planner.racklist.trials import Trials
from planner.reckoning import Reckoning
from planner.shortfall import shortfall
from planner.workers import IN_TURN, Stop, StoppedError, gather
from planner.workspace import load_workspace

DEMO = Path(__file__).resolve().parents[2] / "planner" / "demo"


@pytest.fixture(scope="module")
def asked():
    workspace = load_workspace(DEMO)
    return workspace, ask(workspace, (), every_size=False), workspace.projects.confidence


@pytest.mark.parametrize("work", [shortfall, rack_list])
def test_once_it_is_told_to_end_it_asks_for_no_other_project(asked, work, monkeypatch):
    workspace, projects, sure = asked
    stop, served, serve = Stop(), [], Reckoning.serve

    def serve_and_stop(self, making, *others, **named):
        served.append(making.project.name)
        stop.set()
        return serve(self, making, *others, **named)

    monkeypatch.setattr(Reckoning, "serve", serve_and_stop)
    with pytest.raises(StoppedError):
        gather(IN_TURN, partial(work, workspace, confidence=sure), [projects], stop)
    assert served == [projects[0].name]


def test_once_it_is_told_to_end_it_looks_at_no_other_kind_of_yarn(asked):
    trials, stop = Trials(*asked), Stop()
    stop.set()
    with pytest.raises(StoppedError):
        gather(IN_TURN, trials.suited_by, list(kinds([one.making for one in trials.open])), stop)


def test_once_it_is_told_to_end_it_hears_that_within_a_search_too(asked, monkeypatch):
    stop, run = Stop(), Search.run
    workspace, projects, sure = asked

    def stop_and_run(search):
        stop.set()
        run(search)
        raise AssertionError

    monkeypatch.setattr(Search, "run", stop_and_run)
    with pytest.raises(StoppedError):
        gather(IN_TURN, partial(shortfall, workspace, confidence=sure), [projects], stop)
