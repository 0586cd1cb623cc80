"""Which few finds to look for: those that together unlock the most projects, proved best where time allows."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.program import Program, Row
from planner.solve import Status, solve

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from fractions import Fraction

    from planner.program import Terms

SECONDS = 10.0  # for each stage of the choice
MOST = 400  # candidates the program is given; of more, those that unlock most


@dataclass(frozen=True)
class Candidate:
    """So much of one find (`kind`: its number) and the projects that it unlocks."""

    kind: int
    metres: int
    unlocks: frozenset[str]


def candidates(least: Iterable[tuple[int, Mapping[str, int]]]) -> list[Candidate]:
    """From the least metres of every kind for every project: each length worth having, none beaten by another.

    One beats another that unlocks no other projects and takes as many metres or more; of two alike the first stays.
    """
    best: dict[frozenset[str], Candidate] = {}
    for kind, metres in least:
        for length in sorted(set(metres.values())):
            unlocks = frozenset(name for name, own in metres.items() if own <= length)
            if unlocks not in best or length < best[unlocks].metres:
                best[unlocks] = Candidate(kind, length, unlocks)
    found = sorted(best.values(), key=lambda one: (-len(one.unlocks), one.metres, one.kind))
    return [
        one for one in found if not any(one.unlocks < other.unlocks and other.metres <= one.metres for other in found)
    ]


def worth(chosen: Sequence[Candidate], grams: Mapping[str, Fraction]) -> tuple[float, ...]:
    """How good a list is, larger is better: projects, then their grams, then few finds, then few metres."""
    unlocked = frozenset[str]().union(*(one.unlocks for one in chosen))
    metres = sum(one.metres for one in chosen)
    return len(unlocked), float(sum(grams[name] for name in unlocked)), -len(chosen), -metres


def greedy(found: Sequence[Candidate], grams: Mapping[str, Fraction], most: int) -> tuple[Candidate, ...]:
    """At each step the find that adds most; at the end those that add nothing any more are left out."""
    chosen: list[Candidate] = []
    while len(chosen) < most:
        best = max(found, key=lambda one: worth([*chosen, one], grams), default=None)
        if best is None or worth([*chosen, best], grams)[:2] <= worth(chosen, grams)[:2]:
            break
        chosen.append(best)
    for one in tuple(chosen):
        rest = [other for other in chosen if other is not one]
        if worth(rest, grams)[:2] == worth(chosen, grams)[:2]:
            chosen = rest
    return tuple(chosen)


def choose(found: Sequence[Candidate], grams: Mapping[str, Fraction], most: int) -> tuple[Candidate, ...]:
    """The best list of at most so many finds, by `worth`; what stepping finds where that was not proved in time."""
    found = found[:MOST]
    stepped = greedy(found, grams, most)
    if not stepped:
        return ()
    program, takes, gets = _program(found, most)
    aims: tuple[tuple[Terms, float], ...] = (
        (tuple((column, -1.0) for column in gets.values()), 0.5),
        (tuple((column, -float(grams[name])) for name, column in gets.items()), 0.005),
        (tuple((column, 1.0) for column in takes), 0.5),
        (tuple((column, float(one.metres)) for column, one in zip(takes, found, strict=True)), 0.5),
    )
    chosen = stepped
    for stage, (aim, step) in enumerate(aims):
        program.aim = aim
        answer = solve(program, absolute_gap=step, deadline=time.monotonic() + SECONDS)
        if answer.values is None or answer.value is None or answer.status is not Status.OPTIMAL:
            break
        chosen = tuple(one for column, one in zip(takes, found, strict=True) if answer.values[column] > 0.5)
        program.add([Row(f"reached_{stage}", aim, "<=", answer.value + 1e-6)])
    return max(stepped, chosen, key=lambda one: worth(one, grams))


def _program(found: Sequence[Candidate], most: int) -> tuple[Program, list[int], dict[str, int]]:
    """take_c: the find is on the list; get_p <= sum of the finds that unlock p; at most so many finds."""
    program = Program()
    takes = [program.column(f"take_{number}", 0, 1, whole=True) for number in range(len(found))]
    names = sorted(frozenset[str]().union(*(one.unlocks for one in found)))
    gets = {name: program.column(f"get_{number}", 0, 1, whole=True) for number, name in enumerate(names)}
    for number, name in enumerate(names):
        helps = tuple((take, -1.0) for take, one in zip(takes, found, strict=True) if name in one.unlocks)
        program.add([Row(f"unlocked_{number}", ((gets[name], 1.0), *helps), "<=", 0.0)])
    program.add([Row("few", tuple((take, 1.0) for take in takes), "<=", float(most))])
    return program, takes, gets
