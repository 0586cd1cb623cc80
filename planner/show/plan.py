"""What `plan` says: a winding list, then what is left, what is not made, and what is proved."""

from __future__ import annotations

import math
import shlex
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.cautions import felting_caution
from planner.show.chart import chart_text
from planner.show.stripes import stripes_text
from planner.show.tables import fold, table
from planner.show.weighing import Scales, joins_of, leftovers, lots_of, skeins_opened, taken_grams, takes_of, used_grams
from planner.show.winding import project_text
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.changes.givingup import GivingUp
    from planner.plan import Plan
    from planner.show.swatches import Screen
    from planner.workspace import Workspace
    from stash.units import System

_SWATCH_FIRST = (
    "Swatch each working yarn before you trust a line of this: the metres hold at the pattern's gauge and at no other."
)


def gap_of(plan: Plan) -> float:
    """How far the plan may be from the best, as a share of the best; 0 when both are 0, inf when nothing is known."""
    if not math.isfinite(plan.aim_bound):
        return math.inf
    if plan.aim_bound == plan.aim_value:
        return 0.0
    return max(0.0, (plan.aim_bound - plan.aim_value) / plan.aim_bound)


def proof_text(plan: Plan) -> str:
    """What is proved, in plain words."""
    gap = gap_of(plan)
    if plan.proof == "optimal":
        return "best possible"
    if plan.proof == "within":
        return f"within {words.percent_at_most(gap)} of the best possible"
    sure = f", at most {words.percent_at_most(gap)} below the best possible" if math.isfinite(gap) else ""
    return f"best found in {words.duration(plan.seconds)}{sure}"


def plan_text(plan: Plan, workspace: Workspace, screen: Screen, instead: Sequence[GivingUp] = ()) -> str:
    """All of the sections, with a line between them."""
    return "\n\n".join(plan_sections(plan, workspace, screen, instead))


def plan_sections(plan: Plan, workspace: Workspace, screen: Screen, instead: Sequence[GivingUp] = ()) -> Iterator[str]:
    """The answer in a line or two, then the winding list of each project, what is left, and what is not made.

    `instead`: what to leave out for projects that are not made.
    """
    if not plan.projects:
        yield "Nothing is asked: projects.yaml lists no projects."
        return
    made = [project for project in plan.projects if project.made]
    scales = Scales(workspace.stash, plan.confidence)
    yield fold(_summary(plan, workspace, scales, screen.units))
    for project in made:
        yield project_text(project, workspace, scales, screen)
        yield from filter(None, (chart_text(project, workspace, screen), stripes_text(project, workspace, screen)))
    if made:
        yield _left_text(plan, scales, screen)
    if len(made) < len(plan.projects):
        yield _not_made([project.project for project in plan.projects if not project.made], instead)
    if made:
        lots = sorted({take.lot for project in made for take in takes_of(project)})
        yield fold(_SWATCH_FIRST)
        if caution := felting_caution(workspace.stash.lots[lot] for lot in lots):
            yield fold(caution)


def _summary(plan: Plan, workspace: Workspace, scales: Scales, units: System) -> str:
    made = sum(project.made for project in plan.projects)
    used = used_grams(plan, workspace.stash, workspace.patterns)
    taken = taken_grams(plan, scales)
    head = f"{made} of {words.counted(len(plan.projects), 'project')} made: {proof_text(plan)}."
    if not made:
        return head
    they = "It uses" if made == 1 else "They use"
    text = f"{head} {they} {show_mass(used, units)} of yarn; with reserve and ends, wind off {show_mass(taken, units)}."
    return text if plan.way == "exact" else f"{text} {_spared(plan)}"


def _spared(plan: Plan) -> str:
    """What the later aims come to, and how much fewer it might be."""
    lots = sum(len(lots_of(project)) for project in plan.projects)
    joins = sum(joins_of(need) for project in plan.projects for need in project.needs)
    counts = (
        f"{words.counted(lots, 'lot')} (counted for each project) and {words.counted(joins, 'join')}, "
        f"from {words.counted(len(skeins_opened(plan)), 'skein')}"
    )
    if plan.fewest is None:
        return f"That takes {counts}; whether fewer would do is not known."
    if plan.fewest == lots + joins:
        return f"That takes {counts}; no fewer lots and joins would do."
    return f"That takes {counts}; no plan as good has fewer than {plan.fewest} lots and joins together."


def _left_text(plan: Plan, scales: Scales, screen: Screen) -> str:
    left, untouched = leftovers(plan, scales)
    rows = [
        (
            screen.swatch(each.lot.colour),
            safe_text(each.lot.id),
            show_mass(each.mass_g, screen.units),
            show_length(each.length_cm / 100, screen.units),
            str(each.whole_skeins),
        )
        for each in left
    ]
    lines = ["What is left of the lots used:"]
    lines.append(table(rows, ("colour", "lot", "mass", "at least", "whole skeins"), "llrrr", wrap=1, indent="  "))
    if untouched:
        lines.append(fold(f"Not touched: {', '.join(map(safe_text, untouched))}.", hanging="  "))
    return "\n".join(lines)


def _not_made(names: list[str], instead: Sequence[GivingUp]) -> str:
    asked = " ".join(shlex.quote(safe_text(name)) for name in names[:3])
    lines = [fold(f"Not made: {', '.join(map(safe_text, names))}.", hanging="  ")]
    lines += [fold(giving_up_text(one), hanging="  ") for one in instead]
    lines.append(f"What is missing for them: lotwise shortfall {asked}{' ...' if len(names) > 3 else ''}")
    return "\n".join(lines)


def giving_up_text(one: GivingUp) -> str:
    """What to leave out for a project that is not made."""
    must = f" ({words.listing(map(safe_text, one.must))} must be made)" if one.must else ""
    others = words.listing(map(safe_text, one.others))
    return f"{safe_text(one.project)} can be made if {others} {'is' if len(one.others) == 1 else 'are'} left out{must}."
