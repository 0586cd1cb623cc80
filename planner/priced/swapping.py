"""Each project asks again, one after another, whether what the others leave serves it better at some prices."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.priced.ways import GLANCE

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.priced.choice import Choice
    from planner.priced.store import Numbers

BETTER = 1e-6


def swap(choice: Choice, prices: Numbers, over: Callable[[], bool]) -> None:
    """Every project takes the way that gains most at the prices from what is left, its own yarn given back.

    Those not made yet come first.
    At prices of 0 no swap makes the choice worth less; at others yarn goes back that is worth more elsewhere.
    """
    makings: dict[int, list[int]] = defaultdict(list)
    for making in sorted(choice.insides):
        makings[choice.projects[making]].append(making)
    if not makings:
        return
    store = next(iter(choice.insides.values())).store
    choice.tell(store)
    for own in sorted(makings.values(), key=lambda own: any(making in choice.ways for making in own)):
        if over():
            return
        before = [choice.ways[making] for making in own if making in choice.ways]
        saved = {place: replace(choice.bench(place)) for way in before for place in way.takes}
        for way in before:
            choice.give_back(way.making)
        choice.tell(store, saved)
        gain = max((way.gain(prices) for way in before), default=0.0)
        found = None
        for making in own:
            choice.insides[making].look_again()
            asked = choice.insides[making].best(prices, choice.left, GLANCE, above=gain + BETTER)
            if asked.way is not None:
                found, gain = asked.way, asked.gain
        if found is not None and choice.take(found):
            choice.tell(store, found.takes)
        else:
            for way in before:
                choice.put_back(way, saved)
            choice.tell(store, saved)
