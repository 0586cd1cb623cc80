"""A saved plan beside the files and the ledger as they stand now: the yarn it may count on, and what is others'."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.asking import AskError, ask
from planner.ledger.free import free
from planner.verify.check import verify
from stash.faults import Fault, FaultyFilesError, Place

if TYPE_CHECKING:
    from planner.plan import Plan
    from planner.saved import Saved
    from planner.workspace import Workspace

Aside = dict[tuple[str, str], dict[str, int]]  # (lot, skein) -> project -> centimetres


@dataclass(frozen=True)
class Stand:
    """The workspace that holds a plan's yarn; `past`: only as the files have it, for some of it is used by now."""

    workspace: Workspace
    past: bool


def stand(saved: Saved, workspace: Workspace) -> Stand:
    """Find it. What is set aside for the plan's own projects is theirs.

    Raises FaultyFilesError where the plan does not hold in the files any more.
    """
    own = {project.project for project in saved.plan.projects}
    standing = workspace.books.standing
    others = {project: held for project, held in standing.aside.items() if project not in own}
    now = replace(workspace, stash=free(workspace.written, replace(standing, aside=others)))
    for past, one in ((False, now), (True, replace(workspace, stash=workspace.written))):
        broken = _broken(saved.plan, one)
        if not broken:
            return Stand(one, past)
    raise FaultyFilesError(
        tuple(
            Fault(
                Place(saved.file, 1, 1),
                f"the plan does not hold any more: {words}",
                "plan again: lotwise plan --save NAME",
            )
            for words in broken
        )
    )


def set_aside(workspace: Workspace, plan: Plan) -> Aside:
    """What is set aside for projects that are not in the plan."""
    own = {project.project for project in plan.projects}
    found: Aside = defaultdict(lambda: defaultdict(int))
    for project, all_held in workspace.books.standing.aside.items():
        if project in own:
            continue
        for held in all_held:
            found[held.taking.lot, held.taking.skein][project] += held.taking.cm
    return found


def _broken(plan: Plan, workspace: Workspace) -> tuple[str, ...]:
    made = tuple(project for project in plan.projects if project.made)
    if not made:
        return ()
    try:
        asked = ask(workspace, tuple(project.project for project in made), every_size=False)
    except AskError as error:
        return (f"{error}; {error.hint}",)
    return verify(replace(plan, projects=made), asked, workspace.stash, workspace.patterns, totals=False)
