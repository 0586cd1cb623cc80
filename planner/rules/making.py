"""Who is made."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.program import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns


def one_size(columns: Columns) -> Iterator[Row]:
    """A project is made in at most one of its sizes.

    For every project: sum over its sizes of made <= 1.
    """
    for number, indices in enumerate(_by_project(columns).values()):
        if len(indices) > 1:
            yield Row(f"one_size_{number:05d}", tuple((columns.made[i], 1.0) for i in indices), "<=", 1)


def copies_in_turn(columns: Columns) -> Iterator[Row]:
    """A later copy is made only if the copy before it is; copies are alike, so nothing is lost.

    For every copy but the first: sum over sizes of made(copy) <= sum over sizes of made(copy before).
    """
    by_project = _by_project(columns)
    for number, (name, indices) in enumerate(by_project.items()):
        before = by_project.get(copy_before(name))
        if before:
            terms = [(columns.made[i], 1.0) for i in indices] + [(columns.made[i], -1.0) for i in before]
            yield Row(f"copies_in_turn_{number:05d}", tuple(terms), "<=", 0)


def copy_before(name: str) -> str:
    """The name of the copy before this one: NAME#3 -> NAME#2 -> NAME; empty for a first copy."""
    base, _, number = name.partition("#")
    if not number:
        return ""
    return base if number == "2" else f"{base}#{int(number) - 1}"


def _by_project(columns: Columns) -> dict[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for index, making in enumerate(columns.instance.makings):
        found[making.project.name].append(index)
    return found
