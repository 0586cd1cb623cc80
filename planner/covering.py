"""Cover: which projects the stash can cover, each project and size alone against the whole free stash."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.aims import PROJECTS
from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED, CoverNeed, CoverRow, CoverYarn
from planner.missing import least_missing
from planner.plan import Plan, PlannedProject
from planner.planning import UndecidedError, check, planned_projects
from planner.settling import settle
from planner.stages import Limits
from planner.workers import stop_or_go_on

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Instance, Making
    from planner.workspace import Workspace

SECONDS = 20.0  # one question is worth


def cover(workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> tuple[CoverRow, ...]:
    """A row for every project and size, in the order asked."""
    asked, guessed = instances.build_twice(workspace.stash, workspace.patterns, projects, confidence)
    questions = zip(asked.makings, guessed.makings, strict=True)
    return tuple(_row(workspace, (asked, guessed), both, confidence) for both in questions)


def judge(
    workspace: Workspace, stock: Instance, making: Making, confidence: Fraction, *, best_guess: bool = False
) -> PlannedProject | None:
    """How one project in one size can be made with the whole stash, checked; None when it cannot.

    Raises UndecidedError when that was not found out in time.
    """
    limits = Limits(deadline=time.monotonic() + SECONDS, stop=stop_or_go_on())
    settled = settle(alone(stock, making), [PROJECTS], [], limits)
    if settled is None:
        raise UndecidedError
    made = planned_projects(settled).get(making.project.name)
    if made is None and not settled.proved:
        raise UndecidedError
    if made is not None:
        project = replace(making.project, sizes=(making.size,))
        answer = Plan((made,), confidence, "projects", 1.0, 1.0, "optimal", 0.0)
        check(answer, [project], workspace, best_guess=best_guess)
    return made


def alone(stock: Instance, making: Making) -> Instance:
    """One project in one size against the whole stash."""
    return replace(stock, makings=(making,))


def _row(
    workspace: Workspace, stocks: tuple[Instance, Instance], both: tuple[Making, Making], confidence: Fraction
) -> CoverRow:
    (asked, guessed), (making, guess) = stocks, both
    try:
        made = judge(workspace, asked, making, confidence)
        if made is not None:
            return _covered(making, made)
        tight = judge(workspace, guessed, guess, confidence, best_guess=True)
    except UndecidedError:
        return _answer(making, UNDECIDED, ())
    missing = least_missing(alone(asked, making))
    if missing is None or missing.total_cm == 0:  # a second opinion: nothing is short that lacks nothing
        return _answer(making, UNDECIDED, ())
    needs = tuple(
        CoverNeed(
            sized.need.name,
            sized.need_m,
            sized.planned_cm,
            missing.short_cm[sized.need.name],
            missing.yarns[sized.need.name],
        )
        for sized in making.needs
    )
    return _answer(making, SHORT if tight is None else TIGHT, needs)


def _covered(making: Making, made: PlannedProject) -> CoverRow:
    sized = {own.need.name: own for own in making.needs}
    needs = tuple(
        CoverNeed(
            need.need,
            sized[need.need].need_m,
            need.planned_cm,
            0,
            tuple(CoverYarn(run.lots, run.length_cm) for run in need.runs),
        )
        for need in made.needs
    )
    return _answer(making, ENOUGH, needs)


def _answer(making: Making, verdict: str, needs: tuple[CoverNeed, ...]) -> CoverRow:
    return CoverRow(making.project.name, making.pattern.id, making.size, verdict, needs)
