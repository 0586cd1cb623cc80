"""The key of a chart in a plan's own colours: for each symbol its need, the working yarn and its colour."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from patterns.charts import neighbours
from planner.faultprint import safe_text
from planner.show import words
from stash.colour import mix, nearest_name

if TYPE_CHECKING:
    from collections.abc import Mapping

    from patterns.charts import Chart
    from patterns.needs import Pattern
    from planner.plan import PlannedNeed, PlannedProject
    from planner.workspace import Workspace
    from stash.colour import Colour
    from stash.lots import Stash


ROUND = "Each round from its first stitch, which is the one on the right"
TO_AND_FRO = "Row 1 and every other row from the right, its outside towards you; the rows between from the left"


@dataclass(frozen=True)
class KeyLine:
    """`yarn`: every working yarn of the need in words; `colours`: theirs, the longest first; none: not in this size.

    `lots`: lot -> strands of the longest.
    """

    symbol: str
    need: str
    yarn: str
    colours: tuple[Colour, ...]
    lots: Mapping[str, int] = field(default_factory=dict)

    @property
    def colour(self) -> Colour | None:
        """What the need is drawn in."""
        return self.colours[0] if self.colours else None


@dataclass(frozen=True)
class ChartInColours:
    """A made project's chart with its key. `across`, `up`: its repeats in the size that is made."""

    title: str
    file: str  # where the chart is written
    chart: Chart
    key: tuple[KeyLine, ...]
    across: int
    up: int

    @property
    def order(self) -> str:
        """Which way its rows are worked, from the lowest on."""
        return TO_AND_FRO if self.chart.flat else ROUND

    @property
    def colours(self) -> dict[str, Colour | None]:
        """Symbol -> colour."""
        return {line.symbol: line.colour for line in self.key}

    @property
    def least_contrast(self) -> tuple[str, str, float] | None:
        """The two needs side by side whose yarns are least apart in lightness, and how far; None where none touch."""
        shades = {line.need: [colour.lightness for colour in line.colours] for line in self.key}
        names = list(shades)
        apart = [
            (min(abs(a - b) for a in shades[one] for b in shades[other]), names.index(one), names.index(other))
            for one, other in (sorted(pair, key=names.index) for pair in neighbours(self.chart))
            if shades[one] and shades[other]
        ]
        if not apart:
            return None
        least, first, second = min(apart)
        return names[first], names[second], least


@dataclass(frozen=True)
class Band:
    """So many rows of one need."""

    rows: int
    line: KeyLine


@dataclass(frozen=True)
class StripesInColours:
    """A made project's stripes in the order they are worked, all of them so many `times`."""

    title: str
    bands: tuple[Band, ...]
    times: int


def stripes_of(project: PlannedProject, workspace: Workspace) -> StripesInColours | None:
    """Return the stripes of a project in its planned colours; None where it is not made or has no stripes."""
    pattern = workspace.patterns[project.pattern]
    if pattern.stripes is None or project.size is None:
        return None
    planned = {need.need: need for need in project.needs}
    bands = tuple(
        Band(rows, key_line("", need, planned.get(need), workspace.stash)) for need, rows in pattern.stripes.bands
    )
    return StripesInColours(_title(project, pattern), bands, pattern.stripes.repeats.get(project.size, 1))


def chart_of(project: PlannedProject, workspace: Workspace) -> ChartInColours | None:
    """Return the chart of a project in its planned colours; None where it is not made or has no chart."""
    pattern = workspace.patterns[project.pattern]
    if pattern.chart is None or project.size is None:
        return None
    planned = {need.need: need for need in project.needs}
    key = tuple(
        key_line(symbol, need, planned.get(need), workspace.stash) for need, symbol in pattern.chart.symbols.items()
    )
    across, up = pattern.chart.repeats.get(project.size, (1, 1))
    return ChartInColours(_title(project, pattern), pattern.place.file, pattern.chart, key, across, up)


def _title(project: PlannedProject, pattern: Pattern) -> str:
    return f"{project.project}: {pattern.name}, size {project.size}"


def key_line(symbol: str, need: str, planned: PlannedNeed | None, stash: Stash) -> KeyLine:
    """Return what a need is drawn as; `planned` None: the size has none of it."""
    if planned is None or not planned.runs:
        return KeyLine(symbol, need, "no yarn in this size", ())
    lengths: dict[tuple[tuple[str, int], ...], int] = {}
    parts: dict[tuple[tuple[str, int], ...], list[str]] = {}
    for run in planned.runs:
        yarn = tuple(sorted(run.lots.items()))
        lengths[yarn] = lengths.get(yarn, 0) + run.length_cm
        parts.setdefault(yarn, []).extend([safe_text(run.part)] if run.part else [])
    first, *others = sorted(lengths, key=lambda yarn: (-lengths[yarn], yarn))
    colours = tuple(_colour(dict(yarn), stash) for yarn in (first, *others))
    told = f"{words.working_yarn(dict(first))} ({nearest_name(colours[0])}, {colours[0].hex})"
    if others:
        also = words.listing(f"{words.working_yarn(dict(yarn))}{_where(parts[yarn])}" for yarn in others)
        told += f"{_where(parts[first])}; also {also}, not drawn"
    return KeyLine(symbol, need, told, colours, dict(first))


def _where(parts: list[str]) -> str:
    return f" in {words.listing(parts)}" if parts else ""


def _colour(lots: dict[str, int], stash: Stash) -> Colour:
    """Of a working yarn: its strands' mean in linear light, weighted by tex."""
    if len(lots) == 1:
        return stash.lots[next(iter(lots))].colour
    return mix((stash.lots[lot].colour, stash.lots[lot].count.tex * strands) for lot, strands in lots.items())
