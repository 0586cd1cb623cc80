"""What one more lot would unlock: the projects that are not enough now and would be with it, each asked again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone
from planner.asking import still_open
from planner.plan import UndecidedError
from planner.reckoning import Reckoning
from planner.shelf import Shelf
from planner.workers import gather, workers
from stash.lots import Stash

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from patterns.projects import Project
    from planner.instance import Instance, Making
    from planner.plan import PlannedProject
    from planner.workspace import Workspace
    from stash.lots import Lot


@dataclass(frozen=True)
class Unlocked:
    """A project that would be enough with the lot, in which sizes; grams of want x need in the size that takes most.

    `undecided`: whether it would could not be found out in the time there was.
    """

    project: str
    sizes: tuple[str, ...]
    wanted_g: Fraction
    undecided: bool = False


def unlocked(workspace: Workspace, lot: Lot, confidence: Fraction) -> tuple[Unlocked, ...]:
    """Every project of the workspace that is enough only with the lot, in the order of the list.

    Only projects with a need that the lot may serve are asked; the others stay as they are.
    """
    richer = replace(workspace, stash=with_lot(workspace.stash, lot))
    projects = still_open(workspace, every_size=True)
    after, with_it = _put(richer, projects, confidence)
    served = [making for making in after.makings if _may_serve(making, lot.id)]
    asked = tuple({making.project.name: making.project for making in served}.values())
    before, without_it = _put(workspace, asked, confidence)
    with workers(hands=1) as crew:
        now = gather(crew, lambda making: _judged(workspace, without_it, making, confidence), before.makings)
        enough = {
            making.project.name for making, (made, _) in zip(before.makings, now, strict=True) if made is not None
        }
        open_still = [making for making in served if making.project.name not in enough]
        then = gather(crew, lambda making: _judged(richer, with_it, making, confidence), open_still)
    return tuple(_summed(asked, zip(open_still, then, strict=True), richer))


def with_lot(stash: Stash, lot: Lot) -> Stash:
    """The stash with one more lot."""
    return Stash(stash.donors, dict(sorted({**stash.lots, lot.id: lot}.items())))


def _may_serve(making: Making, lot: str) -> bool:
    return any(lot in yarn.lot_ids for sized in making.needs for yarn in sized.yarns)


def _put(workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> tuple[Instance, Reckoning]:
    shelf = Shelf(tuple(workspace.stash.lots.values()))
    asked = instances.build(workspace.stash, workspace.patterns, projects, confidence, shelf=shelf)
    return asked, Reckoning(shelf, asked.stock)


def _judged(
    workspace: Workspace, reckoning: Reckoning, making: Making, confidence: Fraction
) -> tuple[PlannedProject | None, bool]:
    """How it is made, or None; and whether that is settled."""
    try:
        return made_alone(workspace, reckoning, making, confidence), True
    except UndecidedError:
        return None, False


def _summed(
    asked: tuple[Project, ...],
    answers: Iterable[tuple[Making, tuple[PlannedProject | None, bool]]],
    workspace: Workspace,
) -> Iterable[Unlocked]:
    """One row a project, sizes in their order."""
    found = list(answers)
    for project in asked:
        own = [(making, made, known) for making, (made, known) in found if making.project.name == project.name]
        made_in = [(making, made) for making, made, _ in own if made is not None]
        if made_in:
            grams = max(project.want * need_grams(making, made, workspace.stash) for making, made in made_in)
            yield Unlocked(project.name, tuple(making.size for making, _ in made_in), grams)
        elif any(not known for *_, known in own):
            yield Unlocked(project.name, tuple(making.size for making, *_ in own), Fraction(0), undecided=True)


def need_grams(making: Making, made: PlannedProject, stash: Stash) -> Fraction:
    """Grams of the needs themselves, reserve and ends apart."""
    need_m = {sized.need.name: sized.need_m for sized in making.needs}
    return sum(
        (
            need_m[need.need] * Fraction(run.length_cm, need.planned_cm) * stash.lots[lot].count.tex * strands / 1000
            for need in made.needs
            for run in need.runs
            for lot, strands in run.lots.items()
        ),
        Fraction(0),
    )
