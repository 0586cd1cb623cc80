"""Plan: which skein goes where, for all projects asked together."""

from __future__ import annotations

import time
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.aims import FEWEST, FIRST_AIMS, GRAMS, IDS, MUST, SKEINS
from planner.checked import check
from planner.collecting import without_collecting
from planner.instance import END_CM
from planner.plan import Plan, PlannedNeed, PlannedProject, Take, UndecidedError, YarnRun
from planner.settling import Settled, settle
from planner.stages import Limits

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Mapping, Sequence

    from patterns.projects import Project
    from planner.aims import Aim
    from planner.columns import Use
    from planner.instance import Instance
    from planner.workspace import Workspace


LATER = (GRAMS, FEWEST, SKEINS, IDS)  # once the first aims are served
SECONDS, PRICED_SECONDS = 60.0, 300.0  # time allowed unless told
MOST_LOTS, MOST_LOTS_BY_PROJECTS = 400, 2000  # planned exactly unless told


def plan(
    workspace: Workspace,
    projects: Sequence[Project],
    confidence: Fraction,
    *,
    aim: str = "grams",
    way: str | None = None,
    within: Fraction = Fraction(0),
    seconds: float | None = None,
    progress: Callable[[float, float, float], None] | None = None,
    stop: threading.Event | None = None,
) -> Plan:
    """The best plan by the aims, checked again from the files before it is returned.

    `aim`: grams, projects or lots; `way`: exact or priced, by the size of the question unless told; `within`: share of
    the bound that may be left unproved; `seconds`: time allowed, a minute unless told (five the priced way).
    Raises UndecidedError when nothing was found in time, OwnFaultError when the check refuses the plan.
    """
    way = way or ("priced" if is_large(workspace, projects) and aim != "lots" else "exact")
    allowed = seconds or (SECONDS if way == "exact" else PRICED_SECONDS)
    limits = Limits(float(within), time.monotonic() + allowed, stop, progress)
    if limits.over:
        raise UndecidedError
    if way == "priced":
        return _priced(workspace, projects, confidence, aim, limits)
    asked = instances.build(workspace.stash, workspace.patterns, projects, confidence)
    return best(workspace, asked, projects, confidence, (FIRST_AIMS[aim],), limits)


def best(
    workspace: Workspace,
    asked: Instance,
    projects: Sequence[Project],
    confidence: Fraction,
    aims: Sequence[Aim],
    limits: Limits,
    later: Sequence[Aim] = LATER,
) -> Plan:
    """The best plan of what is `asked`, checked: what must be made comes first, then the `aims`, then the `later` ones.

    The plan tells the first of the `aims`. Raises UndecidedError and OwnFaultError as `plan` does.
    """
    began = time.monotonic()
    first = aims[0]
    settled = settle(asked, [MUST, *aims], [aim for aim in later if aim not in aims], limits)
    if settled is None:
        raise UndecidedError
    must, value = (-reached for reached in settled.reached[:2])
    must_bound, bound = (-bound for bound in settled.bounds[:2])
    reached = Reached(planned_projects(settled), must, must_bound, value, bound)
    return _answer(workspace, projects, confidence, first, reached, limits.relative_gap, began)


def is_large(workspace: Workspace, projects: Sequence[Project]) -> bool:
    """Whether the question is too large to be planned exactly."""
    lots = len(workspace.stash.lots)
    return lots > MOST_LOTS or lots * len(projects) > MOST_LOTS_BY_PROJECTS


def _priced(workspace: Workspace, projects: Sequence[Project], confidence: Fraction, aim: str, limits: Limits) -> Plan:
    from planner.priced.planning import search  # noqa: PLC0415 (not for a person's stash)

    began = time.monotonic()
    found = search(workspace, projects, confidence, aim, limits)
    return _answer(workspace, projects, confidence, FIRST_AIMS[aim], found, limits.relative_gap, began, "priced")


@dataclass(frozen=True)
class Reached:
    """What was found: the projects made, how many that must be and how many could, the aim's value and its bound."""

    made: Mapping[str, PlannedProject]
    must: float
    must_bound: float
    value: float
    bound: float
    fewest: int | None = None  # lots and joins that any plan reaching as much takes at least, where that is known


@without_collecting()
def _answer(
    workspace: Workspace,
    projects: Sequence[Project],
    confidence: Fraction,
    first: Aim,
    reached: Reached,
    within: float,
    began: float,
    way: str = "exact",
) -> Plan:
    """The plan with what is proved of it, checked."""
    value, bound = reached.value, max(reached.value, reached.bound)
    proof = "best-found"
    if reached.must_bound - reached.must < 1 - MUST.step:
        proof = "optimal" if bound - value <= 2 * first.step else proof
        if proof != "optimal" and within and bound - value <= within * bound:
            proof = "within"
    answer = Plan(
        projects=tuple(reached.made.get(p.name, PlannedProject(p.name, p.pattern, None, ())) for p in projects),
        confidence=confidence,
        aim=first.name,
        aim_value=value,
        aim_bound=value if proof == "optimal" else bound,
        proof=proof,
        seconds=time.monotonic() - began,
        way=way,
        fewest=reached.fewest,
    )
    check(answer, projects, workspace)
    return answer


def planned_projects(settled: Settled) -> dict[str, PlannedProject]:
    """What was chosen and cut, project by project, in whole centimetres."""
    chosen: dict[tuple[int, str], list[Use]] = defaultdict(list)
    for use in settled.chosen():
        chosen[use.making, use.sized.need.name].append(use)
    planned = {}
    for index, making in enumerate(settled.columns.instance.makings):
        if settled.values[settled.columns.made[index]] > 0.5:
            needs = tuple(
                PlannedNeed(
                    sized.need.name,
                    sized.planned_cm,
                    tuple(_run(settled, use) for use in chosen[index, sized.need.name]),
                )
                for sized in making.needs
            )
            planned[making.project.name] = PlannedProject(making.project.name, making.pattern.id, making.size, needs)
    return planned


def _run(settled: Settled, use: Use) -> YarnRun:
    takes = sorted(
        Take(cut.strand, cut.piece.lot, cut.piece.skein, cut.piece.number, round(settled.values[cut.given]) + END_CM)
        for cut in settled.columns.cuts_by_use.get(use.key, ())
        if settled.values[cut.taken] > 0.5
    )
    lots = {lot.id: strands for lot, strands in use.yarn.lots} if use.yarn else {}
    return YarnRun(lots, settled.length_cm(use), use.stretch.part, tuple(takes))
