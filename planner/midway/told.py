"""Answers about the knitting as text, each read by what was answered before it; what cannot be raises AskError."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from planner.asking import AskError, ask
from planner.midway.knitting import Hiding
from planner.midway.weighed import Weighing, read_weighing, refuse_more_than_held, used_g
from stash.nearest import suggest
from stash.units import read_length, read_mass, read_share

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from patterns.needs import Pattern
    from patterns.projects import Project
    from planner.ledger.entries import Taking
    from planner.midway.knitting import How
    from planner.workspace import Workspace
    from stash.units import Quantity

WHOLE = "all"
MOST_ROWS = 100_000
MOST_STRANDS = 9
_ROWS = re.compile(r"([0-9]{1,6}) *(?:of|/) *([0-9]{1,6})", re.ASCII)
_HIDING = re.compile(r"([0-9]{1,6})(?: +(.+))?", re.ASCII | re.DOTALL)
_BEFORE_CASTING_ON = "knit some first; until then `lotwise cover` answers"


@dataclass
class Told:
    """What was answered so far."""

    workspace: Workspace
    project: Project | None = None
    need: str = ""
    left: list[Weighing] = field(default_factory=list)
    began: list[Weighing] = field(default_factory=list)
    rows: tuple[int, int] = (0, 0)
    aside: list[Taking] = field(default_factory=list)  # for this very project

    @property
    def asked(self) -> Project:
        if self.project is None:
            raise AskError("PROJECT is missing", "name the project, such as hat:adult")
        return self.project

    @property
    def pattern(self) -> Pattern:
        return self.workspace.patterns[self.asked.pattern]

    @property
    def amounts(self) -> Mapping[str, Mapping[str | None, Any]]:
        """By need and part, in the size that is made."""
        return self.pattern.sizes[self.asked.sizes[0]]

    @property
    def in_parts(self) -> bool:
        return None not in self.amounts[self.need]

    def only_need(self) -> str | None:
        """The one need there is; None where there are several."""
        return next(iter(self.amounts)) if len(self.amounts) == 1 else None

    def read_project(self, text: str) -> Project:
        found = ask(self.workspace, (text,), every_size=False)
        sizes = list(dict.fromkeys(size for project in found for size in project.sizes))
        if len(sizes) > 1:
            which = " or ".join(f"{found[0].pattern}:{size}" for size in sizes)
            raise AskError(f"{text} comes in more than one size", f"say which one is on the needles: {which}")
        self.project = found[0]
        self.aside = [held.taking for held in self.workspace.aside_for(found[0].name)]
        self.workspace = self.workspace.free_for(found[0].name)
        return found[0]

    def read_need(self, text: str) -> str:
        if text not in self.amounts:
            where = f"{self.pattern.id}, size {self.asked.sizes[0]},"
            raise AskError(f"{where} has no need called {text}", suggest(text, self.amounts, "its needs are"))
        self.need = text
        return text

    def read_part(self, text: str) -> str | None:
        parts = [part for part in self.amounts[self.need] if part is not None]
        if text not in parts and text == WHOLE:
            return None
        if text not in parts:
            raise AskError(f"{self.need} has no part called {text}", suggest(text, parts, "its parts are"))
        return text

    def read_rows(self, text: str) -> tuple[int, int]:
        found = _ROWS.fullmatch(text.strip())
        if not found:
            raise AskError(f"'{text}' does not say which row of how many", "write it like 90 of 150")
        now, of = int(found[1]), int(found[2])
        if now == 0:
            raise AskError("nothing is knitted yet, so there is nothing to go by", _BEFORE_CASTING_ON)
        if now > of or of > MOST_ROWS:
            raise AskError(f"row {now} of {of} cannot be", "the row you are on comes first, then how many there are")
        self.rows = now, of
        return self.rows

    def read_left(self, text: str) -> Weighing:
        weighing = read_weighing(text, self.workspace.stash, "slate=62g, or slate=62g in 2 pieces")
        if _of(weighing, self.left):
            raise AskError(f"{weighing.lot.id} is named twice", "write once what is left of it in all")
        refuse_more_than_held(weighing)
        self.left.append(weighing)
        return weighing

    def read_began(self, text: str) -> Weighing:
        weighing = read_weighing(text, self.workspace.stash, "slate=240g")
        name, own = weighing.lot.id, _of(weighing, self.left)
        if own is None:
            raise AskError(f"nothing says what is left of {name}", f"give --left {name}=... too")
        if _of(weighing, self.began):
            raise AskError(f"{name} is named twice", "write once what it began with in all")
        if weighing.mass.value < own.mass.value:
            amounts = f"more left ({own.mass.text}) than it began with ({weighing.mass.text})"
            raise AskError(f"{name} cannot have {amounts}", "weigh it again, the ball you knit from included")
        if not used_g(own, weighing):
            hint = "weigh it again: it began with more than is left, or none of it is knitted yet"
            raise AskError(f"nothing of {name} is used: it began with all that is left ({own.mass.text})", hint)
        refuse_more_than_held(weighing)
        self.began.append(weighing)
        return weighing

    def read_scale(self, text: str) -> Quantity:
        """The steps a scale shows in."""
        step = read_mass(text)
        if not step.value:
            raise AskError("a scale cannot show in steps of nothing", "write its smallest step, such as 1 g")
        for left in self.left:
            if 0 < used_g(left, self.began_of(left)) < step.value:
                raise AskError(
                    f"a scale that shows in steps of {step.text} cannot tell what of {left.lot.id} is used",
                    "weigh on a finer scale, or write its own steps, such as --scale 1g",
                )
        return step

    @property
    def unclear(self) -> bool:
        """Whether the files do not say what was begun with.

        So it is where nothing would be used, and where yarn is set aside: it may be wound off, or still on its skeins.
        """
        return any(used_g(left, None) <= 0 or self._aside_of(left.lot.id) for left in self.left)

    def refuse_unclear(self) -> None:
        """Raise AskError where yarn is set aside and nobody says what was begun with."""
        for left in self.left:
            name = left.lot.id
            held = self._aside_of(name)
            if not held or self.began_of(left):
                continue
            grams = f"{float(sum(one.grams for one in held)):.0f}"
            wide = self.in_parts or any(one.need != self.need for one in held)
            raise AskError(
                f"{grams} g of {name} are set aside for {self.asked.name}: "
                + ("how much of that did you begin this part with?" if wide else "is that what you began with?"),
                (f"say it as its winding list does: --began {name}=..." if wide else f"say so: --began {name}={grams}g")
                + "; or what it was, the whole skein if you knit from one",
            )

    def _aside_of(self, lot: str) -> list[Taking]:
        return [one for one in self.aside if one.lot == lot]

    def began_of(self, left: Weighing) -> Weighing | None:
        return _of(left, self.began)

    def read_serves(self, text: str) -> tuple[str, str]:
        lot, _, need = (part.strip() for part in text.partition("="))
        known = [one.lot.id for one in self.left]
        if lot not in known:
            raise AskError(f"{lot} is not among the lots on the needles", suggest(lot, known, "they are"))
        if need not in self.amounts:
            raise AskError(f"there is no need called {need}", suggest(need, self.amounts, "the needs are"))
        return lot, need

    def read_hiding(self, text: str) -> Hiding:
        found = _HIDING.fullmatch(text.strip())
        now, of = self.rows
        if not found or not now <= int(found[1]) <= of:
            hint = 'write a row and what is there, such as "112 under the arm"'
            raise AskError(f"'{text}' is no row from {now} to {of}", hint)
        return Hiding(int(found[1]), (found[2] or "").strip())

    def read_finished(self, text: str) -> tuple[str, str | None]:
        """A part of the need asked for, else a whole other need, else a part of another need."""
        if text in self.amounts[self.need]:
            return self.need, text
        if text in self.amounts and text != self.need:
            return text, None
        places = [(need, part) for need, parts in self.amounts.items() for part in parts if part == text]
        if len(places) != 1:
            parts = [part for need in self.amounts.values() for part in need if part is not None]
            known = [*parts, *(need for need in self.amounts if need != self.need)]
            hint = suggest(text, known, "there are") if known else "this is all there is to knit: leave it out"
            raise AskError(f"there is no part or need called {text}", hint)
        return places[0]


def read_done(text: str) -> Fraction:
    """The share that is done, above 0 and not above 1."""
    share = read_share(text)
    if share == 0:
        raise AskError("nothing is knitted yet, so there is nothing to go by", _BEFORE_CASTING_ON)
    if share > 1:
        raise AskError(f"{text} done is more than the whole", "write a share up to 100%, such as 60%")
    return share


def read_widths(text: str) -> tuple[Fraction, ...]:
    """Widths at the first row, now and at the last row, in metres; the last may be 0."""
    widths = [read_length(one).value for one in text.split(",")]
    if len(widths) == 3 and not widths[1]:
        raise AskError("the width now cannot be 0", "measure it along the needles, stretched as little as you can")
    if len(widths) != 3:
        raise AskError(
            f"'{text}' is not three widths",
            "write how wide it is at the start, now and at the end: 50 cm, 45 cm, 40 cm",
        )
    return tuple(widths)


def read_how(text: str) -> How:
    known: dict[str, How] = {"alternate": "alternate", "together": "together", "stranded": "stranded"}
    if text not in known:
        raise AskError(f"'{text}' is not a way to use several lots", suggest(text, known, "write one of"))
    return known[text]


def read_strands(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:3]) <= MOST_STRANDS:
        raise AskError(f"'{text}' is no number of strands", f"write a whole number from 1 to {MOST_STRANDS}")
    return int(text)


def _of(weighing: Weighing, among: list[Weighing]) -> Weighing | None:
    return next((one for one in among if one.lot.id == weighing.lot.id), None)
