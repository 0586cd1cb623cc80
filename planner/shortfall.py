"""Shortfall: what is missing for each project that is not enough, what to look for, and what would make it work."""

from __future__ import annotations

from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone
from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED, LookFor, ProjectShortfall, Refusal, ShortNeed
from planner.beside import reach_cm
from planner.changes.finding import changes
from planner.changes.why import why_short
from planner.clashes import why_apart
from planner.instance import END_CM
from planner.lacking import what_is_missing
from planner.plan import UndecidedError
from planner.reasons import Length, because
from planner.reckoning import Reckoning
from planner.suits import refusals
from planner.wanted import beyond_finding, wanted_colour, wanted_fibre
from planner.yarns import WorkingYarn
from stash.count import LABEL_U

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.projects import Project
    from planner.instance import Instance, Making, SizedNeed
    from planner.lacking import Missing
    from planner.reasons import Reason
    from planner.workspace import Workspace

YIELD = 0.85  # of a donor's mass that becomes usable yarn; common practice, no source
THICKEST = Fraction(20)  # m/100 g: the thick end of the thickest class, where a range has none
NEAR = 4  # refused lots named for a need


def shortfall(workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> tuple[ProjectShortfall, ...]:
    """An answer for every project, in the order asked; those that are enough have nothing missing."""
    asked, guessed, shelf = instances.build_twice(workspace.stash, workspace.patterns, projects, confidence)
    sides = Reckoning(shelf, asked.stock), Reckoning(shelf, guessed.stock)
    return tuple(_project(workspace, asked, guessed, sides, project, confidence) for project in projects)


def _project(
    workspace: Workspace,
    asked: Instance,
    guessed: Instance,
    sides: tuple[Reckoning, Reckoning],
    project: Project,
    confidence: Fraction,
) -> ProjectShortfall:
    reckoning, by_guess = sides
    tries = [(own, guess) for own, guess in zip(asked.makings, guessed.makings, strict=True) if own.project is project]
    undecided = False
    for making, _ in tries:
        try:
            if made_alone(workspace, reckoning, making, confidence) is not None:
                needs = tuple(ShortNeed(sized.need.name, 0, None, None, ()) for sized in making.needs)
                return ProjectShortfall(project.name, project.pattern, making.size, ENOUGH, needs, ())
        except UndecidedError:
            undecided = True
    known = []
    for place, (making, guess) in enumerate(tries):
        missing = what_is_missing(reckoning, making)
        try:
            short = made_alone(workspace, by_guess, guess, confidence, best_guess=True) is None
        except UndecidedError:
            missing = None
        if missing is None or missing.total_cm == 0:
            undecided = True
        else:
            known.append((short, missing.total_cm, place, missing, making))
    if undecided or not known:
        return ProjectShortfall(project.name, project.pattern, tries[0][0].size, UNDECIDED, (), ())
    short, _, _, missing, making = min(known, key=lambda one: one[:3])
    needs = tuple(_need(workspace, asked, making, sized, missing, confidence) for sized in making.needs)
    verdict = SHORT if short else TIGHT
    found = changes(workspace, making, confidence, reckoning, verdict)
    why = why_short(asked, making, workspace.stash, missing)
    return ProjectShortfall(project.name, project.pattern, making.size, verdict, needs, found, why)


def _need(
    workspace: Workspace, asked: Instance, making: Making, sized: SizedNeed, missing: Missing, confidence: Fraction
) -> ShortNeed:
    name = sized.need.name
    kind = missing.kinds[name]
    if kind is None:
        return ShortNeed(name, 0, None, None, ())
    length = missing.look_cm[name]
    low, high = sized.need.yarn.low, sized.need.yarn.high
    sure = 1 - NormalDist().inv_cdf(float(confidence)) * LABEL_U  # as far as the count on a label can be trusted
    mass = float(length / (low or THICKEST)) / sure
    colour, near = wanted_colour(making, sized, missing.serving)
    fibre = wanted_fibre(making, sized, missing.serving)
    look = LookFor(length, mass, (low, high), fibre, colour, near, mass / YIELD)
    refused = _refused(workspace, asked, making, sized, missing)
    return ShortNeed(name, missing.short_cm[name], kind, look, refused, _notes(making, sized, missing))


def _notes(making: Making, sized: SizedNeed, missing: Missing) -> tuple[str, ...]:
    notes = []
    if beyond_finding(making, sized, missing.serving):
        notes.append("no yarn of any colour can be all of this beside what serves the rest: look at what would help")
    pin = making.project.pins.get(sized.need.name)
    if pin is not None and pin.only is not None:
        notes.append(f"once you have it, add the new lot to `only:` for {sized.need.name} in projects.yaml")
    return tuple(notes)


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


def _suits_but(making: Making, asked: Instance, sized: SizedNeed, lot: str, missing: Missing) -> Reason:
    """Why a lot that suits the need by itself does not serve it here."""
    own = [yarn for yarn in sized.yarns if yarn.lot_ids == {lot}]
    longest = max(sized.stretches, key=lambda stretch: stretch.planned_cm)
    for other in making.needs:
        strangers = asked.strangers(making, sized, other)
        mates = missing.serving.get(other.need.name, ())
        clash = [(yarn, mate) for yarn in own for mate in mates if mate in strangers.get(yarn, ())]
        if clash and {yarn for yarn, _ in clash} == set(own):
            return why_apart(making.meeting(sized, other), *clash[0]) or because("it cannot go with the rest")
    reach = max((reach_cm(asked.stock, yarn, longest, sized.need.joins) for yarn in own), default=0)
    if reach >= longest.planned_cm:
        return because("it is needed elsewhere in this project")
    return because(
        "too little: reaches ",
        Length(reach / 100),
        " of ",
        Length(longest.planned_cm / 100),
        *_pieces(asked, sized, lot),
    )


def _pieces(asked: Instance, sized: SizedNeed, lot: str) -> tuple[str | Length, ...]:
    """What of a lot is of no use here because its pieces are too short or too many."""
    least = sized.stretches[0].least_cm
    short = sum(piece.length_cm for piece in asked.stock[lot] if piece.length_cm - END_CM < least)
    if short:
        return ("; ", Length(short / 100), " of it is in pieces too short: each must give ", Length(least / 100))
    joins = sized.need.joins
    if joins is not None and len(asked.stock[lot]) > joins + 1:
        return (f"; it lies in {len(asked.stock[lot])} pieces, and no more than {joins} joins are wanted",)
    return ()
