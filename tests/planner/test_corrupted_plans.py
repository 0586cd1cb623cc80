"""The independent check refuses plans spoilt in one place."""

from collections import Counter
from pathlib import Path

import planner
from planner.asking import ask
from planner.planning import plan
from planner.verify.check import verify
from planner.workspace import load_workspace
from tests.oracle.corrupt import corrupt

SPOILT = 2000


def test_every_spoilt_plan_is_refused():
    workspace = load_workspace(Path(planner.__file__).parent / "demo")
    projects = ask(workspace, (), every_size=False)
    good = plan(workspace, projects, workspace.projects.confidence)
    assert verify(good, projects, workspace.stash, workspace.patterns) == ()
    passed = Counter()
    for seed in range(SPOILT):
        kind, spoilt = corrupt(good, tuple(workspace.stash.lots), seed)
        if not verify(spoilt, projects, workspace.stash, workspace.patterns):
            passed[kind] += 1
    assert passed == Counter()
