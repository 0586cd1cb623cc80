"""Options: several truly different ways to make one project, best first, and what each is good at."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.aims import FEWEST, GRAMS, PROJECTS
from planner.asking import AskError
from planner.moods import leaning
from planner.others import Others
from planner.plan import UndecidedError
from planner.planning import LATER, best
from planner.stages import Limits
from planner.workers import IN_TURN
from planner.yarns import WorkingYarn
from stash.colour import difference

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Instance, Making
    from planner.plan import Plan, PlannedNeed, PlannedProject
    from planner.workers import Crew
    from planner.workspace import Workspace
    from stash.colour import Colour

SECONDS = 20.0  # all the options together
NEAR = 0.01  # how near the best each after the first comes
USUAL, MOST = 6, 20


@dataclass(frozen=True)
class Role:
    """A working yarn in a need: its share of all that is knitted."""

    need: str
    yarn: WorkingYarn
    share: float


@dataclass(frozen=True)
class Contrast:
    """How far two roles lie apart in lightness (L*) at the least."""

    one: str
    other: str
    lightness: float


@dataclass(frozen=True)
class Option:
    """One way to make the project; `asked_apart`: mean colour difference from the colours asked for, None without any.

    `others`: of the workspace's other projects that are enough now (`others_before` of them), those that stay so
    beside it.
    """

    plan: Plan
    roles: tuple[Role, ...]
    contrasts: tuple[Contrast, ...]
    grams: float
    lots: int
    asked_apart: float | None
    others: tuple[str, ...]
    others_before: int
    good_at: tuple[str, ...] = ()

    @property
    def made(self) -> PlannedProject:
        return self.plan.projects[0]

    @property
    def least_contrast(self) -> float | None:
        return min((contrast.lightness for contrast in self.contrasts), default=None)


@dataclass(frozen=True)
class Options:
    """`complete`: no further option exists, or as many were found as asked; else time was up."""

    project: Project
    options: tuple[Option, ...]
    complete: bool


def how_many(asked: int | None) -> int:
    """How many options are wanted, six unless told. Raises AskError outside 1 to 20."""
    if asked is None:
        return USUAL
    if not 1 <= asked <= MOST:
        raise AskError(f"--options {asked} is out of bounds", f"write a number from 1 to {MOST}")
    return asked


def options(
    workspace: Workspace,
    project: Project,
    confidence: Fraction,
    number: int,
    crew: Crew = IN_TURN,
    *,
    mood: str | None = None,
    seconds: float = SECONDS,
) -> Options:
    """Up to `number` ways, each checked: the best plan, then each within 1 % of the best that is unlike those before.

    Two differ when in one need at least the eye would notice (rule `truly_different`). With a `mood` the best is what
    leans to it most. All are of the size that the first one has.
    """
    limits = Limits(deadline=time.monotonic() + seconds)
    aims = (GRAMS,) if mood is None else (PROJECTS, leaning(mood))
    asked = instances.build(workspace.stash, workspace.patterns, [project], confidence)
    found: list[Plan] = []
    complete = True
    while len(found) < number:
        try:
            plan = best(workspace, asked, [project], confidence, aims, limits, LATER if not found else (FEWEST,))
        except UndecidedError:
            complete = False
            break
        made = plan.projects[0]
        if not made.made:
            complete = plan.proof == "optimal"
            break
        found.append(plan)
        limits = replace(limits, relative_gap=NEAR)
        makings = tuple(making for making in asked.makings if making.size == made.size)
        asked = replace(asked, makings=makings, before=(*asked.before, _colours(workspace, made)))
    return Options(project, _judged(workspace, asked, found, confidence, crew), complete)


def _judged(
    workspace: Workspace, asked: Instance, found: Sequence[Plan], confidence: Fraction, crew: Crew
) -> tuple[Option, ...]:
    """The options with what can be said of each."""
    others = Others(workspace, asked.stock, asked.makings[0].project, confidence, crew) if found else None
    judged = []
    for plan in found:
        made = plan.projects[0]
        making = next(making for making in asked.makings if making.size == made.size)
        judged.append(
            Option(
                plan,
                _roles(workspace, made),
                _contrasts(workspace, making, made),
                _grams(workspace, making, made),
                len({lot for need in made.needs for run in need.runs for lot in run.lots}),
                _asked_apart(workspace, making, made),
                others.beside(made) if others else (),
                len(others.enough) if others else 0,
            )
        )
    return tuple(replace(option, good_at=_good_at(option, judged)) for option in judged)


def _yarns(workspace: Workspace, need: PlannedNeed) -> list[tuple[WorkingYarn, int]]:
    """A need's working yarns with their lengths in cm, each once."""
    lengths: dict[tuple[tuple[str, int], ...], int] = {}
    for run in need.runs:
        key = tuple(sorted(run.lots.items()))
        lengths[key] = lengths.get(key, 0) + run.length_cm
    lots = workspace.stash.lots
    return [(WorkingYarn(tuple((lots[lot], n) for lot, n in key)), length) for key, length in lengths.items()]


