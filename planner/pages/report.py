"""The page of a plan: what is made and how sure that is, each project to wind and knit from, the stash, the shorts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.answers import ENOUGH
from planner.chance import RISKY, chance_short
from planner.pages import shorts
from planner.pages.chartrows import pictures_of
from planner.pages.enough import enough
from planner.pages.garment import garment_of
from planner.pages.outlines import outlines_of
from planner.pages.page import write_page
from planner.pages.shades import Palette
from planner.pages.skeins import stash_bars, used_lots
from planner.pages.sketch import pieces_of
from planner.pages.standing import set_aside
from planner.pages.winding import AROUND, tables_of, windings
from planner.pages.yarns import bands_of
from planner.show import words
from planner.show.cautions import felting_caution, project_cautions
from planner.show.gathering import gathering_notes
from planner.show.plan import gap_of, proof_text
from planner.show.shortfall import FIND_CAUTION
from planner.show.swatches import Screen
from planner.show.weighing import Scales, joins_of, leftovers, lots_of, skeins_opened, taken_grams, used_grams
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from fractions import Fraction

    from patterns.needs import Pattern
    from planner.answers import ProjectShortfall
    from planner.pages.chartrows import Picture
    from planner.pages.enough import Enough
    from planner.pages.garment import Garment
    from planner.pages.sketch import Piece
    from planner.pages.winding import Winding
    from planner.pages.yarns import Band
    from planner.plan import Plan, PlannedProject
    from planner.workspace import Workspace
    from stash.units import System


@dataclass(frozen=True)
class Made:
    """One project that is made. `risk`: the largest chance that a need of it runs short, in words; `risky`: large.

    `windings`: by table; `stranded`: some of it is held together with other strands.
    `shared`: a piece of it holds several yarns; `left`: of its lots, when all of the plan is wound.
    """

    number: int
    project: str
    name: str
    size: str
    risk: str
    risky: bool
    bands: tuple[Band, ...]
    pieces: list[Piece]
    shared: bool
    garment: Garment | None
    pictures: list[Picture]
    windings: list[list[Winding]]
    stranded: bool
    enough: list[Enough]
    notes: tuple[str, ...]
    left: str
    cautions: tuple[str, ...]
    felting: str
    gauge: str


def report_page(
    plan: Plan,
    workspace: Workspace,
    units: System,
    *,
    around: Fraction = AROUND,
    instead: Sequence[str] = (),
    shortfalls: Sequence[ProjectShortfall] = (),
    past: bool = False,
    changed: Sequence[str] = (),
) -> str:
    """The page of a plan, as XML-clean HTML; the same plan and files give the same text.

    `around`: of the swift, in metres. `instead`: what to leave out for projects that are not made, in words.
    `shortfalls`: what is missing for them, where that was asked. `past`: some of its yarn is used by now.
    `changed`: the files that are not as they were when it was planned: what was proved then is not proved of them.
    """
    palette, scales = Palette(), Scales(workspace.stash, plan.confidence)
    made = [project for project in plan.projects if project.made]
    left = {each.lot.id: show_length(each.length_cm / 100, units) for each in leftovers(plan, scales)[0]}
    views = [
        _made(number, project, plan, workspace, scales, palette, units, around, left)
        for number, project in enumerate(made, 1)
    ]
    return write_page(
        "report.html",
        "Plan",
        palette,
        asked=len(plan.projects),
        made=views,
        missed=[project.project for project in plan.projects if not project.made],
        used=show_mass(used_grams(plan, workspace.stash, workspace.patterns), units),
        taken=show_mass(taken_grams(plan, scales), units),
        skeins=words.counted(len(skeins_opened(plan)), "skein"),
        lots=words.counted(len(used_lots(plan)), "lot"),
        sure=words.percent(plan.confidence),
        proof=_proof(plan),
        past=past,
        risky=[one.project for one in views if one.risky],
        changed=words.listing(changed),
        around=show_length(around, units, 2),
        stash=stash_bars(plan, scales, {} if past else set_aside(workspace, plan), palette, units),
        instead=(*instead, *_alone(shortfalls, instead)),
        caution=FIND_CAUTION,
        shorts=shorts.shorts(shortfalls, units, palette),
    )


def _made(
    number: int,
    project: PlannedProject,
    plan: Plan,
    workspace: Workspace,
    scales: Scales,
    palette: Palette,
    units: System,
    around: Fraction,
    left: Mapping[str, str],
) -> Made:
    pattern, stash = workspace.patterns[project.pattern], workspace.stash
    bands = bands_of(project, stash, palette, units)
    outlines = outlines_of(project, pattern, bands)
    pieces = pieces_of(outlines, units)
    wound = windings(project, bands, scales, palette, units, around)
    parts = pattern.sizes[project.size or ""]
    chance = max(chance_short(parts[need.need], need.runs, stash, plan.confidence) for need in project.needs)
    return Made(
        number,
        project.project,
        pattern.name,
        project.size or "",
        words.chance(chance),
        chance > RISKY,
        bands.bands,
        pieces,
        any(len(piece.areas) > 1 for piece in pieces),
        garment_of(outlines, units),
        pictures_of(project, workspace, palette, bands, units),
        tables_of(wound),
        any(run.strands > 1 for run in wound),
        enough(project, pattern, bands, scales, units),
        (*gathering_notes(project, pattern, stash, Screen(units)), *_joins(project)),
        words.listing(f"{left[lot]} of {lot}" for lot in sorted(lots_of(project))),
        project_cautions(project, workspace),
        felting_caution(stash.lots[lot] for lot in sorted(lots_of(project))),
        _gauge(pattern, units),
    )


def _joins(project: PlannedProject) -> Iterator[str]:
    for need in project.needs:
        if joins := joins_of(need):
            yield (
                f"{need.need}: {words.counted(joins, 'join')}, where one piece of yarn ends and the next begins; "
                "least seen at a side edge, in a seam or under an arm."
            )


def _gauge(pattern: Pattern, units: System) -> str:
    """As it stands before "and at no other gauge"."""
    if pattern.gauge is None:
        return "the pattern\u2019s"
    stitches, rows = pattern.gauge.stitches, pattern.gauge.rows
    return words.gauge(stitches * 10, None if rows is None else rows * 10, units, 1)


def _alone(shortfalls: Sequence[ProjectShortfall], instead: Sequence[str]) -> Iterator[str]:
    """Those that lack nothing but what others have, unless it is said what to leave out for them."""
    names = [one.project for one in shortfalls if one.verdict == ENOUGH]
    names = [name for name in names if not any(said.startswith(f"{name} ") for said in instead)]
    if names:
        alone = "is enough" if len(names) == 1 else "are enough, each"
        yield f"{words.listing(names)} {alone} on its own: other projects of the plan have the yarn."


def _proof(plan: Plan) -> str:
    """What is proved, without the time that it took: the same plan gives the same page."""
    if plan.proof != "best-found":
        return proof_text(plan)
    gap = gap_of(plan)
    return "the best that was found" + (
        f", at most {words.percent_at_most(gap)} below the best possible" if math.isfinite(gap) else ""
    )
