"""Laws that hold whatever the best plan is."""

import shutil
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

import planner
from patterns.projects import ProjectList
from planner.asking import ask
from planner.covering import cover
from planner.planning import plan
from planner.workspace import Workspace, load_workspace
from tests.oracle.workspaces import random_case

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
