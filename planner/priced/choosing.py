"""One way for each project: chosen from the weighed ways, then made better a few at a time."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import numpy as np

from planner.priced.choice import FIT
from planner.priced.market import Market
from planner.priced.ways import LOOK
from planner.program import Program, Row
from planner.solve import solve

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterable, Sequence

    from planner.priced.choice import Choice
    from planner.priced.ways import Way

SETTLED = 0.99  # a way chosen as good as whole
EACH_TIME = 0.2  # of the projects left: fixed before the rest is weighed again
AT_LEAST = 10
AGAIN = 6  # times that what cannot be cut is left out and the best looked for again
DRAWS = 3  # times that a few projects are asked for other ways
NODES = 50  # of the search for the best of the known ways of a few projects


def dive(choice: Choice, market: Market) -> None:
    """Fix the ways most nearly whole, those that must be first, ask and weigh the rest again, until none fits."""
    ways, values = list(market.ways), list(market.master.values)
    while True:
        ranked = sorted(
            (
                (choice.projects[way.making] in market.musts, value, way.worth, -number)
                for number, (way, value) in enumerate(zip(ways, values, strict=True))
                if value > FIT
            ),
            reverse=True,
        )
        undecided = [i for i in choice.insides if choice.projects[i] not in choice.made]
        quota, fixed, uncut = max(AT_LEAST, int(EACH_TIME * len(undecided))), 0, set[int]()
        for _, value, _, place in ranked:
            if value < SETTLED and fixed >= quota:
                break
            way = ways[-place]
            if choice.projects[way.making] not in choice.made:
                if choice.take(way):
                    fixed += 1
                else:
                    uncut.add(id(way))
        ways = [way for way in ways if id(way) not in uncut]
        makings = [i for i in undecided if choice.projects[i] not in choice.made]
        if not fixed or not makings or market.over():
            return
        rest = _market(choice, makings, ways, market)
        rest.weigh()
        rest.spread()
        rest.weigh()
        ways, values = rest.ways, list(rest.master.values)


def _market(choice: Choice, makings: Sequence[int], ways: Iterable[Way], whole: Market) -> Market:
    """A market of some projects for what is left, with the ways of theirs that fit."""
    insides, projects = [choice.insides[i] for i in makings], [choice.projects[i] for i in makings]
    rest = Market(insides, projects, choice.left.copy(), frozenset(), 0, whole.over, whole.hands)
    own = set(makings)
    rest.add([way for way in ways if way.making in own and choice.has(way)])
    rest.hands.know(choice.rest, len(insides))
    return rest


def improve(choice: Choice, makings: Sequence[int], ways: Sequence[Way], market: Market, chance: random.Random) -> None:
    """Decide some projects anew together, by the best of their known ways and of new ones, if that is better."""
    best = choice.copy()
    before = [choice.give_back(making) for making in makings if making in choice.ways]
    rest = _market(choice, makings, [*before, *ways], market)
    rest.weigh()
    if rest.spread():
        rest.weigh()
    for _ in range(DRAWS):
        rest.spread(chance)
    musts = {making for making in makings if choice.projects[making] in market.musts}
    least, cuttable = sum(way.making in musts for way in before), list(rest.ways)
    for _ in range(AGAIN):
        tried = choice.copy()
        chosen = sorted(_best(rest, cuttable, musts, least), key=lambda way: (way.making not in musts, -way.worth))
        uncut = {id(way) for way in chosen if not tried.take(way)}
        fill(tried, makings, rest.ways, market.over)
        best = max(best, tried, key=lambda one: one.order(market.musts))
        cuttable = [way for way in cuttable if id(way) not in uncut]
        if not uncut or market.over():
            break
    choice.become(best)


def fill(choice: Choice, makings: Iterable[int], ways: Iterable[Way], over: Callable[[], bool]) -> None:
    """Make what is not made yet, one after another, by a way that is known or, in time, the best for what is left."""
    known: dict[int, list[Way]] = defaultdict(list)
    for way in sorted(ways, key=lambda way: -way.worth):
        known[way.making].append(way)
    for making in makings:
        if choice.projects[making] in choice.made or any(choice.take(way) for way in known[making]):
            continue
        if over():
            continue
        inside = choice.insides[making]
        choice.tell(inside.store)
        free, holds = np.zeros(len(choice.left)), choice.left.copy()
        for _ in range(AGAIN):
            found = inside.best(free, holds, LOOK).way
            if found is None or choice.take(found):
                break
            holds[[place for place in found.takes if not choice.holds(found, place)]] = 0  # look elsewhere


def _best(market: Market, ways: Sequence[Way], musts: set[int], least: int) -> list[Way]:
    """Those of the ways that are best together in a market, at `least` so many of the musts among them."""
    program = Program()
    columns = [program.column(f"way_{number:05d}", 0, 1, whole=True) for number in range(len(ways))]
    of_project: dict[int, list[int]] = defaultdict(list)
    of_lot: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for column, way in zip(columns, ways, strict=True):
        of_project[market.project_of(way)].append(column)
        for place, taken in way.takes.items():
            of_lot[place].append((column, taken))
    program.add(
        Row(f"one_way_{project:05d}", tuple((column, 1.0) for column in own), "<=", 1)
        for project, own in sorted(of_project.items())
    )
    program.add(
        Row(f"holds_{place:05d}", tuple(own), "<=", float(market.holds[place])) for place, own in sorted(of_lot.items())
    )
    if least:
        kept = (column for column, way in zip(columns, ways, strict=True) if way.making in musts)
        program.add([Row("musts", tuple((column, 1.0) for column in kept), ">=", least)])
    program.aim = tuple((column, -way.worth) for column, way in zip(columns, ways, strict=True))
    answer = solve(program, absolute_gap=0.01, nodes=NODES)
    if answer.values is None:
        return []
    return [way for way, value in zip(ways, answer.values, strict=True) if value > 0.5]
