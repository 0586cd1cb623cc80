"""What the scale shows of the lots on the needles, made into grams used and left with their errors."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.instance import setting_of
from planner.midway.knitting import InUse
from planner.shelf import Shelf
from stash.lengths import mass_g, relative_u
from stash.nearest import suggest
from stash.samples import scale_of
from stash.units import read_mass

if TYPE_CHECKING:
    from patterns.needs import Need, Pattern
    from patterns.projects import Project
    from stash.lots import Lot, Stash
    from stash.units import Quantity

SCALE_OFF = Fraction(5, 100)  # how far a weighing may lie above what the files say before it is a slip; our own rule
MOST_PIECES = 1000
_WEIGHING = re.compile(r"([^=]*)=(.*?)(?: +in +([0-9]{1,4}) +pieces?)?", re.ASCII | re.DOTALL)


@dataclass(frozen=True)
class Weighing:
    """A lot, what it weighs, and the pieces it is in."""

    lot: Lot
    mass: Quantity
    pieces: int


def read_weighing(text: str, stash: Stash, example: str) -> Weighing:
    """Read "slate=62 g" or "slate=62 g in 2 pieces". Raises AskError, UnitError."""
    found = _WEIGHING.fullmatch(text.strip())
    if not found or not found[1].strip():
        raise AskError(f"'{text}' does not say which lot weighs what", f"write it like {example}")
    name = found[1].strip()
    if name not in stash.lots:
        raise AskError(f"no lot is called {name}", suggest(name, stash.lots, "the lots are"))
    pieces = int(found[3] or 1)
    if not 1 <= pieces <= MOST_PIECES:
        raise AskError(f"{pieces} pieces cannot be", f"write a number from 1 to {MOST_PIECES}")
    return Weighing(stash.lots[name], read_mass(found[2]), pieces)


def held_g(lot: Lot) -> Fraction:
    """Grams of a lot by the files."""
    return sum((mass_g(lot, skein) for skein in lot.skeins), Fraction(0))


def refuse_more_than_held(weighing: Weighing) -> None:
    """Raise AskError where more is weighed than the files hold, the slack of a scale and of damp air apart."""
    held = held_g(weighing.lot)
    if weighing.mass.value > held * (1 + SCALE_OFF) + 1:
        name = weighing.lot.id
        raise AskError(
            f"{weighing.mass.text} of {name} is more than your files hold ({float(held):.0f} g)",
            f"weigh it again, or put {name} right in your stash file",
        )


def used_g(left: Weighing, began: Weighing | None) -> Fraction:
    """Grams used of a lot; without `began` it was begun with all that the files hold."""
    return (held_g(left.lot) if began is None else began.mass.value) - left.mass.value


def weigh(left: Weighing, began: Weighing | None, scale: Quantity | None, need: str, strands: int) -> InUse:
    """A lot on the needles. Without `began` it was begun with all that the files hold. Raises AskError."""
    began_g = held_g(left.lot) if began is None else began.mass.value
    began_u = _held_u_g(left.lot) if began is None else _scale_u_g(began.mass, scale)
    name = left.lot.id
    if left.mass.value >= began_g:
        raise AskError(
            f"nothing of {name} is used: {left.mass.text} is left of {float(began_g):g} g",
            f"weigh it again, or say what you began with, such as --began {name}=...",
        )
    pieces = max(left.pieces, strands) if left.mass.value else 0  # one that is held double is two once it is cut
    return InUse(left.lot, need, strands, began_g, began_u, left.mass.value, _scale_u_g(left.mass, scale), pieces)


def fewest_strands(project: Project, pattern: Pattern, need: Need, lot: Lot) -> int:
    """The fewest strands of a lot that suit the need; as few as the need allows where none do."""
    fitting = Shelf((lot,)).suited(need, setting_of(project, pattern, need))
    return min((yarn.strands for yarn in fitting), default=need.strands[0])


def _scale_u_g(mass: Quantity, scale: Quantity | None) -> float:
    """Of a mass read to a scale's steps: step / sqrt(12); JCGM 100 F.2.2.1 (from memory)."""
    return float(scale_of(mass, scale)) / math.sqrt(12)


def _held_u_g(lot: Lot) -> float:
    """Of all a lot's skeins together, in grams."""
    return math.hypot(
        *(
            float(skein.scale_g) / math.sqrt(12)
            if skein.mass_g is not None
            else float(mass_g(lot, skein)) * math.hypot(relative_u(lot, skein), lot.count.relative_u)
            for skein in lot.skeins
        )
    )
