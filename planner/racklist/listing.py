"""The rack list: the few finds that would unlock the most projects; no claim is made before it was tried."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.aims import PROJECTS
from planner.instance import Instance
from planner.rack.unlocking import need_grams, with_lot
from planner.racklist.choice import candidates, choose
from planner.racklist.finds import Kind, find_lot, kinds
from planner.racklist.reach import Latitude, latitude, widest
from planner.racklist.trials import Trials
from planner.settling import settle
from planner.stages import Limits

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.plan import PlannedProject
    from planner.racklist.choice import Candidate
    from planner.racklist.trials import Open
    from planner.workspace import Workspace

MOST_FINDS = 5  # what one page holds
MOST_ALIKE = 12  # kinds that unlock the same, compared by how far they may be off
TRIES = 2000  # questions asked, after which no further kinds of yarn are tried
TOGETHER_SECONDS = 5.0


@dataclass(frozen=True)
class UnlockedBy:
    """A project that a find unlocks, the size, the needs it serves; `pinned`: those that keep to certain lots now.

    `metres`: the least of the find that this project alone asks for.
    """

    project: str
    size: str
    needs: tuple[str, ...]
    pinned: tuple[str, ...]
    metres: int


@dataclass(frozen=True)
class Find:
    """One line of the list: so much measured yarn of a kind, how far it may be off, what it unlocks.

    Each project named is enough with it, asked alone; `at_once`: how many of them it is enough for together.
    """

    kind: Kind
    metres: int
    latitude: Latitude
    unlocks: tuple[UnlockedBy, ...]
    at_once: int


@dataclass(frozen=True)
class RackList:
    """`asked` projects, of which `short` are not enough; the finds, best first; `no_find`: what none tried unlocks.

    `left_off`: projects that a further find would unlock; `whole`: whether every kind of yarn was tried.
    """

    asked: int
    short: int
    finds: tuple[Find, ...]
    no_find: tuple[str, ...]
    left_off: tuple[str, ...]
    undecided: tuple[str, ...]
    whole: bool


def rack_list(
    workspace: Workspace, projects: Sequence[Project], confidence: Fraction, most: int = MOST_FINDS
) -> RackList:
    """What to look for, over all these projects; at most so many finds."""
    trials = Trials(workspace, projects, confidence)
    tried, least, whole = _least(trials)
    grams = _grams(trials, tried, least)
    chosen = choose(candidates([(n, _by_project(own)) for n, own in enumerate(least)]), grams, most)
    finds = [_find(trials, _roomiest(trials, tried, least, one), one) for one in chosen]
    names = tuple(dict.fromkeys(one.making.project.name for one in trials.open))
    found = {row.project for find in finds for row in find.unlocks}
    return RackList(
        asked=len(projects),
        short=len(names),
        finds=tuple(sorted(finds, key=lambda find: (-len(find.unlocks), find.metres, find.unlocks[0].project))),
        no_find=tuple(name for name in names if name not in grams),
        left_off=tuple(name for name in names if name in grams and name not in found),
        undecided=tuple(dict.fromkeys(trials.undecided)),
        whole=whole,
    )


def _least(trials: Trials) -> tuple[list[Kind], list[Mapping[Open, int]], bool]:
    """Every kind that helps and the least metres of it for each project and size; whether all kinds were tried.

    Kinds that suit most projects come first. Tries are counted, not timed: the same files give the same list anywhere.
    """
    tried: list[Kind] = []
    least: list[Mapping[Open, int]] = []
    every = kinds([one.making for one in trials.open])
    for kind in sorted(every, key=lambda kind: -len(trials.suited_by(kind))):
        if trials.asked > TRIES:
            return tried, least, False
        suited = trials.suited_by(kind)
        own = {one: metres for one in suited if (metres := trials.least_metres(kind, one)) is not None}
        if own:
            tried.append(kind)
            least.append(own)
    return tried, least, True


def _by_project(own: Mapping[Open, int]) -> dict[str, int]:
    """The least metres in the size that asks least."""
    found: dict[str, int] = {}
    for one, metres in own.items():
        name = one.making.project.name
        found[name] = min(metres, found.get(name, metres))
    return found


def _grams(trials: Trials, tried: Sequence[Kind], least: Sequence[Mapping[Open, int]]) -> dict[str, Fraction]:
    """For each project that a find unlocks, want x grams of its needs, as first found."""
    grams: dict[str, Fraction] = {}
    for kind, own in zip(tried, least, strict=True):
        for one, metres in own.items():
            project = one.making.project
            made = trials.made(kind, one, metres) if project.name not in grams else None
            if made is not None:
                stash = with_lot(trials.workspace.stash, find_lot(kind, metres, trials.name))
                grams[project.name] = project.want * need_grams(one.making, made, stash)
    return grams


def _roomiest(trials: Trials, tried: Sequence[Kind], least: Sequence[Mapping[Open, int]], chosen: Candidate) -> Kind:
    """Of the kinds that unlock the same with the same length, the one whose colour may be furthest off."""
    first = tried[chosen.kind]
    opened = [
        one
        for one, metres in least[chosen.kind].items()
        if metres <= chosen.metres and one.making.project.name in chosen.unlocks
    ]
    same = [
        kind
        for kind, own in zip(tried, least, strict=True)
        if kind.blend is first.blend and all(own.get(one, chosen.metres + 1) <= chosen.metres for one in opened)
    ]
    return widest(trials, same[:MOST_ALIKE], chosen.metres, opened)


def _find(trials: Trials, kind: Kind, chosen: Candidate) -> Find:
    """The chosen find with its claims, each project asked anew."""
    lot = find_lot(kind, chosen.metres, trials.name)
    made: dict[str, tuple[Open, PlannedProject]] = {}
    for one in trials.open:
        name = one.making.project.name
        if name in chosen.unlocks and name not in made:
            planned = trials.judged(lot, one)
            if planned is not None:
                made[name] = (one, planned)
    rows = [_row(trials, kind, one, planned) for one, planned in made.values()]
    return Find(
        kind,
        chosen.metres,
        latitude(trials, kind, chosen.metres, list(made.values())),
        tuple(sorted(rows, key=lambda row: row.metres)),
        _at_once(trials, kind, chosen.metres, [one for one, _ in made.values()]),
    )


def _row(trials: Trials, kind: Kind, one: Open, planned: PlannedProject) -> UnlockedBy:
    needs = tuple(need.need for need in planned.needs if any(trials.name in run.lots for run in need.runs))
    pins = one.making.project.pins
    pinned = tuple(need for need in needs if need in pins and pins[need].only is not None)
    least = trials.least_metres(kind, one)
    if least is None:
        raise ValueError("a find that unlocks a project has a length")
    return UnlockedBy(one.making.project.name, one.making.size, needs, pinned, least)


def _at_once(trials: Trials, kind: Kind, metres: int, opened: Sequence[Open]) -> int:
    """For how many of the projects the stash and this one find are enough together; at least one."""
    lot = find_lot(kind, metres, trials.name)
    makings = tuple(trials.with_find(kind, one.making) for one in opened)
    limits = Limits(deadline=time.monotonic() + TOGETHER_SECONDS)
    settled = settle(Instance(trials.stock_with(lot), makings), [PROJECTS], [], limits)
    return 1 if settled is None else max(1, round(-settled.reached[0]))
