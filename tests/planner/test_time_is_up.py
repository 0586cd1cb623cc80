"""Where time is up before a question is settled, that is what is said: nothing is claimed of it, either way."""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner import alone, missing
from planner import instance as instances
from planner.answers import SHORT, UNDECIDED
from planner.asking import ask
from planner.changes import givingup
from planner.changes.finding import changes
from planner.changes.givingup import instead
from planner.covering import cover
from planner.midway.asking import ask_midway
from planner.midway.others import others
from planner.midway.reach import reach
from planner.planning import plan
from planner.reckoning import Reckoning, UnclearError
from planner.shelf import Shelf
from planner.workspace import Workspace, load_workspace
from tests.oracle.workspaces import random_case

DEMO = Path(__file__).parents[2] / "planner" / "demo"
SURE = Fraction(95, 100)


@pytest.fixture
def no_time(monkeypatch):
    """Every question is left to the solver, and there is no time for any."""
    monkeypatch.setattr(Reckoning, "serve", unclear)
    for module in (alone, missing, givingup):
        monkeypatch.setattr(module, "SECONDS", 0.0)


def unclear(*_args, **_named):
    raise UnclearError


def drawn(seed):
    case = random_case(seed)
    asked = ProjectList(case.confidence, case.projects)
    return case, Workspace(Path(), case.stash, MappingProxyType(case.patterns), asked, ())


def test_cover_claims_only_what_it_knows_without_the_solver(monkeypatch):
    """In these cases it is the solver that finds enough; it is asked about some of the projects only."""
    for seed in (20, 50, 100):
        case, workspace = drawn(seed)
        known = cover(workspace, case.projects, case.confidence)
        with monkeypatch.context() as hurried:
            hurried.setattr(alone, "SECONDS", 0.0)
            hurried.setattr(missing, "SECONDS", 0.0)
            rows = cover(workspace, case.projects, case.confidence)
        verdicts = [row.verdict for row in rows]
        assert UNDECIDED in verdicts
        assert all(
            row in (replace(row, verdict=UNDECIDED, needs=()), then) for row, then in zip(rows, known, strict=True)
        )


def test_what_to_leave_out_is_not_said(no_time):
    workspace = load_workspace(DEMO)
    asked = ask(workspace, (), every_size=False)
    assert instead(workspace, plan(workspace, asked, SURE, way="priced"), asked, SURE) == ()


def test_a_garment_opens_no_project_then_and_each_is_named(run, no_time):
    code, out, _ = run("rack", "buoy-guernsey", "--workspace", DEMO)
    assert code == 0
    assert "Not settled in the time there was: breakwater:M, gannet-hat, pilot-hat," in " ".join(out.split())
    _, out, _ = run("rack", "buoy-guernsey", "--workspace", DEMO, "--json")
    assert {row["settled"] for row in json.loads(out)["unlocks"]} == {False}


@pytest.mark.parametrize("asked", [(), ("--list",)])
def test_nothing_is_said_to_be_missing_then(run, no_time, asked):
    code, out, _ = run("shortfall", "pilot-hat", "heather-vest", *asked, "--workspace", DEMO)
    assert code == 4
    assert "ot settled in the time there was" in out
    assert "ook for " not in out.replace("Nothing to look for", "")


def test_what_is_still_to_be_knitted_is_not_judged(no_time):
    workspace = load_workspace(DEMO)
    body = {
        "--need": "main",
        "--part": "body",
        "--rows": "90 of 150",
        "--left": ["slate=96g"],
        "--began": ["slate=276g"],
    }
    knitting = ask_midway(workspace, "breakwater:M", body)
    told = others(workspace, knitting, reach(knitting, float(SURE)), SURE)
    assert told
    assert {need.verdict for need in told} == {UNDECIDED}


def test_the_list_for_the_rack_is_the_same_where_only_the_least_length_was_not_reckoned(run, monkeypatch):
    """It is then sought from one metre on."""
    asked = ("shortfall", "storm-mitts:adult", "--list", "--json", "--workspace", DEMO)
    _, known, _ = run(*asked)
    assert [find["unlocks"][0]["project"] for find in json.loads(known)["finds"]] == ["storm-mitts:adult"]
    monkeypatch.setattr(missing, "SECONDS", 0.0)
    assert run(*asked)[1] == known


def test_no_change_is_named_that_was_not_proved(monkeypatch):
    workspace = load_workspace(DEMO)
    asked = ask(workspace, ("storm-mitts:adult",), every_size=False)
    shelf = Shelf(tuple(workspace.stash.lots.values()))
    put = instances.build(workspace.stash, workspace.patterns, asked, SURE, shelf=shelf)
    (making,), reckoning = put.makings, Reckoning(shelf, put.stock)
    assert changes(workspace, making, SURE, reckoning, SHORT)
    monkeypatch.setattr(Reckoning, "serve", unclear)
    monkeypatch.setattr(alone, "SECONDS", 0.0)
    assert changes(workspace, making, SURE, reckoning, SHORT) == ()


def test_what_to_leave_out_is_said_only_where_that_was_weighed_to_the_end(monkeypatch):
    """In the demo the vest can be made if the pullover is left out."""
    workspace = load_workspace(DEMO)
    asked = ask(workspace, ("pilot-hat", "heather-vest", "gull-vest:M", "moss-vest", "breakwater:M"), every_size=False)
    made = plan(workspace, asked, SURE)
    assert ("gull-vest:M", ("breakwater:M",)) in [
        (one.project, one.others) for one in instead(workspace, made, asked, SURE)
    ]
    with monkeypatch.context() as few:
        few.setattr(givingup, "MOST_PROJECTS", len(asked) - 1)
        assert instead(workspace, made, asked, SURE) == ()
    monkeypatch.setattr(givingup, "SECONDS", 0.0)
    assert instead(workspace, made, asked, SURE) == ()
