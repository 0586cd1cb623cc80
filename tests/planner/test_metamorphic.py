"""Laws that hold whatever the best plan is."""

import shutil
import time
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

import planner
from patterns.projects import ProjectList
from planner import aims, columns, instance
from planner.aims import GRAMS, MUST
from planner.asking import ask
from planner.covering import cover
from planner.planning import plan
from planner.rules import stock
from planner.settling import settle
from planner.stages import Limits
from planner.workspace import Workspace, load_workspace
from tests.oracle.workspaces import random_case

ENDS_DOUBLED = 60  # cm, of two woven-in ends
DEMO = Path(planner.__file__).parent / "demo"


@pytest.mark.parametrize("seed", range(40))
def test_one_more_lot_never_makes_an_enough_project_short(seed):
    case = random_case(seed)
    projects = tuple(replace(project, pins={}) for project in case.projects)
    every = Workspace(Path(), case.stash, MappingProxyType(case.patterns), ProjectList(case.confidence, projects), ())
    lots = dict(list(case.stash.lots.items())[:-1])
    fewer = replace(every, stash=replace(case.stash, lots=lots))
    rank = {"short": 0, "tight": 1, "enough": 2}
    before = [rank[row.verdict] for row in cover(fewer, projects, case.confidence)]
    after = [rank[row.verdict] for row in cover(every, projects, case.confidence)]
    assert [worse for old, worse in zip(before, after, strict=True) if worse < old] == []


def test_the_order_of_the_files_changes_nothing(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")
    files = sorted((tmp_path / "demo" / "stash").glob("*.yaml"))
    for number, file in enumerate(reversed(files)):
        file.rename(file.with_name(f"a{number}.yaml"))
    plans = []
    for folder in (DEMO, tmp_path / "demo"):
        workspace = load_workspace(folder)
        made = plan(workspace, ask(workspace, (), every_size=False), workspace.projects.confidence)
        plans.append(replace(made, seconds=0.0))
    assert plans[0] == plans[1]


def doubled(asked):
    """The same question with every length twice as long."""
    pieces_of = {
        lot: tuple(replace(piece, length_cm=2 * piece.length_cm) for piece in pieces)
        for lot, pieces in asked.stock.items()
    }
    makings = tuple(
        replace(
            making,
            needs=tuple(
                replace(
                    sized,
                    need_m=2 * sized.need_m,
                    stretches=tuple(
                        replace(own, planned_cm=2 * own.planned_cm, least_cm=2 * own.least_cm)
                        for own in sized.stretches
                    ),
                )
                for sized in making.needs
            ),
        )
        for making in asked.makings
    )
    return instance.Instance(pieces_of, makings)


@pytest.mark.parametrize("seed", range(30))
def test_every_length_doubled_doubles_the_plan(seed, monkeypatch):
    case = random_case(seed)
    asked = instance.build(case.stash, case.patterns, case.projects, case.confidence)
    limits = Limits(deadline=time.monotonic() + 60)
    once = settle(asked, [MUST, GRAMS], [], limits)
    for module in (instance, columns, aims, stock):
        monkeypatch.setattr(module, "END_CM", ENDS_DOUBLED)
    twice = settle(doubled(asked), [MUST, GRAMS], [], limits)
    assert (once.proved, twice.proved) == (True, True)
    assert round(twice.reached[0]) == round(once.reached[0])
    assert twice.reached[1] == pytest.approx(2 * once.reached[1], abs=0.05)  # the grid is half as coarse
