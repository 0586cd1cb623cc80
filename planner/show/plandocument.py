"""A plan as a document for other programs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from planner.answers import ENOUGH
from planner.chance import chance_short
from planner.show.cautions import project_cautions
from planner.show.chartdocument import chart_document, stripes_document
from planner.show.documents import figure, metres
from planner.show.gathering import gathering_notes
from planner.show.plan import gap_of, giving_up_text
from planner.show.swatches import Screen
from planner.show.weighing import Scales, joins_of, lots_of, need_metres, skeins_opened, taken_grams, used_grams

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.changes.givingup import GivingUp
    from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
    from planner.workspace import Workspace

    Document = dict[str, Any]


def plan_document(plan: Plan, workspace: Workspace, instead: Sequence[GivingUp] = ()) -> Document:
    """What `plan` answers; the figures are those of the plan that was checked.

    `instead`: what to leave out for projects that are not made.
    """
    leave_out = {one.project: one for one in instead}
    scales = Scales(workspace.stash, plan.confidence)
    gap = gap_of(plan)
    return {
        "format": "lotwise/plan-1",
        "confidence": figure(plan.confidence),
        "aim": plan.aim,
        "projects": [
            _project(project, workspace, scales) | {"changes": _changes(leave_out.get(project.project))}
            for project in plan.projects
        ],
        "totals": {
            "projects_made": sum(project.made for project in plan.projects),
            "used_g": figure(used_grams(plan, workspace.stash, workspace.patterns)),
            "taken_g": figure(taken_grams(plan, scales)),
            "aim": figure(plan.aim_value),
            "aim_bound": figure(plan.aim_bound),
            "gap": gap if math.isfinite(gap) else None,
            "proof": plan.proof,
            "lots": sum(len(lots_of(project)) for project in plan.projects),
            "joins": sum(joins_of(need) for project in plan.projects for need in project.needs),
            "skeins": len(skeins_opened(plan)),
            "lots_and_joins_bound": plan.fewest,
        },
    }


def _project(project: PlannedProject, workspace: Workspace, scales: Scales) -> Document:
    return {
        "project": project.project,
        "pattern": project.pattern,
        "size": project.size,
        "made": project.made,
        "needs": [_need(need, project, workspace, scales) for need in project.needs],
        "chart": chart_document(project, workspace),
        "stripes": stripes_document(project, workspace),
        "notes": list(gathering_notes(project, workspace.patterns[project.pattern], workspace.stash, Screen())),
        "warnings": list(project_cautions(project, workspace)),
    }


def _changes(one: GivingUp | None) -> list[Document]:
    if one is None:
        return []
    return [{"change": giving_up_text(one), "leave_out": list(one.others), "verdict": ENOUGH}]


def _need(need: PlannedNeed, project: PlannedProject, workspace: Workspace, scales: Scales) -> Document:
    pattern, size = workspace.patterns[project.pattern], project.size or ""
    parts = pattern.sizes[size][need.need]
    return {
        "need": need.need,
        "need_m": figure(need_metres(pattern, size, need.need)),
        "planned_m": metres(need.planned_cm),
        "chance_short": figure(chance_short(parts, need.runs, workspace.stash, scales.confidence)),
        "yarns": [_run(run, scales) for run in need.runs],
    }


def _run(run: YarnRun, scales: Scales) -> Document:
    return {
        "lots": dict(run.lots),
        "length_m": metres(run.length_cm),
        "part": run.part,
        "skeins": [_take(take, scales) for take in run.takes],
    }


def _take(take: Take, scales: Scales) -> Document:
    return {
        "skein": take.skein,
        "piece": take.piece,
        "lot": take.lot,
        "strand": take.strand,
        "take_m": metres(take.take_cm),
        "take_g": figure(scales.grams(take)),
    }
