"""Each project asks again, a few at a time, whether what the others leave serves it better at some prices."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.priced.hands import Asked, Terms
from planner.priced.ways import GLANCE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from planner.priced.choice import Choice
    from planner.priced.hands import Hands
    from planner.priced.store import Numbers
    from planner.priced.ways import Priced

BETTER = 1e-6
TIMES = 50  # while all are asked: that they are told what is left


def swap(choice: Choice, prices: Numbers, over: Callable[[], bool], hands: Hands) -> None:
    """Every project takes the way that gains most at the prices from what is left, its own yarn given back.

    Those not made yet come first. A few are asked at a time, and take one after another what is still there.
    At prices of 0 no swap makes the choice worth less; at others yarn goes back that is worth more elsewhere.
    """
    makings: dict[int, list[int]] = defaultdict(list)
    for making in sorted(choice.insides):
        makings[choice.projects[making]].append(making)
    projects = sorted(makings.values(), key=lambda own: any(making in choice.ways for making in own))
    size = max(1, len(projects) // TIMES)
    hands.know(choice.rest, len(choice.insides))
    for start in range(0, len(projects), size):
        if over():
            return
        some = [_Project(choice, own, prices) for own in projects[start : start + size]]
        asked, terms = [one for own in some for one in own.asked], Terms(prices, choice.left, GLANCE)
        answers = iter(hands.best(asked, terms, over))
        swapped = [own.take(choice, [next(answers) for _ in own.asked]) for own in some]
        hands.hold({place: choice.bench(place).left() for places in swapped for place in places})


class _Project:
    """A project that asks for something better than it has."""

    def __init__(self, choice: Choice, makings: Sequence[int], prices: Numbers) -> None:
        self.before = [choice.ways[making] for making in makings if making in choice.ways]
        gain = max((way.gain(prices) for way in self.before), default=0.0)
        freed = choice.freed(self.before)
        self.asked = [Asked(making, gain + BETTER, freed) for making in makings]

    def take(self, choice: Choice, answers: Sequence[Priced]) -> Iterable[int]:
        """Take the best that was answered, if it is still there; the lots that hold something else now."""
        found = max(answers, key=lambda answer: answer.gain).way
        if found is None:
            return ()
        saved = {place: replace(choice.bench(place)) for way in self.before for place in way.takes}
        for way in self.before:
            choice.give_back(way.making)
        if choice.take(found):
            return {*saved, *found.takes}
        for way in self.before:
            choice.put_back(way, saved)
        return ()
