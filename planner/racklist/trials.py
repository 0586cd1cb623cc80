"""Trying finds: whether a project would be enough with a lot added, each way found checked.

Finds that suit the same needs beside the same yarns are one question, which is asked once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone
from planner.instance import Making, setting_of
from planner.lacking import what_is_missing
from planner.pairs import may_meet
from planner.plan import UndecidedError
from planner.rack.unlocking import with_lot
from planner.racklist.finds import Kind, find_lot
from planner.reckoning import Reckoning
from planner.shelf import Shelf
from planner.suits import REASONS, first_refusal
from planner.workers import stop_or_go_on
from planner.yarns import WorkingYarn
from stash.lengths import STATED_LENGTH_U, guarded_cm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.projects import Project
    from planner.plan import PlannedProject
    from planner.workspace import Workspace
    from stash.colour import Colour
    from stash.lots import Lot, Stash

    Question = tuple[object, ...]

ROUNDING = 1e-9
MORE = Fraction(11, 10)  # beyond all that a project takes
RECENT = 16  # finds remembered, and what is held of them


@dataclass(frozen=True, eq=False)
class Open:
    """A project that is not enough in a size, and the least length of one lot that could change it."""

    place: int
    making: Making
    least_m: int


class Trials:
    """The projects asked that are not enough, and what a find would make of them."""

    def __init__(self, workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> None:
        self.workspace, self.confidence = workspace, confidence
        self.name = _free_name(workspace.stash)
        shelf = Shelf(tuple(workspace.stash.lots.values()))
        self.base = instances.build(workspace.stash, workspace.patterns, projects, confidence, shelf=shelf)
        self._as_it_is = Reckoning(shelf, self.base.stock)
        self.undecided: list[str] = []
        self.asked = 0  # about finds
        self._find = lru_cache(RECENT)(self._find_of)
        self._alone = lru_cache(RECENT)(self._alone_of)
        self._beside = lru_cache(RECENT)(self._beside_of)
        self._like = lru_cache(None)(self._like_of)
        self.open = self._open()
        self._least: dict[Question, int | None] = {}
        self._lengths: dict[int, set[int]] = {}
        self._questions: dict[tuple[Kind, int], Question | None] = {}
        self._shelves: dict[Question, Shelf] = {}
        self._judged: dict[Question, PlannedProject | None] = {}

    def _open(self) -> tuple[Open, ...]:
        found: dict[str, list[Making]] = {}
        enough = set()
        for making in self.base.makings:
            name = making.project.name
            try:
                if name not in enough and made_alone(self.workspace, self._as_it_is, making, self.confidence):
                    enough.add(name)
            except UndecidedError:
                self.undecided.append(name)
            found.setdefault(name, []).append(making)
        short = [m for name, own in found.items() if name not in {*enough, *self.undecided} for m in own]
        return tuple(self._opened(place, making) for place, making in enumerate(short))

    def _opened(self, place: int, making: Making) -> Open:
        """Whole metres as measured, below which no one find will do: what is missing in all.

        A need that keeps to certain lots is opened to the find where it is the one that lacks yarn.
        """
        missing = what_is_missing(self._as_it_is, making)
        if missing is None:
            return Open(place, making, 1)
        lacking = {name for name, kind in missing.kinds.items() if kind is not None}
        welcoming = replace(making, project=_welcoming(making.project, lacking, self.name))
        sure = 1 - NormalDist().inv_cdf(float(self.confidence)) * STATED_LENGTH_U
        return Open(place, welcoming, max(1, math.ceil(missing.total_cm / 100 / sure - ROUNDING)))

    def suited_by(self, kind: Kind) -> tuple[Open, ...]:
        """Those with a need that such a find suits, however much of it there is."""
        stop_or_go_on()
        return tuple(one for one in self.open if self._question(kind, one) is not None)

    def least_metres(self, kind: Kind, tried: Open) -> int | None:
        """The least whole metres of such a find that make the project enough; None when no length does."""
        question = self._question(kind, tried)
        if question is None:
            return None
        if question not in self._least:
            self._least[question] = self._search(kind, tried)
        return self._least[question]

    def _search(self, kind: Kind, tried: Open) -> int | None:
        needs = tried.making.needs
        most = math.ceil(MORE * sum(one.planned_cm * one.need.strands[1] for one in needs) / 100) + 10 + tried.least_m
        if self.made(kind, tried, most) is None:
            return None
        for known in sorted({tried.least_m, *self._lengths.get(tried.place, ())}):  # most often one of these is it
            if known >= most or self.made(kind, tried, known) is None:
                continue
            if known == tried.least_m or self.made(kind, tried, known - 1) is None:
                return self._noted(tried, known)
            most = known
            break
        low, high, step = tried.least_m - 1, most, 1  # low is not enough, high is
        while high - low > 1:
            middle = min(low + step, (low + high) // 2)
            if self.made(kind, tried, middle) is None:
                low, step = middle, step * 4
            else:
                high, step = middle, most
        return self._noted(tried, high)

    def _noted(self, tried: Open, metres: int) -> int:
        self._lengths.setdefault(tried.place, set()).add(metres)
        return metres

    def made(self, kind: Kind, tried: Open, metres: int, each_m: Fraction | None = None) -> PlannedProject | None:
        """How the project is made with so much of such a find, checked; None when it cannot, or was not settled."""
        own = self._question(kind, tried)
        if own is None:
            return None
        question = (*own, metres, each_m)
        if question not in self._judged:
            if own not in self._shelves:
                self._shelves[own] = self._shelf_with(self._find(kind))
            lot = find_lot(kind, metres, self.name, each_m=each_m)
            self._judged[question] = self._judge(lot, self._shelves[own], tried.making)
        return self._judged[question]

    def judged(self, lot: Lot, tried: Open) -> PlannedProject | None:
        """As `made`, asked anew."""
        return self._judge(lot, self._shelf_with(lot), tried.making)

    def _shelf_with(self, lot: Lot) -> Shelf:
        return Shelf((*self.workspace.stash.lots.values(), lot))

    def _judge(self, lot: Lot, shelf: Shelf, making: Making) -> PlannedProject | None:
        self.asked += 1
        richer = replace(self.workspace, stash=with_lot(self.workspace.stash, lot))
        try:
            return made_alone(richer, Reckoning(shelf, self.stock_with(lot)), making, self.confidence)
        except UndecidedError:
            return None

    def stock_with(self, lot: Lot) -> dict[str, tuple[instances.Piece, ...]]:
        """What may be taken of everything, the find among it."""
        pieces = tuple(
            instances.Piece(lot.id, skein.id, number, length)
            for skein in lot.skeins
            for number, length in enumerate(guarded_cm(lot, skein, self.confidence), 1)
        )
        return dict(sorted({**self.base.stock, lot.id: pieces}.items()))

    def with_find(self, kind: Kind, making: Making) -> Making:
        """The project with the find among the yarns that suit its needs."""
        return replace(
            making,
            needs=tuple(
                replace(sized, yarns=tuple(sorted((*sized.yarns, *new), key=lambda yarn: yarn.name)))
                for sized, new in zip(making.needs, self._new_yarns(kind, making), strict=True)
            ),
        )

    def _new_yarns(self, kind: Kind, making: Making) -> list[tuple[WorkingYarn, ...]]:
        """For each need, the working yarns with the find in them that suit it."""
        found = []
        for sized in making.needs:
            need, setting = sized.need, setting_of(making.project, making.pattern, sized.need)
            least, most = need.strands
            own = [self._alone(kind, strands) for strands in range(least, most + 1)]
            yarns = [yarn for yarn in own if first_refusal(REASONS, need, yarn, setting) is None]
            if most > 1:
                beside = self._beside(kind, marl=need.marl).of_several_lots(need, setting)
                yarns += [yarn for yarn in beside if self.name in yarn.lot_ids]
            found.append(tuple(sorted(yarns, key=lambda yarn: yarn.name)))
        return found

    def _alone_of(self, kind: Kind, strands: int) -> WorkingYarn:
        """The find alone, held so many times."""
        return WorkingYarn(((self._find(kind), strands),))

    def _find_of(self, kind: Kind) -> Lot:
        """Of no length that counts: how much there is of a find does not bear on who suits whom."""
        return find_lot(kind, 1, self.name)

    def _beside_of(self, kind: Kind, *, marl: bool) -> Shelf:
        """The find, and the lots that may be strands beside it."""
        mates = tuple(self.workspace.stash.lots.values()) if marl else self._like(kind.colour)
        return Shelf((self._find(kind), *mates))

    def _like_of(self, colour: Colour) -> tuple[Lot, ...]:
        shelf = self._as_it_is.shelf
        return tuple(shelf.lots[place] for place in shelf.like(colour))

    def _question(self, kind: Kind, tried: Open) -> Question | None:
        key = (kind, tried.place)
        if key not in self._questions:
            self._questions[key] = self._put(kind, tried)
        return self._questions[key]

    def _put(self, kind: Kind, tried: Open) -> Question | None:
        """What of a find bears on the answer: the needs it suits and the yarns it may not meet; None: it suits none."""
        making = tried.making
        new = self._new_yarns(kind, making)
        if not any(new):
            return None
        parts: list[object] = [tried.place]
        everything = [(*sized.yarns, *own) for sized, own in zip(making.needs, new, strict=True)]
        for sized, own, meetings in zip(making.needs, new, making.meetings, strict=True):
            for yarn in own:
                parts += [sized.need.name, yarn.name]
                for meeting, yarns in zip(meetings, everything, strict=True):
                    parts.append(tuple(one.name for one in yarns if not may_meet(meeting, yarn, one)))
                if sized.need.name in making.order:
                    light = sorted((one.colour.lightness, one.name) for yarns in everything for one in yarns)
                    parts.append(tuple(name for _, name in light))
        return tuple(parts)


def _welcoming(project: Project, needs: set[str], lot: str) -> Project:
    """The project with the find added where these needs keep to certain lots."""
    pins = {
        need: replace(pin, only=pin.only | {lot}) if pin.only is not None and need in needs else pin
        for need, pin in project.pins.items()
    }
    return replace(project, pins=pins)


def _free_name(stash: Stash) -> str:
    taken = {name.casefold() for name in (*stash.donors, *stash.lots)}
    taken |= {skein.id.casefold() for lot in stash.lots.values() for skein in lot.skeins}
    name, number = "find", 1
    while any(one == name or one.startswith(f"{name}-") for one in taken):
        number += 1
        name = f"find{number}"
    return name
