"""The working yarns of a made project as bands of a strip: what a need is knitted from, how much of it, its colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.strips import Span, apart, letter, spans
from planner.show import words
from planner.yarns import WorkingYarn
from stash.units import show_length

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.pages.shades import Palette, Shade
    from planner.plan import PlannedProject, YarnRun
    from stash.lots import Stash
    from stash.units import System

Key = tuple[str, tuple[tuple[str, int], ...]]  # need, lot -> strands


@dataclass(frozen=True)
class Band:
    """One working yarn in one need. `length`: what is planned of it there; `shade` of strands held together: theirs.

    `single`: each lot in it with its own colour, where there are several.
    """

    letter: str
    need: str
    yarn: str
    length: str
    percent: str
    span: Span
    label: float  # where its letter stands, in percent
    shade: Shade
    grey: Shade
    single: tuple[tuple[str, Shade], ...]


@dataclass(frozen=True)
class Bands:
    """All of a project's, in the order of its needs; `of` finds that of a run."""

    bands: tuple[Band, ...]
    places: dict[Key, int]

    def of(self, need: str, run: YarnRun) -> Band:
        return self.bands[self.places[_key(need, run.lots)]]

    def mark(self, need: str, lots: Mapping[str, int]) -> str:
        """The letter of a working yarn in a need; "" for none."""
        place = self.places.get(_key(need, lots))
        return "" if place is None else self.bands[place].letter


def bands_of(project: PlannedProject, stash: Stash, palette: Palette, units: System) -> Bands:
    """The bands of a project that is made, wide in proportion to the metres planned of each."""
    lengths: dict[Key, int] = {}
    runs: dict[Key, YarnRun] = {}
    for need in project.needs:
        for run in need.runs:
            key = _key(need.need, run.lots)
            lengths[key] = lengths.get(key, 0) + run.length_cm
            runs.setdefault(key, run)
    whole = sum(lengths.values())
    places = spans(list(lengths.values()))
    labels = apart([span.middle for span in places])
    made = []
    for place, (key, length_cm) in enumerate(lengths.items()):
        said = show_length(length_cm / 100, units, 1), words.percent(length_cm / whole)
        made.append(_band(key, runs[key], (letter(place), *said), places[place], labels[place], stash, palette))
    return Bands(tuple(made), {key: place for place, key in enumerate(lengths)})


def _band(
    key: Key, run: YarnRun, said: tuple[str, str, str], span: Span, label: float, stash: Stash, palette: Palette
) -> Band:
    seen = WorkingYarn(tuple((stash.lots[lot], strands) for lot, strands in sorted(run.lots.items()))).colour
    single = ((lot, palette.shade(stash.lots[lot].colour)) for lot in run.lots) if len(run.lots) > 1 else ()
    own_letter, length, percent = said
    return Band(
        own_letter,
        key[0],
        words.working_yarn(run.lots),
        length,
        percent,
        span,
        label,
        palette.shade(seen),
        palette.grey(seen),
        tuple(single),
    )


def _key(need: str, lots: Mapping[str, int]) -> Key:
    return need, tuple(sorted(lots.items()))
