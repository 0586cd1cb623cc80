"""The finds of a rack list as a card shows them: colour, thickness, fibre, least grams, what each unlocks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.fitting import shortened
from planner.racklist.finds import FIBRES
from planner.racklist.mass import masses
from planner.show import words
from planner.show.racklist import fibre_text, find_name, metres_text, unlocked_text
from planner.show.swatches import Screen
from stash.colour import colour_from_lab
from stash.colourwords import word_for

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from planner.pages.shades import Palette, Shade
    from planner.racklist.listing import Find, UnlockedBy
    from stash.units import System

MOST_COLUMNS = 24  # of a name on paper
FEW = 3  # labels, sooner named than all the others


@dataclass(frozen=True)
class Least:
    """The least mass of a garment whose yarn is of a class; `cut`: with cut seams, empty where these will not do."""

    weight_class: str
    linked: str
    cut: str


@dataclass(frozen=True)
class FindView:
    """One find. `seen`: its colour, or the darkest and the lightest that will do; `off`: how far from it in words."""

    number: int
    name: str
    seen: tuple[tuple[str, Shade], ...]
    off: str
    thickness: str
    fibre: str
    fibre_short: str
    length: str
    mass: str
    least: tuple[Least, ...]
    cut: bool
    unlocks: tuple[tuple[str, str], ...]
    together: str


def find_views(finds: Iterable[Find], confidence: Fraction, palette: Palette, units: System) -> tuple[FindView, ...]:
    """All of a list, in its order."""
    return tuple(_view(number, find, confidence, palette, units) for number, find in enumerate(finds, 1))


def _view(number: int, find: Find, confidence: Fraction, palette: Palette, units: System) -> FindView:
    screen, by_class = Screen(units), masses(find, confidence)
    together = f"One such find does for {find.at_once} of the {len(find.unlocks)} at once."
    return FindView(
        number,
        find_name(find),
        _seen(find, palette),
        _off(find),
        words.count_range(*find.latitude.counts, units),
        fibre_text(find),
        _fibre_on_paper(find),
        metres_text(find.metres, screen),
        words.mass_up(max(row.yarn_g for row in by_class), units),
        tuple(
            Least(
                row.name,
                words.mass_up(row.linked_g, units),
                "" if row.cut_g is None else words.mass_up(row.cut_g, units),
            )
            for row in by_class
        ),
        find.latitude.cut_metres is not None,
        tuple((unlocked_text(row, find, screen), _unlocked_on_paper(row)) for row in find.unlocks),
        together if len(find.unlocks) > 1 else "",
    )


def _unlocked_on_paper(row: UnlockedBy) -> str:
    """The project and what the find becomes there; what is to be done at home is left for home."""
    needs = words.listing(row.needs)
    return f"{shortened(row.project, MOST_COLUMNS)} ({shortened(needs, MOST_COLUMNS)})"


def _fibre_on_paper(find: Find) -> str:
    """The labels that will do; where these are most of the common ones, those that will not."""
    others = [name for name in FIBRES if name not in find.latitude.fibres]
    if find.latitude.every_fibre or len(others) > FEW:
        return fibre_text(find)
    return f"common labels, but not {words.listing(others, 'or')}"


def _seen(find: Find, palette: Palette) -> tuple[tuple[str, Shade], ...]:
    bounds = find.latitude.lightness
    if bounds is None:
        return ((word_for(find.kind.colour), palette.shade(find.kind.colour)),)
    if bounds == (0, 100):
        return ()
    ends = (colour_from_lab(light, 0, 0) for light in bounds)
    return tuple(
        (said, palette.shade(colour)) for said, colour in zip(("as dark as", "as light as"), ends, strict=True)
    )


def _off(find: Find) -> str:
    if find.latitude.lightness is not None:
        return "any colour" if find.latitude.lightness == (0, 100) else "any hue between these"
    return f"may be off by {find.latitude.off}" if find.latitude.off else "hardly any other"
