"""Cover: which projects the stash can cover, each project and size alone against the whole free stash."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone, made_from
from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED, CoverNeed, CoverRow, CoverYarn
from planner.lacking import what_is_missing
from planner.plan import PlannedProject, UndecidedError
from planner.reckoning import Reckoning, Served, alike
from planner.workers import IN_TURN, gather

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Making
    from planner.reckoning import Look
    from planner.shelf import Shelf
    from planner.workers import Crew
    from planner.workspace import Workspace


def cover(
    workspace: Workspace, projects: Sequence[Project], confidence: Fraction, crew: Crew = IN_TURN
) -> tuple[CoverRow, ...]:
    """A row for every project and size, in the order asked; what takes long is shared out to the threads of a crew."""
    asked, shelf = instances.outline(workspace.stash, workspace.patterns, projects, confidence)
    guessed = instances.guessed(workspace.stash, workspace.patterns, projects)
    sides = tuple(Reckoning(shelf, side.stock) for side in (asked, guessed))
    question = _Question(workspace, confidence, shelf, sides[0], sides[1])
    looks = first_looks(question.asked, asked.makings)
    return tuple(gather(crew, question.row, list(zip(asked.makings, guessed.makings, looks, strict=True))))


def first_looks(reckoning: Reckoning, makings: Sequence[Making]) -> list[Look]:
    """What serves each making; a pattern's largest size first, for the others are like it."""
    found: list[Look] = [None] * len(makings)
    largest: dict[str, tuple[Making, Served]] = {}
    for place in sorted(range(len(makings)), key=lambda own: -sum(sized.planned_cm for sized in makings[own].needs)):
        making = makings[place]
        before, served = largest.get(making.pattern.id, (None, None))
        like = served if before is not None and alike(before, making) else None
        found[place] = look = reckoning.look(making, like)
        if isinstance(look, Served):
            largest[making.pattern.id] = (making, look)
    return found


@dataclass(frozen=True)
class _Question:
    workspace: Workspace
    confidence: Fraction
    shelf: Shelf
    asked: Reckoning
    guessed: Reckoning

    def row(self, asked: tuple[Making, Making, Look]) -> CoverRow:
        """Of a making as it is guarded, as it is guessed, and what was found out about it at first."""
        making, guess, look = asked
        try:
            made = made_from(self.workspace, self.asked, making, look, self.confidence, best_guess=False)
            if made is not None:
                return _covered(making, made)
            tight = made_alone(self.workspace, self.guessed, guess, self.confidence, best_guess=True)
        except UndecidedError:
            return _answer(making, UNDECIDED, ())
        lacks = what_is_missing(self.asked, instances.suited(making, self.shelf))
        if lacks is None or lacks.total_cm == 0:  # a second opinion: nothing is short that lacks nothing
            return _answer(making, UNDECIDED, ())
        needs = tuple(
            CoverNeed(name, own.need_m, own.planned_cm, lacks.short_cm[name], lacks.yarns[name])
            for own in making.needs
            for name in [own.need.name]
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
