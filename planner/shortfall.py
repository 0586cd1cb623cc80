"""Shortfall: what is missing for each project that is not enough, what to look for, and what would make it work."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED, LookFor, ProjectShortfall, Refusal, ShortNeed
from planner.changes import changes
from planner.covering import alone, judge
from planner.missing import Missing, least_missing, reach_cm
from planner.planning import UndecidedError
from planner.suits import refusals
from planner.wanted import wanted_colour, wanted_fibre
from planner.yarns import WorkingYarn

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.projects import Project
    from planner.instance import Instance, Making, SizedNeed
    from planner.workspace import Workspace

YIELD = Fraction(85, 100)  # of a donor's mass that becomes usable yarn; common practice, no source
NEAR = 4  # refused lots named for a need


def shortfall(workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> tuple[ProjectShortfall, ...]:
    """An answer for every project, in the order asked; those that are enough have nothing missing."""
    asked = instances.build(workspace.stash, workspace.patterns, projects, confidence)
    guessed = instances.build(workspace.stash, workspace.patterns, projects, confidence, best_guess=True)
    return tuple(_project(workspace, asked, guessed, project, confidence) for project in projects)


def _project(
    workspace: Workspace, asked: Instance, guessed: Instance, project: Project, confidence: Fraction
) -> ProjectShortfall:
    try:
        return _decided(workspace, asked, guessed, project, confidence)
    except UndecidedError:
        return ProjectShortfall(project.name, project.pattern, project.sizes[0], UNDECIDED, (), ())


def _decided(
    workspace: Workspace, asked: Instance, guessed: Instance, project: Project, confidence: Fraction
) -> ProjectShortfall:
    tries = [(own, guess) for own, guess in zip(asked.makings, guessed.makings, strict=True) if own.project is project]
    for making, _ in tries:
        if judge(workspace, asked, making, confidence) is not None:
            needs = tuple(ShortNeed(sized.need.name, 0, None, None, ()) for sized in making.needs)
            return ProjectShortfall(project.name, project.pattern, making.size, ENOUGH, needs, ())
    judged = [
        (
            judge(workspace, guessed, guess, confidence, best_guess=True) is None,
            least_missing(alone(asked, making)),
            making,
        )
        for making, guess in tries
    ]
    known = [
        (short, missing.total_cm, place, missing, making)
        for place, (short, missing, making) in enumerate(judged)
        if missing
    ]
    if not known:
        return ProjectShortfall(project.name, project.pattern, tries[0][0].size, UNDECIDED, (), ())
    short, _, _, missing, making = min(known, key=lambda one: one[:3])
    needs = tuple(_need(workspace, asked, making, sized, missing) for sized in making.needs)
    verdict = SHORT if short else TIGHT
    found = changes(workspace, making, confidence)
    return ProjectShortfall(project.name, project.pattern, making.size, verdict, needs, found)


def _need(workspace: Workspace, asked: Instance, making: Making, sized: SizedNeed, missing: Missing) -> ShortNeed:
    name = sized.need.name
    kind = missing.kinds[name]
    if kind is None:
        return ShortNeed(name, 0, None, None, ())
    length = missing.look_cm[name]
    low, high = sized.need.yarn.low, sized.need.yarn.high
    thick = low if low > 0 else THICKEST
    mass = length / thick
    colour, near = wanted_colour(making, sized, missing.serving)
    look = LookFor(
        length,
        float(mass),
        (low, high),
        wanted_fibre(making, sized),
        colour,
        near,
        float(mass / YIELD),
    )
    return ShortNeed(name, missing.short_cm[name], kind, look, _refused(workspace, asked, making, sized, missing))


THICKEST = Fraction(20)  # m/100 g: the thick end of the thickest class, where a range has none


def _refused(
    workspace: Workspace, asked: Instance, making: Making, sized: SizedNeed, missing: Missing
) -> tuple[Refusal, ...]:
    """The lots that came nearest, each with why it does not serve; those that suit but do not reach come first."""
    setting = instances.setting_of(making.project, making.pattern, sized.need)
    reasons = refusals(sized.need, setting, tuple(workspace.stash.lots.values()))
    longest = max(sized.stretches, key=lambda stretch: stretch.planned_cm)
    ranked = []
    for lot in workspace.stash.lots.values():
        reach = reach_cm(asked.stock, WorkingYarn(((lot, 1),)), longest, sized.need.joins)
        if lot.id in reasons:
            ranked.append((len(reasons[lot.id]), -reach, lot.id, reasons[lot.id]))
        else:
            ranked.append((0, -reach, lot.id, (_suits_but(making, asked, sized, lot.id, missing),)))
    return tuple(Refusal(lot, why) for _, _, lot, why in sorted(ranked)[:NEAR])


def _suits_but(making: Making, asked: Instance, sized: SizedNeed, lot: str, missing: Missing) -> str:
    """Why a lot that suits the need by itself does not serve it here."""
    own = [yarn for yarn in sized.yarns if yarn.lot_ids == {lot}]
    longest = max(sized.stretches, key=lambda stretch: stretch.planned_cm)
    for other in making.needs:
        strangers = asked.strangers(making, sized, other)
        clash = [y for mate in missing.serving.get(other.need.name, ()) for y in own if mate in strangers.get(y, ())]
        if own and len(clash) >= len(own):
            return f"it cannot go with what serves {other.need.name}"
    reach = max((reach_cm(asked.stock, yarn, longest, sized.need.joins) for yarn in own), default=0)
    if reach < longest.planned_cm:
        return f"too little: reaches {reach / 100:.0f} m of {longest.planned_cm / 100:.0f} m"
    return "it is needed elsewhere in this project"
