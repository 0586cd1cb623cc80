"""Which made projects would have to be left out for one that is not made, though there is enough for it alone."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.aims import PROJECTS
from planner.alone import made_alone
from planner.plan import UndecidedError
from planner.planning import best
from planner.reckoning import Reckoning
from planner.rules.making import copy_before
from planner.stages import Limits

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.plan import Plan
    from planner.workspace import Workspace

MOST_LOTS, MOST_PROJECTS = 60, 25  # of a person; where there is more, nothing is said
MOST = 3  # projects of which it is said
SECONDS = 10.0  # for each


@dataclass(frozen=True)
class GivingUp:
    """`others`: the fewest of the made projects to leave out for `project`; `must`: those of them that must be made."""

    project: str
    others: tuple[str, ...]
    must: tuple[str, ...]


def instead(
    workspace: Workspace, plan: Plan, projects: Sequence[Project], confidence: Fraction
) -> tuple[GivingUp, ...]:
    """For the first projects that are not made: what to leave out for each, planned anew and checked."""
    if len(workspace.stash.lots) > MOST_LOTS or len(projects) > MOST_PROJECTS:
        return ()
    return tuple(_found(workspace, plan, projects, confidence))[:MOST]


def _found(workspace: Workspace, plan: Plan, projects: Sequence[Project], confidence: Fraction) -> Iterator[GivingUp]:
    asked = {project.name: project for project in projects}
    made = [asked[row.project] for row in plan.projects if row.made]
    tried = 0
    for row in plan.projects:
        if row.made or tried == MOST or copy_before(row.project):  # nobody leaves out a hat for a second cowl
            continue
        if not _enough_alone(workspace, asked[row.project], confidence):
            continue
        tried += 1
        others = _left_out(workspace, asked[row.project], made, confidence)
        if others:
            yield GivingUp(row.project, others, tuple(name for name in others if asked[name].must))


def _enough_alone(workspace: Workspace, project: Project, confidence: Fraction) -> bool:
    asked, shelf = instances.outline(workspace.stash, workspace.patterns, [project], confidence)
    reckoning = Reckoning(shelf, asked.stock)
    try:
        return any(made_alone(workspace, reckoning, making, confidence) is not None for making in asked.makings)
    except UndecidedError:
        return False


def _left_out(workspace: Workspace, project: Project, made: Sequence[Project], confidence: Fraction) -> tuple[str, ...]:
    """The fewest that have to be; none where that was not proved in time."""
    trial = [replace(project, must=True), *(replace(other, must=False) for other in made)]
    asked = instances.build(workspace.stash, workspace.patterns, trial, confidence)
    limits = Limits(deadline=time.monotonic() + SECONDS)
    try:
        answer = best(workspace, asked, trial, confidence, (PROJECTS,), limits)
    except UndecidedError:
        return ()
    if answer.proof != "optimal" or not answer.projects[0].made:
        return ()
    return tuple(row.project for row in answer.projects[1:] if not row.made)
