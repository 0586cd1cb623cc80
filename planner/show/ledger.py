"""What is said of the ledger: of a step that was taken, and of all of them."""

from __future__ import annotations

import shlex
from collections import defaultdict
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.ledger.entries import Book, Finish, Release
from planner.ledger.free import owned
from planner.ledger.history import undone
from planner.show import words
from planner.show.tables import fold, table
from stash.remains import BELIEVED_WITHIN, farther_off
from stash.units import show_count, show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.ledger.booking import Booked
    from planner.ledger.books import Books
    from planner.ledger.entries import Act, Taking
    from stash.units import Quantity, System


def step_text(booked: Booked, units: System) -> str:
    """What a step has done, and how to go on."""
    act, revision = booked.entry.act, f"revision {booked.entry.revision}"
    if isinstance(act, Book):
        lines = _booked(act, booked.changed, revision, units)
    elif isinstance(act, Finish):
        lines = [f"{safe_text(act.project)} is finished, {revision}: its yarn is used."]
        lines += (f"  {safe_text(skein)} has {_weight(mass, units)} left." for skein, mass in act.left.items())
        lines += (f"  {line}" for line in _learnt(booked, act, units))
    elif isinstance(act, Release):
        lines = [f"What was set aside for {safe_text(act.project)} is free again, {revision}."]
    else:
        taken_back = booked.books.ledger.entries[act.revision - 1].act
        lines = [f"Revision {act.revision} no longer counts: {_said(taken_back, units)}. This is {revision}."]
    return _folded(lines)


def _booked(act: Book, changed: Iterable[str], revision: str, units: System) -> list[str]:
    lines = [f"{'Taken off' if act.used else 'Set aside'} by {safe_text(act.plan)}, {revision}:"]
    lines += [f"  {safe_text(project)}: {_yarn(_of(act.takes, project), units)}" for project in act.projects]
    if names := words.listing(safe_text(name) for name in changed):
        lines.append(f"Changed since the plan was made: {names}. The plan still holds.")
    if not act.used:
        shown = shlex.quote(safe_text(act.projects[0]))
        lines += (f"When it is made:       lotwise finish {shown}", f"To give its yarn back: lotwise release {shown}")
    return lines


def _learnt(booked: Booked, act: Finish, units: System) -> Iterator[str]:
    """How the counts of its lots came out."""
    if booked.workspace is None:
        return
    before = booked.workspace.owned.lots
    after = owned(booked.workspace.written, booked.books.standing).lots
    for name, knitted in act.knitted.items():
        old, new = before[name], after[name]
        off = farther_off(old, knitted)
        if off is not None and abs(off) > BELIEVED_WITHIN:
            how = "thicker" if off > 0 else "thinner"
            yield (
                f"{name} came out much {how} than counted ({show_count(1000 * knitted.grams / knitted.metres, units)}, "
                f"not {show_count(old.count.tex, units)}): its count stays; measure it again."
            )
        elif old.count != new.count:
            yield f"{name} counts {show_count(new.count.tex, units)} now, {show_count(old.count.tex, units)} before."


def history_text(books: Books, units: System) -> str:
    """A line for each step, and what is set aside now."""
    if not books.ledger.entries:
        return fold(
            "Nothing was set aside or used yet. Save a plan with `lotwise plan --save NAME`, then `lotwise book NAME`."
        )
    gone = undone(books.ledger)
    aside = books.standing.aside
    head = f"Set aside now: {words.listing(map(safe_text, aside))}." if aside else "Nothing is set aside now."
    rows = [
        (
            str(entry.revision),
            entry.on.isoformat(),
            _said(entry.act, units)
            + (f" ({safe_text(entry.why)})" if entry.why else "")
            + (f" [undone by {gone[entry.revision]}]" if entry.revision in gone else ""),
        )
        for entry in books.ledger.entries
    ]
    return "\n".join((fold(head), "", table(rows, ("revision", "day", "what"), "rll", wrap=2)))


def _said(act: Act, units: System) -> str:
    """An act in a few words."""
    if isinstance(act, Book):
        grams = {one: sum(take.grams for take in _of(act.takes, one)) for one in act.projects}
        each = words.listing(f"{safe_text(one)} ({show_mass(mass, units)})" for one, mass in grams.items())
        return f"{'taken off' if act.used else 'set aside'} by {safe_text(act.plan)} for {each}"
    if isinstance(act, Finish):
        left = words.listing(f"{_weight(mass, units)} of {safe_text(skein)}" for skein, mass in act.left.items())
        return f"finished {safe_text(act.project)}" + (f", left {left}" if left else "")
    if isinstance(act, Release):
        return f"given back what was set aside for {safe_text(act.project)}"
    return f"took back revision {act.revision}"


def _of(takes: Iterable[Taking], project: str) -> list[Taking]:
    return [take for take in takes if take.project == project]


def _yarn(takes: Iterable[Taking], units: System) -> str:
    """So much of each lot: "512 m of slate (230 g)"."""
    cm: dict[str, int] = defaultdict(int)
    grams: dict[str, float] = defaultdict(float)
    for take in takes:
        cm[take.lot] += take.cm
        grams[take.lot] += float(take.grams)
    return words.listing(
        f"{show_length(length / 100, units)} of {safe_text(lot)} ({show_mass(grams[lot], units)})"
        for lot, length in cm.items()
    )


def _weight(mass: Quantity, units: System) -> str:
    return show_mass(mass.value, units, 0 if mass.value.denominator == 1 and units != words.IMPERIAL else 1)


def _folded(lines: Iterable[str]) -> str:
    indents = ((line.strip(), " " * (len(line) - len(line.lstrip()))) for line in lines)
    return "\n".join(fold(line, indent=indent, hanging="    ") for line, indent in indents)
