"""What to do or to mind before a project is knitted from the lots it would get."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.weighing import skein_of, takes_of
from stash.fibrenames import UNKNOWN

if TYPE_CHECKING:
    from collections.abc import Iterable

    from patterns.needs import Pattern
    from planner.plan import PlannedProject
    from planner.workspace import Workspace
    from stash.lots import Lot, Stash

DARK, LIGHTER, LIMIT = 40.0, 25.0, 1e-6  # L*; limits are inclusive to 1e-6
MOST_NAMED = 20  # lots


def bleeding_cautions(lots: Iterable[Lot]) -> tuple[str, ...]:
    """A caution for each lot that may stain a much lighter one it meets in a project."""
    together = tuple(lots)
    cautions = []
    for lot in together:
        pale = [other.id for other in together if other.colour.lightness - lot.colour.lightness >= LIGHTER - LIMIT]
        if not pale or lot.bleeds is False:
            continue
        name, others = safe_text(lot.id), words.listing(map(safe_text, pale))
        if lot.bleeds:
            cautions.append(
                f"{name} bleeds and meets {others}: you accepted that it may stain; never soak them together"
            )
        elif lot.colour.lightness <= DARK + LIMIT:
            cautions.append(
                f"wash-test first: {name} is dark, untested for bleeding, and meets {others}; "
                "leave a wet length of it on white cloth overnight"
            )
    return tuple(cautions)


def assumed_pieces(project: PlannedProject, stash: Stash) -> tuple[str, ...]:
    """A note for each skein whose pieces were only counted, not measured."""
    skeins = {take.skein: skein_of(stash, take) for take in takes_of(project)}
    return tuple(
        f"{safe_text(skein.id)} is in {len(skein.shares)} pieces, taken to be equally long: measure before you cut"
        for skein in skeins.values()
        if skein.assumed_equal
    )


def unknown_fibres(lots: Iterable[Lot]) -> tuple[str, ...]:
    """A caution for each lot that holds fibre nobody can name."""
    return tuple(
        f"{safe_text(lot.id)} holds an unknown fibre: it may felt; keep it from flame, from heat and from what is for "
        "small children"
        for lot in lots
        if UNKNOWN in lot.blend.shares
    )


def felting_caution(lots: Iterable[Lot]) -> str:
    """One sentence for lots that felt, named where they are few; empty where none is known to."""
    felting = [safe_text(lot.id) for lot in lots if lot.felts]
    if not felting:
        return ""
    which = f"the {len(felting)} lots marked `felts: yes`" if len(felting) > MOST_NAMED else words.listing(felting)
    return f"Hot water and rubbing felt wool for good: wash {which} cool and still."


def stripes_unseen(project: PlannedProject, pattern: Pattern) -> tuple[str, ...]:
    """A caution for every two stripes side by side that are knitted from one working yarn."""
    if pattern.stripes is None:
        return ()
    yarns = {need.need: {frozenset(run.lots.items()) for run in need.runs} for need in project.needs}
    bands = [need for need, _ in pattern.stripes.bands if need in yarns]
    again = pattern.stripes.repeats.get(project.size or "", 1) > 1  # the last stripe then lies beside the first
    beside = dict.fromkeys(tuple(sorted(pair, key=bands.index)) for pair in pairwise([*bands, *bands[:again]]))
    return tuple(
        f"{safe_text(one)} and {safe_text(other)} are one yarn: no stripe shows between them; where one should, ask it "
        f"of {safe_text(other)} in the pattern: colour: {{against: {safe_text(one)}}}"
        for one, other in beside
        if one != other and len(yarns[one]) == 1 and yarns[one] == yarns[other]
    )


def project_cautions(project: PlannedProject, workspace: Workspace) -> tuple[str, ...]:
    """Everything to mind in a project that is made, in reading order."""
    stash, pattern = workspace.stash, workspace.patterns[project.pattern]
    names = {lot for need in project.needs for run in need.runs for lot in run.lots}
    lots = [stash.lots[name] for name in sorted(names)]
    return (
        *bleeding_cautions(lots),
        *unknown_fibres(lots),
        *assumed_pieces(project, stash),
        *stripes_unseen(project, pattern),
    )
