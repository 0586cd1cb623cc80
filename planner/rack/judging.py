"""A garment at the rack: what it would give, whether that is worth it and why, and what it would unlock."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.rack.asking import ask_garment
from planner.rack.lot import blend_of, expected_lot, odd_figures
from planner.rack.unlocking import unlocked
from planner.rack.verdict import Reason, reasons_for, verdict_of
from stash.garment import Garment
from stash.nearest import suggest
from stash.pieces import pieces_of
from stash.reclaiming import Z90, NoGaugeError, reclaim

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.rack.asking import Given
    from planner.rack.lot import Expected
    from planner.rack.unlocking import Unlocked
    from planner.workspace import Workspace
    from stash.pieces import Pieces
    from stash.reclaiming import Reclaimed


COLOUR_HINT = 'give it by --colour "#5b6770", as a photo by daylight shows it, or by a name such as navy'


@dataclass(frozen=True)
class Judgement:
    """What can be said of one garment. `unlocked` None: it cannot be told (no colour, or no workspace)."""

    donor: str | None
    garment: Garment
    found: Reclaimed
    pieces: tuple[Pieces, ...]
    expected: Expected | None
    unlocked: tuple[Unlocked, ...] | None
    already: tuple[str, ...]  # lots of this donor that are in the stash
    asked_of: bool  # whether there were a stash and patterns to ask
    verdict: str
    reasons: tuple[Reason, ...]

    @property
    def opened(self) -> tuple[Unlocked, ...]:
        """The projects it is known to unlock."""
        return tuple(one for one in self.unlocked or () if not one.undecided)

    @property
    def wanted_g(self) -> Fraction:
        """Grams of want x need of the projects it unlocks."""
        return sum((one.wanted_g for one in self.opened), Fraction(0))

    @property
    def low_m(self) -> float:
        """Metres that can be counted on."""
        return 0.0 if self.found.length_m is None else self.found.length_m.interval(Z90)[0]


def ask_rack(
    workspace: Workspace | None, donors: Sequence[str], given: Given, confidence: Fraction, *, several: bool
) -> tuple[Judgement, ...]:
    """The garments asked about: one, by its name, flags or prompts; or `several` donors, the best first.

    Raises AskError for what cannot be answered.
    """
    if several and workspace is not None:
        if any(given.values()):
            raise AskError("--compare takes donors of the stash files only", "write what you see into the stash files")
        names = tuple(dict.fromkeys(donors))
        if len(names) < 2:
            raise AskError("--compare needs two donors or more", "write lotwise rack --compare ONE ANOTHER")
        garments = {name: donor_garment(workspace, name) for name in names}
        return compare([judge_garment(one, name, workspace, confidence) for name, one in garments.items()])
    if len(donors) > 1:
        raise AskError("several donors are named", "name one, or add --compare to rank them")
    name = donors[0] if donors else None
    base = donor_garment(workspace, name) if name is not None and workspace is not None else None
    return (judge_garment(ask_garment(given, base), name, workspace, confidence),)


def lot_of(judged: Judgement) -> Expected:
    """The lot it would become. Raises AskError where there is none."""
    if judged.expected is not None:
        return judged.expected
    if judged.found.length_m is None:
        raise AskError("it is felted, so it becomes no yarn", "use it as fabric")
    if judged.garment.colour is not None:
        raise AskError("there is next to no yarn in it", "look at its size and its mass again")
    raise AskError("a lot has a colour, and this garment's is not told", COLOUR_HINT)


def donor_garment(workspace: Workspace, name: str) -> Garment:
    """What the stash's files say of a donor. Raises AskError for a name that is no donor's."""
    donor = workspace.stash.donors.get(name)
    if donor is None:
        raise AskError(f"no donor is called {name}", suggest(name, workspace.stash.donors, "the donors are"))
    return donor.seen or Garment(blend=donor.blend, mass_g=donor.mass_g, seams=donor.seams)


def judge_garment(garment: Garment, donor: str | None, workspace: Workspace | None, confidence: Fraction) -> Judgement:
    """Judge one garment. Raises AskError when too little is known of it, or the figures cannot be."""
    try:
        found = reclaim(garment)
    except NoGaugeError:
        raise _too_little(garment, donor) from None
    if (odd := odd_figures(garment, found)) is not None:
        raise AskError(odd, "count the stitches again, and look at the units of the mass and the panels")
    stash = None if workspace is None else workspace.stash
    expected = expected_lot(garment, found, donor, stash, confidence)
    already = tuple(lot.id for lot in stash.lots.values() if donor is not None and lot.donor == donor) if stash else ()
    opened: tuple[Unlocked, ...] | None = None
    asked_of = workspace is not None and bool(workspace.patterns)
    if workspace is not None and asked_of and not already:
        if expected is not None:
            opened = unlocked(workspace, expected.lot, confidence)
        elif found.length_m is None or garment.colour is not None:
            opened = ()  # nothing, or next to nothing, to be had
    pieces = pieces_of(garment, found)
    plain = Judgement(donor, garment, found, pieces, expected, opened, already, asked_of, "", ())
    reasons = reasons_for(garment, found, pieces, blend_of(garment), len(plain.opened))
    return replace(plain, verdict=verdict_of(reasons), reasons=reasons)


def compare(judged: Sequence[Judgement]) -> tuple[Judgement, ...]:
    """The best first: by what is unlocked (projects, then grams of want x need), then by metres that can be counted on.

    For the money where every garment has a price.
    """
    priced = by_price(judged)

    def rank(one: Judgement) -> tuple[float, float, float, str]:
        worth = (float(len(one.opened)), float(one.wanted_g), one.low_m)
        projects, grams, metres = (_for_the_money(figure, one.garment.price) if priced else figure for figure in worth)
        return -projects, -grams, -metres, one.donor or ""

    return tuple(sorted(judged, key=rank))


def by_price(judged: Sequence[Judgement]) -> bool:
    """Whether every garment has a price, so that they can be compared for the money."""
    return all(one.garment.price is not None for one in judged)


def _for_the_money(figure: float, price: Fraction | None) -> float:
    """So much for one of the money; of a gift, anything is beyond price."""
    if not price:
        return math.inf if figure > 0 else 0.0
    return figure / float(price)


def _too_little(garment: Garment, donor: str | None) -> AskError:
    of = "this garment" if donor is None else donor
    if garment.gauge is None:
        where = "give --stitches and --rows" if donor is None else "add to the donor gauge: {stitches: 22, rows: 30}"
        return AskError(f"the stitches of {of} are not counted", f"count stitches and rows in 10 cm; {where}")
    where = "give --mass, --panel or --kind" if donor is None else "add to the donor its mass:, panels: or kind:"
    return AskError(f"nothing tells how big {of} is", f"weigh it, measure its panels or say what it is; {where}")
