"""A plan, or one for each of several folders: a question with all that it takes, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner import planning
from planner.changes import givingup
from planner.workers import StoppedError, stop_in_hand

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable
    from fractions import Fraction

    from patterns.projects import Project
    from planner.changes.givingup import GivingUp
    from planner.plan import Plan
    from planner.workspace import Workspace


@dataclass(frozen=True)
class Question:
    """What is to be planned, and how; see `planning.plan`."""

    workspace: Workspace
    projects: tuple[Project, ...]
    confidence: Fraction
    aim: str
    way: str | None
    within: Fraction
    seconds: float | None


@dataclass(frozen=True)
class Outcome:
    """A checked plan, and what to leave out for projects that are not made."""

    plan: Plan
    instead: tuple[GivingUp, ...]


def planned(
    question: Question,
    stop: threading.Event | None,
    progress: Callable[[float, float, float], None] | None = None,
) -> Outcome:
    """Raises what `planning.plan` raises."""
    workspace, projects, sure = question.workspace, question.projects, question.confidence
    found = planning.plan(
        workspace,
        projects,
        sure,
        aim=question.aim,
        way=question.way,
        within=question.within,
        seconds=question.seconds,
        progress=progress,
        stop=stop,
    )
    try:
        instead = () if stop is not None and stop.is_set() else givingup.instead(workspace, found, projects, sure)
    except StoppedError:
        instead = ()
    return Outcome(found, instead)


def attempted(question: Question) -> Outcome | Exception:
    """As `planned` where the work is shared out; one that fails does not stop the others."""
    try:
        return planned(question, stop_in_hand())
    except Exception as error:  # noqa: BLE001 (told in its place, beside the plans that were found)
        return error
