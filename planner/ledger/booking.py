"""What is added to the ledger: yarn set aside by a plan or used, a project finished, yarn given back, a step undone."""

from __future__ import annotations

import hashlib
import shlex
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from planner.asking import AskError, ask
from planner.ledger.books import Books, home_of, load_books
from planner.ledger.entries import FILE, Book, Entry, Ledger, Release, Taking, Undo
from planner.ledger.standing import stand
from planner.ledger.text import added
from planner.locking import locked
from planner.saved import changed_since, load_saved
from planner.show.weighing import Scales
from planner.verify.check import verify
from planner.writing import ChangedError, read_ours, replace_file
from stash.faults import Fault, FaultyFilesError, Place
from stash.fields import MOST_TEXT
from stash.nearest import suggest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from planner.ledger.entries import Act
    from planner.ledger.standing import Held
    from planner.plan import Plan, PlannedProject
    from planner.saved import Saved
    from planner.workspace import Workspace


@dataclass(frozen=True)
class Booked:
    """An entry that was added, and the books with it; `changed`: the plan's files that are not as they were then."""

    entry: Entry
    books: Books
    workspace: Workspace | None = None
    changed: tuple[str, ...] = ()


@contextmanager
def added_to(folder: Path) -> Iterator[Callable[[Books, Act, str], Booked]]:
    """Within it nobody else changes the ledger; it gives what adds an entry to the books read within it."""

    def add(books: Books, act: Act, why: str) -> Booked:
        _refuse_unwritable(why)
        entry = Entry(len(books.ledger.entries) + 1, date.today(), act, why)  # noqa: DTZ011 (the user's own day)
        data = added(books.data, entry, books.ledger.seal)
        replace_file(folder / FILE, books.data, data)
        ledger = Ledger((*books.ledger.entries, entry), "")
        return Booked(entry, Books(data, ledger, stand(ledger)[0], books.written))

    with locked(home_of(folder)):
        yield add


def book(
    folder: Path, load: Callable[[Path], Workspace], name: str, projects: Sequence[str], *, used: bool, why: str
) -> Booked:
    """Set aside the yarn of a saved plan, or of some of its projects; `used`: it is gone already.

    The plan is checked once more against the files as they are. Raises AskError, FaultyFilesError where it does not
    hold any more, OSError; nothing is changed then.
    """
    with added_to(folder) as add:
        workspace = load(folder)
        saved = load_saved(folder, name)
        chosen = _chosen(saved.plan, projects)
        plan = saved.file.rpartition("/")[2].removesuffix(".json")
        for project in chosen:
            _refuse_booked(workspace.books, project.project, plan)
        changed = changed_since(saved, workspace)
        _refuse_unfit(saved, chosen, workspace, changed)
        scales = Scales(workspace.stash, saved.plan.confidence)
        takes = tuple(
            Taking(project.project, need.need, take.lot, take.skein, take.piece, take.take_cm, scales.grams(take))
            for project in chosen
            for need in project.needs
            for run in need.runs
            for take in run.takes
        )
        refuse_changed(workspace)
        act = Book(plan, saved.plan.confidence, takes, used=used)
        return replace(add(workspace.books, act, why), workspace=workspace, changed=changed)


def release(folder: Path, project: str, why: str) -> Booked:
    """Give back what is set aside for a project. Raises AskError, FaultyFilesError, OSError."""
    with added_to(folder) as add:
        books = read_books(folder)
        held_for(books, project)
        return add(books, Release(project), why)


def undo(folder: Path, why: str) -> Booked:
    """Take back the last entry that counts. Raises AskError, FaultyFilesError, OSError."""
    with added_to(folder) as add:
        books = read_books(folder)
        if books.standing.last is None:
            raise AskError("there is nothing to undo", "`lotwise history` shows what was done")
        return add(books, Undo(books.standing.last), why)


def read_books(folder: Path) -> Books:
    """The ledger alone, whatever the other files say. Raises FaultyFilesError, OSError."""
    folder.stat()
    books, faults = load_books(folder)
    if not all(fault.warning for fault in faults):
        raise FaultyFilesError(tuple(sorted(faults)))
    return books


def _refuse_unwritable(why: str) -> None:
    """Raise AskError for words that could not be read back from one line."""
    if len(why) > MOST_TEXT or not why.isprintable():
        raise AskError(f"--why takes one line of at most {MOST_TEXT} characters", 'such as --why "for the fair"')


def _chosen(plan: Plan, names: Sequence[str]) -> tuple[PlannedProject, ...]:
    made = {project.project: project for project in plan.projects if project.made}
    if not made:
        raise AskError("nothing is made in this plan", "plan again when there is yarn for it")
    for name in names:
        if name not in made:
            raise AskError(f"the plan does not make {name}", suggest(name, made, "it makes"))
    return tuple(made[name] for name in dict.fromkeys(names)) if names else tuple(made.values())


def _refuse_booked(books: Books, project: str, plan: str) -> None:
    """Raise AskError where yarn is set aside for a project, or was taken off by that very plan."""
    if project in books.standing.aside:
        revision = books.standing.aside[project][0].revision
        raise AskError(
            f"yarn is set aside for {project} already, in revision {revision}",
            f"give it back first: lotwise release {shlex.quote(project)}; "
            "or name the others: lotwise book PLAN PROJECT",
        )
    revision = books.standing.finished.get(project, 0)
    act = books.ledger.entries[revision - 1].act if revision else None
    if isinstance(act, Book) and act.plan == plan:
        raise AskError(
            f"the yarn of plan {plan} for {project} is used already, in revision {revision}",
            "to make another, plan again: lotwise plan --save NAME",
        )


def held_for(books: Books, project: str) -> tuple[Held, ...]:
    aside = books.standing.aside
    if project not in aside:
        known = suggest(project, aside, "yarn is set aside for") if aside else "no yarn is set aside for anything"
        raise AskError(f"nothing is set aside for {project}", known)
    return aside[project]


def _refuse_unfit(saved: Saved, chosen: Sequence[PlannedProject], workspace: Workspace, changed: Sequence[str]) -> None:
    """Raise FaultyFilesError unless the plan holds in the files and in the yarn that is free now."""
    names = tuple(project.project for project in chosen)
    try:
        asked = ask(workspace, names, every_size=False)
    except AskError as error:
        broken: tuple[str, ...] = (f"{error}; {error.hint}",)
    else:
        plan = replace(saved.plan, projects=tuple(chosen))
        broken = verify(plan, asked, workspace.stash, workspace.patterns, totals=False)
    if not broken:
        return
    since = f"; changed since it was made: {', '.join(changed)}" if changed else ""
    raise FaultyFilesError(
        tuple(
            Fault(
                Place(saved.file, 1, 1),
                f"the plan does not hold any more: {words}",
                f"plan again: lotwise plan --save NAME{since}",
            )
            for words in broken
        )
    )


def refuse_changed(workspace: Workspace) -> None:
    """Raise ChangedError where a file was changed while it was reckoned with."""
    for name, digest in workspace.digests.items():
        if hashlib.sha256(read_ours(workspace.folder / name)).hexdigest() != digest:
            raise ChangedError(workspace.folder / name)
