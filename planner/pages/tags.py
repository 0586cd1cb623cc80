"""Skein tags: one for each skein that is still there, to print, cut and tie on."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

import segno
from markupsafe import Markup

from planner.asking import AskError
from planner.pages.fitting import Room, Words, fits, shortened
from planner.pages.page import write_page
from planner.pages.shades import Palette
from planner.show import words
from planner.show.lots import lot_row
from stash.fibre import show_blend
from stash.fibrenames import UNKNOWN
from stash.lengths import mass_g
from stash.nearest import suggest
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from fractions import Fraction

    from planner.pages.grids import Grid
    from planner.pages.shades import Shade
    from planner.workspace import Workspace
    from stash.lots import Lot, Skein
    from stash.units import System

    Named = Callable[[str], tuple[str, bool]]

QUIET = 4  # modules left white round a code: ISO/IEC 18004, 5.3.8 (from memory)
SWATCH_MM = 11.0  # with the gap behind it
LARGER = (1.8, 1.6, 1.4, 1.2, 1.0)  # the id, beside the rest
CUTS = ((None, None), (24, None), (24, 2), (16, 1), (12, 0))  # (columns of a name, projects named), where room is short
FELTS = {True: "felts", False: "does not felt", None: "may felt"}
BLEEDS = {True: "bleeds: wash it alone", False: "does not bleed", None: "may bleed: wash-test first"}
UNKNOWN_FIBRE = "Unknown fibre: no flame, no small children."

Part = tuple[str, bool]  # words, and whether they are a name that somebody gave
Aside = dict[tuple[str, str], dict[str, int]]  # (lot, skein) -> project -> guarded centimetres


@dataclass(frozen=True)
class Line:
    """A paragraph in parts; `kind` tells its place."""

    kind: str
    parts: tuple[Part, ...]

    @property
    def text(self) -> str:
        return "".join(text for text, _ in self.parts)


@dataclass(frozen=True)
class Tag:
    """One skein. `on`: the day it was last weighed, where that is known; `points`, `larger`: of its letters."""

    skein: str
    shade: Shade
    code: Markup
    lines: tuple[Line, ...]
    on: str
    points: Fraction
    larger: float


def tags_page(
    workspace: Workspace, names: Sequence[str], grid: Grid, confidence: Fraction, units: System
) -> tuple[str, int]:
    """The page of the tags of these lots (none: of all), and how many tags there are.

    Raises AskError for a lot that is not there, and where no skein is left.
    """
    palette, aside, weighed = Palette(), set_aside(workspace), weighed_on(workspace)
    tags = [
        _tag(lot, skein, grid, aside.get((lot.id, skein.id), {}), weighed.get(skein.id, ""), palette, confidence, units)
        for lot, skein in skeins_left(workspace, names)
    ]
    if not tags:
        raise AskError("no skein is left to tag", "`lotwise lots` shows what there is")
    sheets = [tags[at : at + grid.tags] for at in range(0, len(tags), grid.tags)]
    page = write_page(
        "tags.html",
        "Skein tags",
        palette,
        sheet="tags.css",
        grid=grid,
        larger=LARGER,
        sheets=sheets,
        tags=words.counted(len(tags), "skein tag"),
        pages=words.counted(len(sheets), "sheet"),
        sure=words.percent(confidence),
        unit="oz" if units == words.IMPERIAL else "g",
    )
    return page, len(tags)


def skeins_left(workspace: Workspace, names: Sequence[str]) -> Iterator[tuple[Lot, Skein]]:
    """Every skein of these lots, or of all, that anything is left of. Raises AskError for a lot that is not there."""
    lots = workspace.owned.lots
    for name in names:
        if name not in lots:
            raise AskError(f"no lot is called {name}", suggest(name, lots, "the lots are"))
    for lot in lots.values():
        if not names or lot.id in names:
            yield from ((lot, skein) for skein in lot.skeins if mass_g(lot, skein) > 0)


def set_aside(workspace: Workspace) -> Aside:
    """What is set aside of each skein, and for which projects."""
    found: Aside = defaultdict(lambda: defaultdict(int))
    for project, held in workspace.books.standing.aside.items():
        for one in held:
            found[one.taking.lot, one.taking.skein][project] += one.taking.cm
    return found


def weighed_on(workspace: Workspace) -> dict[str, str]:
    """The last day each skein is known to have been weighed, by the files or the ledger."""
    days = {entry.revision: entry.on.isoformat() for entry in workspace.books.ledger.entries}
    found = {skein: days[weighings[-1][0]] for skein, weighings in workspace.books.standing.left.items()}
    for lot in workspace.written.lots.values():
        for skein in lot.skeins:
            if skein.counted is not None:
                found[skein.id] = max(found.get(skein.id, ""), skein.counted.on.isoformat())
    return found


def qr_code(text: str) -> Markup:
    """A QR code (ISO/IEC 18004) of a text, error level M, black on white in any light, as a drawing."""
    code = segno.make(text, error="m", boost_error=False, micro=False)
    return Markup(code.svg_inline(border=QUIET, omitsize=True, light="#fff", svgclass="qr", lineclass=None))  # noqa: S704 (numbers only)


def _tag(
    lot: Lot,
    skein: Skein,
    grid: Grid,
    aside: dict[str, int],
    on: str,
    palette: Palette,
    confidence: Fraction,
    units: System,
) -> Tag:
    room = Room(grid.room[0], grid.room[1] - grid.foot, float(grid.code) + 1)
    shade = palette.shade(lot.colour)
    for cut in CUTS:
        lines = _lines(lot, skein, shade, aside, confidence, units, *cut)
        for points, larger in _letters(grid):
            if fits(_as_words(skein.id, larger, lines), points, room):
                return Tag(skein.id, shade, qr_code(skein.id), lines, on, points, larger)
    return Tag(skein.id, shade, qr_code(skein.id), lines, on, grid.steps[-1], LARGER[-1])


def _letters(grid: Grid) -> list[tuple[Fraction, float]]:
    """Sizes of letters, and how much larger the id is: the most legible first, where the id counts for half."""
    return sorted(product(grid.steps, LARGER), key=lambda both: -float(both[0]) * both[1] ** 0.5)


def _as_words(skein: str, larger: float, lines: Sequence[Line]) -> list[Words]:
    return [
        Words(skein, even=True, larger=larger),
        *(
            Words(line.text, any(own for _, own in line.parts), less=SWATCH_MM if line.kind == "colour" else 0.0)
            for line in lines
        ),
    ]


def _lines(
    lot: Lot,
    skein: Skein,
    shade: Shade,
    aside: dict[str, int],
    confidence: Fraction,
    units: System,
    most_columns: int | None,
    most_projects: int | None,
) -> tuple[Line, ...]:
    """What a tag says; names of at most so many columns, and so many projects by name."""
    row = lot_row(replace(lot, skeins=(skein,)), confidence)
    pieces = sum(1 for share in skein.shares if share > 0)

    def named(name: str) -> Part:
        return (name if most_columns is None else shortened(name, most_columns)), True

    lines = [
        _plain("colour", f"{shade.name} {shade.code}"),
        _plain("yarn", f"{row.weight_class.name}, {words.count(row.m_per_100g, units)}"),
        _plain(
            "amount",
            f"{_number(show_mass(row.mass_g, units))} ± {show_mass(row.mass_error_g, units, 1)}, "
            f"{_number(show_length(row.low_m, units))} to {show_length(row.high_m, units)}"
            + (f", {pieces} pieces" if pieces > 1 else ""),
        ),
        _plain("fibre", show_blend(lot.blend)),
        _plain("care", f"{_felts(lot).capitalize()}; {BLEEDS[lot.bleeds]}."),
    ]
    if UNKNOWN in lot.blend.shares:
        lines.append(_plain("care", UNKNOWN_FIBRE))
    if not skein.id.startswith(lot.id):
        lines.append(Line("lot", (("lot ", False), named(lot.id))))
    if aside:
        lines.append(Line("aside", _aside(aside, units, named, most_projects)))
    return tuple(lines)


def _felts(lot: Lot) -> str:
    unsure = lot.felts is False and UNKNOWN in lot.blend.shares  # told so, or taken so as it is of no known hair
    return "not known to felt" if unsure else FELTS[lot.felts]


def _aside(aside: dict[str, int], units: System, named: Named, most: int | None) -> tuple[Part, ...]:
    """What is set aside for whom; where not all are named, what it comes to for the others."""
    projects = list(aside.items())
    shown, rest = projects[:most], [] if most is None else projects[most:]
    if len(rest) == 1 and not shown:
        shown, rest = rest, []
    parts: list[Part] = []
    for project, cm in shown:
        parts += [("; " if parts else "set aside: ", False), (f"{_length(cm, units)} for ", False), named(project)]
    if rest:
        whole = _length(sum(cm for _, cm in rest), units)
        more = words.counted(len(rest), "more project" if shown else "project")
        parts.append((f"{'; ' if parts else 'set aside: '}{whole} for {more}", False))
    return tuple(parts)


def _length(cm: int, units: System) -> str:
    return show_length(cm / 100, units, 1)


def _number(text: str) -> str:
    """Without its unit."""
    return text.rpartition(" ")[0]


def _plain(kind: str, text: str) -> Line:
    return Line(kind, ((text, False),))
