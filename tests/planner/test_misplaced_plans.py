"""Of plans changed into what might well be true, the check passes those that are right and no others."""

from collections import Counter
from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner.planning import plan
from planner.verify.check import verify
from planner.workspace import Workspace
from tests.oracle.corrupt import misplace
from tests.oracle.judge import right
from tests.oracle.workspaces import random_case

EACH = 40  # changes to a plan


@pytest.mark.parametrize("first", range(0, 60, 10))
def test_two_checks_that_share_nothing_agree(first):
    told = Counter()
    for seed in range(first, first + 10):
        case = random_case(seed)
        files = (case.stash, case.patterns)
        asked = ProjectList(case.confidence, case.projects)
        workspace = Workspace(Path(), case.stash, MappingProxyType(case.patterns), asked, ())
        good = plan(workspace, case.projects, case.confidence)
        assert right(good, *files, case.projects)
        for number in range(EACH if any(row.made for row in good.projects) else 0):
            kind, changed = misplace(good, *files, EACH * seed + number)
            passed = verify(changed, case.projects, *files) == ()
            told["both pass" if passed else "both refuse"] += 1
            assert (seed, kind, right(changed, *files, case.projects)) == (seed, kind, passed)
    assert min(told["both pass"], told["both refuse"]) > 0
