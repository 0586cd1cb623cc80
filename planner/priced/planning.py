"""Plan for a large stash: ways to make each project at prices, the best of them together, cut and made better."""

from __future__ import annotations

import math
import random
import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from planner import instance as instances
from planner.instance import END_CM
from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from planner.priced.choosing import Choice, dive, improve
from planner.priced.market import Market
from planner.priced.store import Store
from planner.priced.ways import Inside

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Instance, Making
    from planner.priced.ways import Way
    from planner.shelf import Shelf
    from planner.stages import Limits
    from planner.workspace import Workspace

ENOUGH = 0.002  # share of the worth: what asking around again has to bring
CLOSE = 0.003  # of the bound: how near the weighing comes to it before ways are chosen whole
GOOD = 0.01  # of the bound: near enough where nobody asked for nearer
SPREADS, PROOFS = 12, 15  # at most
TOGETHER = 60  # projects decided anew together
TRIES = 60  # of that, at most


@dataclass(frozen=True)
class Found:
    """What was found: every project, the value of the aim and its bound, and the same of the projects that must be made."""

    projects: dict[str, PlannedProject]
    value: float
    bound: float
    must: int
    must_bound: int


@dataclass
class _Question:
    instance: Instance
    shelf: Shelf
    limits: Limits
    began: float

    def __post_init__(self) -> None:
        self.store = Store(self.shelf, self.instance.stock)
        self.least = min(
            (stretch.least_cm for making in self.instance.makings for own in making.needs for stretch in own.stretches),
            default=1,
        )
        self.holds = self.store.holds(self.least)
        names = list(dict.fromkeys(making.project.name for making in self.instance.makings))
        number = {name: place for place, name in enumerate(names)}
        self.projects = [number[making.project.name] for making in self.instance.makings]
        self.musts = frozenset(number[m.project.name] for m in self.instance.makings if m.project.must)

    def insides(self, aim: str) -> list[Inside]:
        """Every making, worth what the aim counts."""
        return [
            Inside(
                self.store,
                index,
                making,
                1.0 if aim == "projects" else 0.0,
                float(making.project.want) if aim == "grams" else 0.0,
            )
            for index, making in enumerate(self.instance.makings)
        ]

    def over(self) -> bool:
        return self.limits.over


def search(workspace: Workspace, projects: Sequence[Project], confidence: Fraction, aim: str, limits: Limits) -> Found:
    """The best plan found, uncut by nothing but the pieces; `aim`: grams or projects."""
    outlined, shelf = instances.outline(workspace.stash, workspace.patterns, projects, confidence)
    question = _Question(outlined, shelf, limits, time.monotonic())
    needed, must_bound, first = _musts(question)
    choice, bound = _best(question, question.insides(aim), needed, first)
    must = len(choice.made & question.musts)
    return Found(_planned(question, choice), choice.worth, bound, must, must_bound)


def _musts(question: _Question) -> tuple[frozenset[int], int, list[Way]]:
    """The projects that must be made and can all be, the most there could be, and ways to make them together."""
    if not question.musts:
        return frozenset(), 0, []
    insides = [
        replace(inside)
        for inside in question.insides("projects")
        if question.projects[inside.index] in question.musts
    ]
    choice, bound = _best(question, insides, frozenset(), [], target=0.0)
    return frozenset(choice.made), math.floor(bound + 1e-6), list(choice.ways.values())


def _best(
    question: _Question,
    insides: list[Inside],
    needed: frozenset[int],
    first: Sequence[Way],
    target: float | None = None,
) -> tuple[Choice, float]:
    """The best ways found for these makings together, and what no ways are better than."""
    limits = question.limits
    target = (limits.relative_gap or GOOD) if target is None else target
    projects = [question.projects[inside.index] for inside in insides]
    market = Market(insides, projects, question.holds, needed, question.over)
    market.add([_worth(way, insides, question) for way in first])
    _weigh(market, target)
    choice = Choice(question.instance, {own.index: own for own in insides}, question.projects, question.holds.copy(), question.least)
    dive(choice, market)
    if not needed <= choice.made:
        choice = _with(choice.empty(question.holds.copy()), market, first, insides, question)
    _improve(choice, market, question, target)
    return choice, market.bound
