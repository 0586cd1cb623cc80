"""What to leave out for a project that is not made: the fewest, as trying every choice finds them."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner.changes.givingup import GivingUp, instead
from planner.covering import cover
from planner.planning import plan
from planner.rules.making import copy_before
from planner.show.plan import giving_up_text
from planner.workspace import Workspace
from tests.oracle.brute import answer
from tests.oracle.run import TooLongError, giving_up
from tests.oracle.workspaces import random_case


def all_can_be_made(case, projects):
    every = [replace(project, must=True) for project in projects]
    return answer(case.stash, case.patterns, every, case.confidence).must == len(every)


def told_of(seed):
    """For each project that is not made but enough alone: what is said, and whether it is the fewest."""
    case = random_case(seed)
    workspace = Workspace(
        Path(), case.stash, MappingProxyType(case.patterns), ProjectList(case.confidence, case.projects), ()
    )
    made = plan(workspace, case.projects, case.confidence)
    asked = {project.name: project for project in case.projects}
    kept = [row.project for row in made.projects if row.made]
    said = {one.project: one for one in instead(workspace, made, case.projects, case.confidence)}
    rows = cover(workspace, case.projects, case.confidence)
    for name in [row.project for row in made.projects if not row.made and not copy_before(row.project)][:3]:
        if not any(row.project == name and row.verdict == "enough" for row in rows):
            assert name not in said
            continue
        fewest = next(
            count
            for count in range(len(kept) + 1)
            for left_out in combinations(kept, count)
            if all_can_be_made(case, [asked[name], *(asked[one] for one in kept if one not in left_out)])
        )
        others = said[name].others
        rest = [asked[one] for one in kept if one not in others]
        yield len(others) == fewest and all_can_be_made(case, [asked[name], *rest])


@pytest.mark.parametrize("first", range(0, 60, 30))
def test_the_fewest_are_left_out(first):
    found = []
    for seed in range(first, first + 30):
        try:
            with giving_up():
                found += told_of(seed)
        except TooLongError:
            continue
    assert found
    assert all(found)


def test_what_must_be_made_is_said_to_be():
    assert (
        giving_up_text(GivingUp("hat", ("cowl", "vest"), ("vest",)))
        == "hat can be made if cowl and vest are left out (vest must be made)."
    )
    assert giving_up_text(GivingUp("hat", ("cowl",), ())) == "hat can be made if cowl is left out."