def _colours(workspace: Workspace, made: PlannedProject) -> Mapping[str, tuple[Colour, ...]]:
    return {need.need: tuple(yarn.colour for yarn, _ in _yarns(workspace, need)) for need in made.needs}


def _roles(workspace: Workspace, made: PlannedProject) -> tuple[Role, ...]:
    whole = sum(run.length_cm for need in made.needs for run in need.runs)
    return tuple(
        Role(need.need, yarn, length / whole) for need in made.needs for yarn, length in _yarns(workspace, need)
    )


def _contrasts(workspace: Workspace, making: Making, made: PlannedProject) -> tuple[Contrast, ...]:
    """The roles that are told to stand out from each other; where none is, every two."""
    colours = _colours(workspace, made)
    pairs = list(combinations(colours, 2))
    told = [
        (one, other) for one, other in pairs if other in _set_against(making, one) or one in _set_against(making, other)
    ]
    return tuple(
        Contrast(one, other, min(abs(a.lightness - b.lightness) for a in colours[one] for b in colours[other]))
        for one, other in told or pairs
    )


def _set_against(making: Making, need: str) -> tuple[str, ...]:
    rule = making.pattern.needs[need].colour
    return (*rule.against, *rule.lighter_than, *rule.darker_than)


def _grams(workspace: Workspace, making: Making, made: PlannedProject) -> float:
    """Grams of the needs themselves."""
    need_m = {sized.need.name: float(sized.need_m) for sized in making.needs}
    return sum(
        need_m[need.need] * length / need.planned_cm * float(yarn.tex) / 1000
        for need in made.needs
        for yarn, length in _yarns(workspace, need)
    )


def _asked_apart(workspace: Workspace, making: Making, made: PlannedProject) -> float | None:
    apart = [
        difference(colour, near)
        for need, colours in _colours(workspace, made).items()
        if (near := making.pattern.needs[need].colour.near) is not None
        for colour in colours
    ]
    return sum(apart) / len(apart) if apart else None


def _good_at(option: Option, among: Sequence[Option]) -> tuple[str, ...]:
    """What no other option is better at, where not all are alike in it."""
    measures: dict[str, list[float | None]] = {
        "most yarn used": [one.grams for one in among],
        "clearest contrast": [one.least_contrast for one in among],
        "fewest lots": [-one.lots for one in among],
        "closest to the colours asked": [None if one.asked_apart is None else -one.asked_apart for one in among],
        "keeps most other projects possible": [len(one.others) for one in among],
    }
    at = among.index(option)
    good = []
    for words, values in measures.items():
        known = [round(value, 2) for value in values if value is not None]
        if len(known) == len(among) > 1 and len(set(known)) > 1 and known[at] == max(known):
            good.append(words)
    return tuple(good)
