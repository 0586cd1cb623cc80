"""The other projects of a workspace: which are enough, and which stay so beside a plan."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone
from planner.asking import ask
from planner.plan import UndecidedError
from planner.reckoning import Reckoning
from planner.workers import share_out

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from collections.abc import Set as AbstractSet
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Making, Piece
    from planner.plan import PlannedProject
    from planner.workers import Crew
    from planner.workspace import Workspace


class Others:
    """The workspace's other projects, and which stay possible beside an option."""

    def __init__(
        self,
        workspace: Workspace,
        stock: Mapping[str, tuple[Piece, ...]],
        own: Project,
        confidence: Fraction,
        crew: Crew,
    ) -> None:
        others = [project for project in ask(workspace, (), every_size=False) if project.place != own.place]
        self._workspace, self._confidence, self._crew = workspace, confidence, crew
        self._asked, self._shelf = instances.outline(workspace.stash, workspace.patterns, others, confidence)
        self._ways: dict[str, list[PlannedProject]] = {project.name: [] for project in others}
        self._possible(stock, tuple(self._ways))
        self.enough = tuple(name for name, ways in self._ways.items() if ways)

    def beside(self, made: PlannedProject) -> tuple[str, ...]:
        """Those that are still enough with what the option leaves."""
        taken = _taken(made)
        left = {
            lot: tuple(replace(p, length_cm=p.length_cm - taken[lot, p.skein, p.number]) for p in pieces)
            for lot, pieces in self._asked.stock.items()
        }
        room = {(lot, p.skein, p.number): p.length_cm for lot, pieces in left.items() for p in pieces}
        easy = {name for name in self.enough if any(_fits(way, room) for way in self._ways[name])}
        hard = self._possible(left, [name for name in self.enough if name not in easy])
        return tuple(name for name in self.enough if name in easy or name in hard)

    def _possible(self, stock: Mapping[str, tuple[Piece, ...]], names: Sequence[str]) -> AbstractSet[str]:
        """Those for which a way is found in the stock; every way is kept, for it may do beside another option too."""
        ways = partial(_ways, self._workspace, Reckoning(self._shelf, stock), self._asked.makings, self._confidence)
        found = share_out(self._crew, ways, names)
        for name, way in zip(names, found, strict=True):
            if way is not None:
                self._ways[name].append(way)
        return {name for name, way in zip(names, found, strict=True) if way is not None}


def _ways(
    workspace: Workspace, reckoning: Reckoning, makings: Sequence[Making], confidence: Fraction, names: Sequence[str]
) -> list[PlannedProject | None]:
    """For each project a way to make it, in the first of its sizes for which there is one."""
    return [
        _way(workspace, reckoning, [own for own in makings if own.project.name == name], confidence) for name in names
    ]


def _way(
    workspace: Workspace, reckoning: Reckoning, sizes: Sequence[Making], confidence: Fraction
) -> PlannedProject | None:
    for making in sizes:
        try:
            made = made_alone(workspace, reckoning, making, confidence)
        except UndecidedError:
            continue
        if made is not None:
            return made
    return None


def _taken(made: PlannedProject) -> Counter[tuple[str, str, int]]:
    """What is taken of each piece, in cm."""
    taken: Counter[tuple[str, str, int]] = Counter()
    for need in made.needs:
        for run in need.runs:
            for take in run.takes:
                taken[take.lot, take.skein, take.piece] += take.take_cm
    return taken


def _fits(way: PlannedProject, room: Mapping[tuple[str, str, int], int]) -> bool:
    return all(length <= room[piece] for piece, length in _taken(way).items())
