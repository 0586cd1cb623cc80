"""A plan is checked again from the files, by code that shares nothing with the model, before anybody sees it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.verify.check import verify

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.projects import Project
    from planner.plan import Plan
    from planner.workspace import Workspace


class OwnFaultError(Exception):
    """An answer that did not pass its check: our own fault, never shown as an answer. `bundle`: what to report."""

    def __init__(self, bundle: str) -> None:
        super().__init__(bundle)
        self.bundle = bundle


def check(answer: Plan, projects: Sequence[Project], workspace: Workspace, *, best_guess: bool = False) -> None:
    """Raise OwnFaultError unless the independent check finds the plan good."""
    broken = verify(answer, tuple(projects), workspace.stash, workspace.patterns, best_guess=best_guess)
    if broken:
        raise OwnFaultError("\n".join([*broken, "", repr(answer)]))
