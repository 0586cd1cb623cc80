"""One project in one size alone against the whole stash: how it can be made, if it can.

Most is told without the solver: a way that is found and cut shows that there is enough, a search that comes to its end
without one that there is not. What that leaves open, the exact model decides.
"""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.aims import PROJECTS
from planner.checked import check
from planner.columns import reaching
from planner.instance import Instance, suited
from planner.plan import Plan, PlannedProject, UndecidedError
from planner.reckoning import UnclearError
from planner.workers import stop_or_go_on

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.instance import Making
    from planner.reckoning import Look, Reckoning
    from planner.workspace import Workspace

SECONDS = 20.0  # one question is worth


def judge(
    workspace: Workspace, stock: Instance, making: Making, confidence: Fraction, *, best_guess: bool = False
) -> PlannedProject | None:
    """How one project in one size can be made with the whole stash, checked; None when it cannot.

    Raises UndecidedError when that was not found out in time.
    """
    from planner.planning import planned_projects  # noqa: PLC0415 (what solves is slow to load and seldom needed)
    from planner.settling import settle  # noqa: PLC0415 (as above)
    from planner.stages import Limits  # noqa: PLC0415 (as above)

    limits = Limits(deadline=time.monotonic() + SECONDS, stop=stop_or_go_on())
    settled = settle(reaching(alone(stock, making)), [PROJECTS], [], limits)
    if settled is None:
        raise UndecidedError
    made = planned_projects(settled).get(making.project.name)
    if made is None and not settled.proved:
        raise UndecidedError
    return None if made is None else _checked(workspace, making, made, confidence, best_guess=best_guess)


def made_alone(
    workspace: Workspace,
    reckoning: Reckoning,
    making: Making,
    confidence: Fraction,
    *,
    best_guess: bool = False,
) -> PlannedProject | None:
    """As `judge`, but told without the solver where that can be."""
    stop_or_go_on()
    return made_from(workspace, reckoning, making, reckoning.look(making), confidence, best_guess=best_guess)


def made_from(
    workspace: Workspace,
    reckoning: Reckoning,
    making: Making,
    look: Look,
    confidence: Fraction,
    *,
    best_guess: bool,
) -> PlannedProject | None:
    """The same, where what a search came to is known."""
    if look is None:
        return None
    if isinstance(look, UnclearError):
        one = Instance(reckoning.stock, (suited(making, reckoning.shelf),))
        return judge(workspace, one, one.makings[0], confidence, best_guess=best_guess)
    return _checked(workspace, making, look.made(making), confidence, best_guess=best_guess)


def alone(stock: Instance, making: Making) -> Instance:
    """One project in one size against the whole stash."""
    return replace(stock, makings=(making,))


def _checked(
    workspace: Workspace, making: Making, made: PlannedProject, confidence: Fraction, *, best_guess: bool
) -> PlannedProject:
    project = replace(making.project, sizes=(making.size,))
    answer = Plan((made,), confidence, "projects", 1.0, 1.0, "optimal", 0.0)
    check(answer, [project], workspace, best_guess=best_guess)
    return made
