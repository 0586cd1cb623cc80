"""How things stand after all entries of the ledger: what is set aside for whom, what is used, what was weighed."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.ledger import faults as wrong
from planner.ledger.entries import Book, Finish, Ledger, Release, Undo

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from planner.ledger.entries import Entry, Taking
    from stash.faults import Fault
    from stash.remains import Knitted
    from stash.units import Quantity

    Counting = Book | Finish | Release


@dataclass(frozen=True)
class Held:
    """Yarn of one piece that is set aside or used: by which revision, and how sure its length is."""

    taking: Taking
    confidence: Fraction
    revision: int
    used: bool = False


@dataclass
class Standing:
    """`aside` by project; `used`, `left`, `knitted` in order of the revisions that used, weighed, knitted it."""

    aside: dict[str, tuple[Held, ...]] = field(default_factory=dict)
    used: list[Held] = field(default_factory=list)
    finished: dict[str, int] = field(default_factory=dict)  # project -> revision
    left: dict[str, list[tuple[int, Quantity]]] = field(default_factory=lambda: defaultdict(list))  # by skein
    knitted: dict[str, list[tuple[int, Knitted]]] = field(default_factory=lambda: defaultdict(list))  # by lot
    last: int | None = None  # the last revision that counts

    def held(self, *, but_for: str | None = None) -> list[Held]:
        """What is set aside for all projects, or for all but one."""
        return [held for project, all_held in self.aside.items() if project != but_for for held in all_held]


def stand(ledger: Ledger) -> tuple[Standing, list[Fault]]:
    """Go through the entries in order of their revisions. Faults: an entry that cannot follow those before it."""
    faults: list[Fault] = []
    standing = Standing()
    for entry, act in _counting(ledger.entries, faults):
        _settle(standing, entry, act, faults)
        standing.last = entry.revision
    return standing, faults


def _counting(entries: Iterable[Entry], faults: list[Fault]) -> list[tuple[Entry, Counting]]:
    """The entries that are not undone, without those that undo, and what each did."""
    counting: list[tuple[Entry, Counting]] = []
    for entry in entries:
        if not isinstance(entry.act, Undo):
            counting.append((entry, entry.act))
            continue
        last = counting[-1][0].revision if counting else None
        if last == entry.act.revision:
            counting.pop()
        else:
            faults.append(wrong.undoes_another(entry, entry.act.revision, last))
    return counting


def _settle(standing: Standing, entry: Entry, act: Counting, faults: list[Fault]) -> None:
    if isinstance(act, Book):
        _book(standing, entry, act, faults)
        return
    held = standing.aside.pop(act.project, None)
    if held is None:
        faults.append(wrong.not_set_aside(entry, act.project))
    elif isinstance(act, Finish):
        _finish(standing, entry.revision, act, held)


def _book(standing: Standing, entry: Entry, act: Book, faults: list[Fault]) -> None:
    for project in act.projects:
        if project in standing.aside:
            faults.append(wrong.set_aside_twice(entry, project))
            continue
        takes = (take for take in act.takes if take.project == project)
        held = tuple(Held(take, act.confidence, entry.revision, act.used) for take in takes)
        if act.used:
            standing.used += held
            standing.finished[project] = entry.revision
        else:
            standing.aside[project] = held


def _finish(standing: Standing, revision: int, act: Finish, held: tuple[Held, ...]) -> None:
    standing.used += (Held(one.taking, one.confidence, revision, used=True) for one in held)
    standing.finished[act.project] = revision
    for skein, mass in act.left.items():
        standing.left[skein].append((revision, mass))
    for lot, knitted in act.knitted.items():
        standing.knitted[lot].append((revision, knitted))
