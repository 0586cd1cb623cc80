"""The answer midway: will it reach, when to change lot, what to do, and what changes for the rest."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.midway.helps import help_out
from planner.midway.others import others
from planner.midway.reach import reach
from stash.lengths import mass_g

if TYPE_CHECKING:
    from planner.midway.helps import Help
    from planner.midway.knitting import Hiding, Knitting
    from planner.midway.others import OtherNeed
    from planner.midway.reach import Reach
    from planner.workspace import Workspace

YES, PERHAPS, NO = "yes", "perhaps", "no"


@dataclass(frozen=True)
class Change:
    """When to change lot: the last row to do it so that what is left is sure to last, and where it likely ends.

    `hiding`: the last place, of those told, that comes in time; None where none does.
    """

    of: int
    latest_row: int
    likely_row: int
    hiding: Hiding | None


@dataclass(frozen=True)
class Midway:
    """`change` and `help`: None where it reaches; `change` also where no rows were told."""

    knitting: Knitting
    confidence: Fraction
    verdict: str
    reach: Reach
    change: Change | None
    help: Help | None
    others: tuple[OtherNeed, ...]


def midway(workspace: Workspace, knitting: Knitting, confidence: Fraction) -> Midway:
    """Answer for what is on the needles, with the yarn in the workspace beside it and what is set aside for it."""
    workspace = workspace.free_for(knitting.project.name)
    found = reach(knitting, float(confidence))
    sure = found.chance >= confidence
    verdict = YES if sure else PERHAPS if all(lot.spare_g >= 0 for lot in found.lots) else NO
    help_ = None
    if not sure:
        stock = instances.build(workspace.stash, workspace.patterns, [knitting.project], confidence)
        help_ = help_out(knitting, found, stock, _not_begun(knitting))
    return Midway(
        knitting,
        confidence,
        verdict,
        found,
        None if sure else _change(knitting, found),
        help_,
        others(workspace, knitting, found, confidence),
    )


def _not_begun(knitting: Knitting) -> dict[str, Fraction]:
    """Grams of each lot in use that the files hold beside what was begun with."""
    return {
        one.lot.id: max(
            sum((mass_g(one.lot, skein) for skein in one.lot.skeins), Fraction(0)) - one.began_g, Fraction(0)
        )
        for one in knitting.in_use
    }


def _change(knitting: Knitting, found: Reach) -> Change | None:
    rows = knitting.done.rows
    if rows is None:
        return None
    latest = min(rows.of - 1, *(rows.row_at(lot.lasts.low) for lot in found.lots))
    likely = min(rows.row_at(lot.lasts.likely) for lot in found.lots)
    in_time = [place for place in knitting.hiding if rows.now <= place.row <= latest]
    return Change(rows.of, latest, likely, max(in_time, key=lambda place: place.row, default=None))
