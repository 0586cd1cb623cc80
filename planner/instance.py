"""The question as frozen data, on the grid: what is asked, what each need takes, who suits it, what the stash holds."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

from patterns.projects import Pin, Project
from planner.pairs import Meeting, may_meet
from planner.shelf import Shelf
from planner.suits import Setting
from stash import lengths

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from patterns.needs import Amount, Need, Pattern
    from planner.yarns import WorkingYarn
    from stash.colour import Colour
    from stash.lots import Lot, Stash

END_CM = 30  # two woven-in ends for every piece taken
GRID = Fraction(1, 10_000)  # cm: a millionth of a metre, to which limits are inclusive
NO_PIN = Pin()


@dataclass(frozen=True)
class Piece:
    """One continuous length: its skein, its place there from 1, and what may be taken of it."""

    lot: str
    skein: str
    number: int
    length_cm: int


@dataclass(frozen=True)
class Stretch:
    """What one run has to reach: a part under by-part, else the whole need, with reserve, rounded up."""

    part: str | None
    planned_cm: int
    least_cm: int  # least a piece gives


@dataclass(frozen=True)
class SizedNeed:
    """A need in one size, with the working yarns that suit it."""

    need: Need
    need_m: Fraction
    stretches: tuple[Stretch, ...]
    yarns: tuple[WorkingYarn, ...]

    @cached_property
    def planned_cm(self) -> int:
        return sum(stretch.planned_cm for stretch in self.stretches)

    @property
    def divisible(self) -> bool:
        """Whether a working yarn may carry less than a whole stretch."""
        return self.need.lots.kind in ("alternate", "any")

    @property
    def share_cm(self) -> int:
        """Least that a working yarn carries of a divisible need: a piece, and 1/(2N) under `alternate N`."""
        least = self.stretches[0].least_cm
        if self.need.lots.kind == "alternate" and self.need.lots.most is not None:
            least = max(least, -(-self.planned_cm // (2 * self.need.lots.most)))
        return least


@dataclass(frozen=True)
class Making:
    """One project in one of its sizes."""

    project: Project
    pattern: Pattern
    size: str
    needs: tuple[SizedNeed, ...]

    @cached_property
    def order(self) -> tuple[str, ...]:
        """The needs of the pattern's order that arise in this size."""
        arising = {sized.need.name for sized in self.needs}
        return tuple(name for name in self.pattern.order if name in arising)

    @cached_property
    def meetings(self) -> list[list[Meeting]]:
        """By place of a need, and by place of the need it meets."""
        return [[self.meeting(one, other) for other in self.needs] for one in self.needs]

    def meeting(self, one: SizedNeed, other: SizedNeed) -> Meeting:
        return Meeting(one.need, other.need, self.pattern.wash, self.project.bleed_risk, self.order)


