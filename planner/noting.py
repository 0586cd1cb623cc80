"""What a run has written so far, or would write.

What it has written is told by what lies on the disk, so that whatever stops it tells the truth about it.
"""

from __future__ import annotations

from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.faultprint import safe_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path


@dataclass
class Rehearsal:
    """What would have been written, in order: paths and whole contents, with what was there before."""

    files: list[tuple[Path, bytes, bytes]] = field(default_factory=list)


_Note = tuple["Path", "Mapping[Path, bytes]"]
_REHEARSAL: ContextVar[Rehearsal | None] = ContextVar("rehearsal", default=None)
_NOTES: ContextVar[list[_Note] | None] = ContextVar("notes", default=None)


@contextmanager
def rehearsing() -> Iterator[Rehearsal]:
    """Within it nothing is written, but kept to be shown."""
    rehearsal = Rehearsal()
    token = _REHEARSAL.set(rehearsal)
    try:
        yield rehearsal
    finally:
        _REHEARSAL.reset(token)


def rehearsal_now() -> Rehearsal | None:
    """Where to put what is not to be written; None where it is."""
    return _REHEARSAL.get()


@contextmanager
def noting() -> Iterator[None]:
    """Within it every name that is given is noted."""
    token = _NOTES.set([])
    try:
        yield
    finally:
        _NOTES.reset(token)


@contextmanager
def giving_name(path: Path, files: Mapping[Path, bytes]) -> Iterator[None]:
    """Around the step after which `path` is there and `files` hold those bytes.

    It is noted before the step, since a run may be stopped right after it.
    """
    notes = _NOTES.get()
    notes = [] if notes is None else notes
    notes.append((path, files))
    try:
        yield
    except FileExistsError:
        notes.pop()  # what is there is another's, even if it reads the same
        raise


def told_changes() -> str:
    """What was written, in words; "" for nothing."""
    names = dict.fromkeys(str(path) for path, files in _NOTES.get() or () if _hold(files))
    return f"{safe_text(', '.join(names))} {'was' if len(names) == 1 else 'were'} written" if names else ""


def _hold(files: Mapping[Path, bytes]) -> bool:
    try:
        return all(path.read_bytes() == data for path, data in files.items())
    except OSError:
        return False
