"""The winding list of one project: what to wind off which skein, for which stretch."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.chance import RISKY, chance_short
from planner.faultprint import safe_text
from planner.show import words
from planner.show.cautions import project_cautions
from planner.show.gathering import gathering_notes
from planner.show.tables import fold, grouped_table
from planner.show.weighing import joins_of, need_metres, skein_of, takes_of
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
    from planner.show.swatches import Screen
    from planner.show.weighing import Scales
    from planner.workspace import Workspace
    from stash.lots import Stash

_COLUMNS = (
    ("strand", "l"),
    ("", "l"),
    ("lot", "l"),
    ("skein", "l"),
    ("wind off", "r"),
    ("which holds", "r"),
    ("", "l"),
)
_STRAND, _SWATCH, _SKEIN = 0, 1, 3


def project_text(project: PlannedProject, workspace: Workspace, scales: Scales, screen: Screen) -> str:
    """The winding list of a project that is made, then what to mind in it."""
    pattern = workspace.patterns[project.pattern]
    title = f"{safe_text(project.project)}: {safe_text(pattern.name)}, size {safe_text(project.size or '')}"
    head, blocks = _tables(project, scales, screen)
    waiting = iter(blocks)
    lines = [fold(title)]
    parts, stash = pattern.sizes[project.size or ""], workspace.stash
    risks = {need.need: chance_short(parts[need.need], need.runs, stash, scales.confidence) for need in project.needs}
    for need in project.needs:
        told = _need_text(need, need_metres(pattern, project.size or "", need.need), risks[need.need], screen)
        lines.append(fold(told, indent="  ", hanging="    "))
        for run in need.runs:
            lines.append(fold(_run_text(run, workspace.stash, screen), indent="    ", hanging="      "))
            lines += [head, next(waiting)] if run is project.needs[0].runs[0] else [next(waiting)]
    lines += [
        fold(note, indent="  - ", hanging="    ") for note in gathering_notes(project, pattern, workspace.stash, screen)
    ]
    notes = [*_risky([name for name, risk in risks.items() if risk > RISKY]), *project_cautions(project, workspace)]
    return "\n".join([*lines, *(fold(note, indent="  ! ", hanging="    ") for note in notes)])


def _tables(project: PlannedProject, scales: Scales, screen: Screen) -> tuple[str, list[str]]:
    """A heading, and the rows of each working yarn; columns that would say nothing are left out."""
    empty = set() if screen.truecolour else {_SWATCH}
    if all(take.strand == 1 for take in takes_of(project)):
        empty.add(_STRAND)
    kept = [at for at in range(len(_COLUMNS)) if at not in empty]
    groups = [
        [[row[at] for at in kept] for row in _rows(run, scales, screen)] for need in project.needs for run in need.runs
    ]
    headers, aligned = zip(*(_COLUMNS[at] for at in kept), strict=True)
    return grouped_table(groups, headers, "".join(aligned), wrap=kept.index(_SKEIN), indent="      ")


def _rows(run: YarnRun, scales: Scales, screen: Screen) -> Iterator[Sequence[str]]:
    """A row for each piece; whole pieces of one skein that follow one another in a strand share a row."""
    stash = scales.stash

    def likeness(take: Take) -> tuple[object, ...]:
        whole = scales.is_whole(take)
        return take.strand, take.lot, take.skein, whole, None if whole else take.piece

    for _, alike in groupby(sorted(run.takes, key=lambda take: (likeness(take)[:3], take.piece)), key=likeness):
        takes = list(alike)
        first = takes[0]
        grams = sum(map(scales.grams, takes))
        whole = scales.is_whole(first)
        yield (
            str(first.strand),
            screen.swatch(stash.lots[first.lot].colour),
            safe_text(first.lot),
            f"{safe_text(first.skein)}{_pieces(takes, len(skein_of(stash, first).shares))}",
            show_mass(grams, screen.units, 1),
            show_length(sum(take.take_cm for take in takes) / 100, screen.units, 1),
            "whole" if whole else "",
        )


def _pieces(takes: Sequence[Take], of: int) -> str:
    """Which pieces of a skein: "", ", piece 2 of 3", ", pieces 1-4, 7 of 29"."""
    if of == 1:
        return ""
    numbers = sorted(take.piece for take in takes)
    spans = []
    for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        span = [number for _, number in run]
        spans.append(str(span[0]) if len(span) == 1 else f"{span[0]}-{span[-1]}")
    return f", {'piece' if len(numbers) == 1 else 'pieces'} {', '.join(spans)} of {of}"


def _risky(needs: Sequence[str]) -> Iterator[str]:
    if needs:
        yield (
            f"{words.listing(map(safe_text, needs))} may run short all the same, more than once in ten times, since "
            "what the pattern takes is itself not sure: knit a swatch, or keep back more"
        )


def _need_text(need: PlannedNeed, metres: Fraction, risk: float, screen: Screen) -> str:
    joins = joins_of(need)
    return (
        f"{safe_text(need.need)}: needs {show_length(metres, screen.units, 1)}, "
        f"planned {show_length(need.planned_cm / 100, screen.units, 1)} with reserve; "
        f"{words.counted(joins, 'join') if joins else 'no joins'}; chance of running short {words.chance(risk)}"
    )


def _run_text(run: YarnRun, stash: Stash, screen: Screen) -> str:
    part = f"{safe_text(run.part)}: " if run.part else ""
    how = words.working_yarn(run.lots, {lot: screen.named(stash.lots[lot].colour) for lot in run.lots})
    together = sum(run.lots.values())
    if together > 1 and len(run.lots) > 1:
        how = f"{how}, {words.held(together)}"
    return f"{part}{how}, {show_length(run.length_cm / 100, screen.units, 1)}"
