"""What may be altered about one project: a copy with the alteration, and what to write in which file for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from patterns.needs import Need, Pattern
    from patterns.projects import Project
    from planner.reasons import Reason
    from stash.lots import Stash


@dataclass(frozen=True)
class Wish:
    """One project in one size, with its pattern and the stash it is made from."""

    project: Project
    pattern: Pattern
    stash: Stash


@dataclass(frozen=True)
class Edit:
    """What to write in a file.

    `keys` lead to the value from the file's top, or from the project's own entry where `line` and `column` say where
    that begins. `value` is as written in the file; None: the key is left out. `new`: the value is a new entry of the
    list under `keys`.
    """

    file: str
    under: str  # where it stands, in words
    keys: tuple[str, ...]
    value: str | None
    line: int | None = None
    column: int | None = None
    new: bool = False

    @property
    def text(self) -> str:
        """The line to write, or what to leave out."""
        if self.new:
            return f"- {self.value}"
        return f"{self.keys[-1]}: {self.value}" if self.value is not None else f"leave out {self.keys[-1]}:"


@dataclass(frozen=True)
class Rung:
    """One step of an alteration: what it is, how it is written, the altered copy, and how much it changes."""

    what: Reason
    edits: tuple[Edit, ...]
    alter: Callable[[Wish], Wish]
    cost: float


@dataclass(frozen=True)
class Steps(Sequence[Rung]):
    """A step for each of some percentages or the like, written out when it is looked at: of a hundred, seven are."""

    each: Sequence[int]
    step: Callable[[int], Rung]

    def __len__(self) -> int:
        return len(self.each)

    def __getitem__(self, place: Any) -> Any:
        return Steps(self.each[place], self.step) if isinstance(place, slice) else self.step(self.each[place])


@dataclass(frozen=True)
class Ladder:
    """Steps of one kind, the smallest first.

    `rising`: what works on a step works on every later one, so that the least may be found by halving. Else each step
    is a thing of its own, and the first that works is taken. `same_knit`: the knitted thing stays as it is. `need`: the
    one need it bears on; None: it may bear on all.
    """

    kind: str
    rungs: Sequence[Rung]
    need: str | None = None
    rising: bool = True
    same_knit: bool = False


def need_edit(pattern: Pattern, need: str, keys: tuple[str, ...], value: str | None) -> Edit:
    """What to write in the pattern's file under one of its needs."""
    under = ", ".join((f"need {need}", *keys[:-1]))
    return Edit(pattern.place.file, under, ("needs", need, *keys), value)


def project_edit(project: Project, keys: tuple[str, ...], value: str | None) -> Edit:
    """What to write in the entry of a listed project."""
    assert project.place is not None  # noqa: S101 - a listed project has its place
    place = project.place
    under = ", ".join((f"line {place.line} ({project.pattern})", *keys[:-1]))
    return Edit(place.file, under, keys, value, place.line, place.column)


def listed(project: Project, pattern: Pattern) -> bool:
    """Whether the project stands in projects.yaml; one asked by its pattern has its pattern's place."""
    return project.place is not None and project.place.file != pattern.place.file


def with_need(wish: Wish, name: str, change: Callable[[Need], Need]) -> Wish:
    """The wish with one need of its pattern changed."""
    needs = {**wish.pattern.needs, name: change(wish.pattern.needs[name])}
    return replace(wish, pattern=replace(wish.pattern, needs=needs))


def altered(wish: Wish, rungs: Iterable[Rung]) -> Wish:
    """The wish with every one of the steps taken."""
    for rung in rungs:
        wish = rung.alter(wish)
    return wish
