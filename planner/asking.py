"""What the user asks for: which projects, how sure, how close, and how long it may take."""

from __future__ import annotations

import difflib
import re
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.projects import Project
from stash.nodes import short
from stash.units import UnitError, read_share

if TYPE_CHECKING:
    from collections.abc import Iterable

    from patterns.needs import Pattern
    from planner.workspace import Workspace

LEAST_CONFIDENCE, MOST_CONFIDENCE = Fraction(1, 2), Fraction(999, 1000)
_TIME = re.compile(r"([0-9]{1,6}(?:\.[0-9]{1,3})?) ?(s|m)", re.ASCII)
_SECONDS = {"s": 1.0, "m": 60.0}


class AskError(ValueError):
    """Raised when what is asked cannot be understood; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def ask(workspace: Workspace, names: tuple[str, ...], *, every_size: bool) -> tuple[Project, ...]:
    """Resolve project names, in the order asked and each once; no names: everything on the list.

    A name is that of a listed project (its id, PATTERN:SIZE, PATTERN, or one of its copies NAME#2), else PATTERN:SIZE,
    else PATTERN. PATTERN:SIZE that is not listed by itself is the listed PATTERN kept to that size, where there is one,
    else a project with the pattern's own reserve. PATTERN is every listed project of that pattern; where none is, or
    where there is no projects.yaml, it is one project for each size if `every_size`, else one in any size.

    Of everything on the list what is set aside or finished already is left out; who names it asks for it once more.

    Raises AskError for a name that is none of these, or where nothing is left to ask.
    """
    if not names:
        left = still_open(workspace, every_size=every_size)
        if not left and _everything(workspace, every_size=every_size):
            raise AskError(
                "all that you would like to make is set aside or finished",
                "name a project to ask for it once more; `lotwise history` shows what was done",
            )
        return left
    asked = [p for name in names for p in _named(workspace, name, every_size=every_size)]
    return tuple({project.name: project for project in asked}.values())


def decided(workspace: Workspace) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of projects on the list that are set aside, and of those that are finished.

    A pattern that is on no list may be made any number of times, so it is never done.
    """
    standing, listed = workspace.books.standing, workspace.projects.projects
    names = [p.name for p in _everything(workspace, every_size=False)]
    aside = tuple(name for name in names if name in standing.aside)
    return aside, tuple(name for name in names if listed and name in standing.finished and name not in aside)


def _everything(workspace: Workspace, *, every_size: bool) -> tuple[Project, ...]:
    listed = workspace.projects.projects
    if listed is not None:
        return listed
    return tuple(p for pattern in workspace.patterns.values() for p in _whole(pattern, every_size=every_size))


def still_open(workspace: Workspace, *, every_size: bool) -> tuple[Project, ...]:
    """Everything on the list, or every pattern where there is none, that is neither set aside nor finished."""
    aside, finished = decided(workspace)
    projects = _everything(workspace, every_size=every_size)
    return tuple(project for project in projects if project.name not in {*aside, *finished})


def _named(workspace: Workspace, name: str, *, every_size: bool) -> tuple[Project, ...]:
    listed = workspace.projects.projects or ()
    exact = tuple(p for p in listed if p.name == name)
    if exact:
        return exact
    pattern_id, colon, size = name.partition(":")
    pattern = workspace.patterns.get(pattern_id)
    if pattern is not None and colon and size in pattern.sizes:
        return (_in_size(listed, pattern, size),)
    if pattern is not None and not colon:
        return tuple(p for p in listed if p.pattern == pattern_id) or _whole(pattern, every_size=every_size)
    raise _unknown(workspace, name, pattern)


def _whole(pattern: Pattern, *, every_size: bool) -> tuple[Project, ...]:
    sizes = tuple(pattern.sizes)
    if every_size or len(sizes) == 1:
        return tuple(_bare(pattern, (size,)) for size in sizes)
    return (_bare(pattern, sizes),)


def _bare(pattern: Pattern, sizes: tuple[str, ...]) -> Project:
    name = f"{pattern.id}:{sizes[0]}" if len(sizes) == 1 else pattern.id
    return Project(name, pattern.id, sizes, pattern.reserve, place=pattern.place)


def _in_size(listed: tuple[Project, ...], pattern: Pattern, size: str) -> Project:
    for project in listed:
        if project.name == pattern.id and size in project.sizes:
            return replace(project, name=f"{pattern.id}:{size}", sizes=(size,))
    return _bare(pattern, (size,))


def _unknown(workspace: Workspace, name: str, pattern: Pattern | None) -> AskError:
    if (copies := _copies(workspace, name)) is not None:
        return copies
    if pattern is not None:
        sizes = ", ".join(f"{pattern.id}:{size}" for size in pattern.sizes)
        return AskError(f"{pattern.id} has no such size: {short(name, 80)}", f"write one of {sizes}")
    if not name.strip():
        return AskError("a project's name is empty", "write its name, or none to ask all")
    known = [p.name for p in workspace.projects.projects or ()]
    for other in workspace.patterns.values():
        known += [other.id, *(f"{other.id}:{size}" for size in other.sizes)]
    return AskError(f"no project or pattern is called {short(name, 80)}", _suggest(name, known))


def _copies(workspace: Workspace, name: str) -> AskError | None:
    """A copy that there is not, of a project that there is."""
    whole, mark, _ = name.partition("#")
    names = [p.name for p in workspace.projects.projects or () if p.name.partition("#")[0] == whole]
    if not mark or not names:
        return None
    return AskError(f"{whole} has no such copy: {short(name, 80)}", f"write {_one_of(names)}")


def _one_of(names: list[str]) -> str:
    shown = names if len(names) <= 4 else [names[0], names[1], "and so on to " + names[-1]]
    return shown[0] if len(shown) == 1 else "one of " + ", ".join(shown)


def _suggest(name: str, known: Iterable[str]) -> str:
    names = list(dict.fromkeys(known))
    folded = {candidate.casefold(): candidate for candidate in reversed(names)}
    near = difflib.get_close_matches(name.casefold()[:200], list(folded), n=3, cutoff=0.6)
    if near:
        return f"did you mean {' or '.join(folded[match] for match in near)}?"
    return f"the names are {', '.join(names[:12])}{' and more' if len(names) > 12 else ''}"


def read_confidence(text: str | None, default: Fraction) -> Fraction:
    """How sure a length must be, e.g. "95%" -> 19/20; None: `default`. Raises AskError outside 50 % to 99.9 %."""
    if text is None:
        return default
    share = _share("--confidence", text, "95%")
    if not LEAST_CONFIDENCE <= share <= MOST_CONFIDENCE:
        raise AskError(f"--confidence {text} is out of bounds", "write a share from 50% to 99.9%, such as 95%")
    return share


def read_within(text: str | None) -> Fraction:
    """How far from the best a plan may stop, e.g. "1%" -> 1/100; None: 0. Raises AskError at 100 % or more."""
    if text is None:
        return Fraction(0)
    share = _share("--within", text, "1%")
    if not 0 <= share < 1:
        raise AskError(f"--within {text} is out of bounds", "write a share from 0% to under 100%, such as 1%")
    return share


def _share(flag: str, text: str, example: str) -> Fraction:
    try:
        return read_share(text)
    except UnitError as error:
        raise AskError(f"{flag} {text}: {error}", f"write a share of a hundred, such as {example}") from error


def read_seconds(text: str | None) -> float | None:
    """A time allowed, e.g. "30s" -> 30.0, "2m" -> 120.0; None: no limit. Raises AskError for anything else."""
    if text is None:
        return None
    match = _TIME.fullmatch(text.strip())
    seconds = float(match[1]) * _SECONDS[match[2]] if match else 0.0
    if seconds <= 0:
        raise AskError(f"--time-limit {text} is not a time", "write seconds or minutes, such as 30s, 1.5s or 2m")
    return seconds