@dataclass(frozen=True)
class Instance:
    """All that the model knows."""

    stock: Mapping[str, tuple[Piece, ...]]
    makings: tuple[Making, ...]
    before: tuple[Mapping[str, tuple[Colour, ...]], ...] = ()  # options it must differ from: need -> colours
    _strangers: dict[object, dict[WorkingYarn, frozenset[WorkingYarn]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def strangers(
        self, making: Making, one: SizedNeed, other: SizedNeed
    ) -> Mapping[WorkingYarn, frozenset[WorkingYarn]]:
        """For every yarn of the one need, the yarns of the other that it may never meet."""
        meeting = making.meeting(one, other)
        asked = ((sized.need.name, sized.need.lots, sized.need.colour, sized.yarns) for sized in (one, other))
        key = (meeting.wash, meeting.bleed_risk, meeting.order, *asked)
        if key not in self._strangers:
            self._strangers[key] = {
                a: frozenset(b for b in other.yarns if not may_meet(meeting, a, b)) for a in one.yarns
            }
        return self._strangers[key]


def build(
    stash: Stash,
    patterns: Mapping[str, Pattern],
    projects: Sequence[Project],
    confidence: Fraction,
    known: Mapping[str, tuple[Piece, ...]] | None = None,
    shelf: Shelf | None = None,
) -> Instance:
    """Put the question, by guarded lengths and with reserve.

    `known`: pieces of lots worked out before. `shelf`: of these lots, which may be other than they are in length alone.
    """
    return _build(stash, patterns, projects, confidence, shelf or Shelf(tuple(stash.lots.values())), known or {})


def outline(
    stash: Stash, patterns: Mapping[str, Pattern], projects: Sequence[Project], confidence: Fraction
) -> tuple[Instance, Shelf]:
    """Put the question without the yarns that suit each need, and beside it the shelf to find them on."""
    shelf = Shelf(tuple(stash.lots.values()))
    return _build(stash, patterns, projects, confidence, None), shelf


def guessed(stash: Stash, patterns: Mapping[str, Pattern], projects: Sequence[Project]) -> Instance:
    """The question of the verdict `tight`, by best-guess lengths and without reserve; without the yarns that suit."""
    return _build(stash, patterns, projects, None, None)


def suited(making: Making, shelf: Shelf) -> Making:
    """The making with the yarns that suit each of its needs."""
    project, pattern = making.project, making.pattern
    needs = (replace(own, yarns=_suited(shelf, project, pattern, own.need)) for own in making.needs)
    return replace(making, needs=tuple(needs))


def build_twice(
    stash: Stash, patterns: Mapping[str, Pattern], projects: Sequence[Project], confidence: Fraction
) -> tuple[Instance, Instance, Shelf]:
    """Put the question, and beside it the one of the verdict `tight`: by best-guess lengths and without reserve.

    Who suits whom is the same in both, and found once, on the shelf.
    """
    shelf = Shelf(tuple(stash.lots.values()))
    asked = _build(stash, patterns, projects, confidence, shelf)
    guessed = _build(stash, patterns, projects, None, shelf)
    return asked, replace(asked, stock=guessed.stock, makings=guessed.makings), shelf


def _build(
    stash: Stash,
    patterns: Mapping[str, Pattern],
    projects: Sequence[Project],
    confidence: Fraction | None,
    shelf: Shelf | None,
    known: Mapping[str, tuple[Piece, ...]] = MappingProxyType({}),
) -> Instance:
    stock = {lot.id: known[lot.id] if lot.id in known else _pieces(lot, confidence) for lot in stash.lots.values()}
    makings = tuple(
        _making(project, patterns[project.pattern], size, shelf, best_guess=confidence is None)
        for project in projects
        for size in project.sizes
    )
    return Instance(stock, makings) if shelf is None else Instance(stock, makings, _strangers=shelf.strangers)


def held_cm(stock: Iterable[Piece], least_cm: int) -> int:
    """Upper bound on what pieces can give, ends taken off, when none gives less than `least_cm`."""
    return sum(piece.length_cm - END_CM for piece in stock if piece.length_cm - END_CM >= least_cm)


def round_up_cm(metres: Fraction) -> int:
    """To the grid, so that nothing needed is lost."""
    return math.ceil(metres * 100 - GRID)


def _suited(shelf: Shelf | None, project: Project, pattern: Pattern, need: Need) -> tuple[WorkingYarn, ...]:
    return () if shelf is None else shelf.suited(need, setting_of(project, pattern, need))


def setting_of(project: Project, pattern: Pattern, need: Need) -> Setting:
    """What of the project bears on who suits the need."""
    return Setting(project.pins.get(need.name, NO_PIN), pattern.wash, project.bleed_risk)


def _making(project: Project, pattern: Pattern, size: str, shelf: Shelf | None, *, best_guess: bool) -> Making:
    reserve = Fraction(0) if best_guess else project.reserve
    return Making(
        project,
        pattern,
        size,
        tuple(
            _sized(pattern.needs[name], amounts, reserve, _suited(shelf, project, pattern, pattern.needs[name]))
            for name, amounts in pattern.sizes[size].items()
        ),
    )


def _sized(
    need: Need, amounts: Mapping[str | None, Amount], reserve: Fraction, yarns: tuple[WorkingYarn, ...]
) -> SizedNeed:
    need_m = sum((amount.metres for amount in amounts.values()), Fraction(0))
    runs = {part: amount.metres for part, amount in amounts.items()} if need.lots.kind == "by-part" else {None: need_m}
    stretches = []
    least = max(round_up_cm(need.piece_m), 1)  # what is taken gives something
    for part, metres in runs.items():
        planned = round_up_cm(metres * (1 + reserve))
        stretches.append(Stretch(part, planned, min(least, planned)))
    return SizedNeed(need, need_m, tuple(stretches), yarns)


def _pieces(lot: Lot, confidence: Fraction | None) -> tuple[Piece, ...]:
    """The lot's pieces by guarded length, or without a confidence by best guess."""
    return tuple(
        Piece(lot.id, skein.id, number, length)
        for skein in lot.skeins
        for number, length in enumerate(
            lengths.best_cm(lot, skein) if confidence is None else lengths.guarded_cm(lot, skein, confidence), 1
        )
    )
