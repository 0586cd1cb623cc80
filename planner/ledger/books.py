"""The ledger of a workspace as it is read with the other files: its bytes, its entries and how things stand."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner import workspacefaults
from planner.ledger import faults as wrong
from planner.ledger.counting import counted_otherwise
from planner.ledger.entries import FILE, Ledger
from planner.ledger.free import check
from planner.ledger.read import MOST_BYTES, read_ledger
from planner.ledger.standing import Standing, stand
from stash.textfaults import file_too_big

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from patterns.needs import Pattern
    from patterns.projects import ProjectList
    from stash.faults import Fault
    from stash.lots import Stash


@dataclass(frozen=True)
class Books:
    """`data`: the ledger's bytes; `written`: the stash as the user's files have it, once that is read."""

    data: bytes = b""
    ledger: Ledger = field(default_factory=Ledger)
    standing: Standing = field(default_factory=Standing)
    written: Stash | None = None


NO_BOOKS = Books()


def load_books(folder: Path) -> tuple[Books, list[Fault]]:
    """Read the ledger in a workspace's folder; without the file nothing was ever booked. Raises OSError."""
    path = folder / FILE
    if not os.path.lexists(path):
        return NO_BOOKS, []
    status = path.stat()  # a link that leads nowhere is an error: a ledger that is away must not look like none
    if not stat.S_ISREG(status.st_mode):
        return NO_BOOKS, [workspacefaults.not_a_plain_file(FILE)]
    if status.st_size > MOST_BYTES:
        return NO_BOOKS, [file_too_big(FILE, status.st_size, MOST_BYTES)]
    data = path.read_bytes()
    found = read_ledger(FILE, data)
    if found.ledger is None:
        return NO_BOOKS, list(found.faults)
    standing, faults = stand(found.ledger)
    return Books(data, found.ledger, standing), [*found.faults, *faults]


def home_of(folder: Path) -> Path:
    """The folder in which a workspace's ledger really lies, which may be another's too. Raises OSError."""
    path = folder / FILE
    if not os.path.lexists(path):
        return folder
    path.stat()
    return path.resolve().parent


def check_books(
    stash: Stash, patterns: Mapping[str, Pattern], projects: ProjectList, standing: Standing
) -> Iterator[Fault]:
    """What the ledger says against what the other files say."""
    yield from check(stash, standing)
    known = [project.name for project in projects.projects or ()]
    for pattern in patterns.values():
        known += [pattern.id, *(f"{pattern.id}:{size}" for size in pattern.sizes)]
    for project, held in standing.aside.items():
        if project not in known and project.partition("#")[0] not in known:
            yield wrong.unknown_project(held[0].taking, known)
    yield from counted_otherwise(stash, standing)
