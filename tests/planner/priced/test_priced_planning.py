"""Plans found at prices: never better than the exact ones, never further below them than they say, always checked."""

import json
from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner.planning import is_large, plan
from planner.workspace import Workspace
from tests.bench.generated import workspace
from tests.oracle.workspaces import random_case

NEAR = 0.02  # grams: the planner compares to a hundredth


def both_ways(workspace, projects, confidence, aim="grams"):
    return [plan(workspace, projects, confidence, aim=aim, way=way) for way in ("exact", "priced")]


def musts_made(answer, projects):
    return sum(row.made and project.must for row, project in zip(answer.projects, projects, strict=True))


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_on_tiny_questions_the_exact_plan_lies_between_what_is_found_and_what_is_proved(first):
    for seed in range(first, first + 20, 4):
        case = random_case(seed)
        drawn = Workspace(
            Path(), case.stash, MappingProxyType(case.patterns), ProjectList(case.confidence, case.projects), ()
        )
        exact, priced = both_ways(drawn, case.projects, case.confidence)
        if musts_made(priced, case.projects) < musts_made(exact, case.projects):
            assert priced.proof == "best-found", seed
            continue
        assert priced.aim_value <= exact.aim_value + NEAR, seed
        assert priced.aim_bound >= exact.aim_value - NEAR, seed
        if priced.proof == "optimal":
            assert priced.aim_value == pytest.approx(exact.aim_value, abs=NEAR), seed


@pytest.mark.parametrize("aim", ["grams", "projects"])
def test_on_a_persons_stash_it_comes_near_the_exact_plan(aim):
    drawn = workspace(40, 15, 1, 2, 15)
    projects = drawn.projects.projects
    exact, priced = both_ways(drawn, projects, drawn.projects.confidence, aim)
    assert musts_made(priced, projects) == musts_made(exact, projects)
    assert 0.97 * exact.aim_value <= priced.aim_value <= exact.aim_value + NEAR
    assert priced.aim_bound >= exact.aim_value - NEAR


def test_a_large_stash_is_planned_at_prices_the_same_each_time():
    drawn = workspace(200, 80, 1, 2, 80)
    projects = drawn.projects.projects
    assert is_large(drawn, projects)
    one, other = (plan(drawn, projects, drawn.projects.confidence) for _ in range(2))
    assert (one.projects, one.aim_value, one.aim_bound) == (other.projects, other.aim_value, other.aim_bound)
    assert one.aim_value >= 0.985 * one.aim_bound


def test_the_way_may_be_told(run):
    demo = Path(__file__).parents[3] / "planner" / "demo"
    answers = [run("plan", "--workspace", demo, "--way", way, "--json") for way in ("exact", "priced")]
    exact, priced = (json.loads(out)["totals"] for _, out, _ in answers)
    assert exact["proof"] == "optimal"
    assert 0.97 * exact["aim"] <= priced["aim"] <= exact["aim"] + NEAR
    assert priced["aim_bound"] >= exact["aim"] - NEAR


def test_time_that_is_up_at_once_still_gives_a_plan_that_holds():
    drawn = workspace(200, 80, 1, 2, 80)
    answer = plan(drawn, drawn.projects.projects, drawn.projects.confidence, seconds=0.001)
    assert answer.proof == "best-found"
    assert answer.aim_value <= answer.aim_bound


def test_what_must_be_made_is_never_given_up_for_grams():
    drawn = workspace(80, 40, 1, 4, 40)
    projects = drawn.projects.projects
    musts = tuple(project for project in projects if project.must)
    most = plan(drawn, musts, drawn.projects.confidence, aim="projects", way="exact")
    priced = plan(drawn, projects, drawn.projects.confidence, way="priced")
    assert musts_made(priced, projects) == most.aim_value > 0
