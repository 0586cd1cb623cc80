"""Trying a wish: whether it is enough, each question solved once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import made_alone
from planner.changes.counting import blocks, unreached
from planner.plan import UndecidedError
from planner.reckoning import Reckoning

if TYPE_CHECKING:
    from fractions import Fraction

    from patterns.needs import Pattern
    from planner.changes.alterations import Wish
    from planner.instance import Instance
    from planner.plan import PlannedProject
    from planner.workspace import Workspace


class Trial:
    """Answers whether a wish is enough; what comes to the same question is solved once."""

    def __init__(self, workspace: Workspace, confidence: Fraction, reckoning: Reckoning) -> None:
        self.workspace, self.confidence, self._as_it_is = workspace, confidence, reckoning
        self._known: dict[tuple[object, ...], PlannedProject | None] = {}

    def made(self, wish: Wish) -> PlannedProject | None:
        """How the wish can be made; None where it cannot, or where that was not found out in time."""
        asked = self._asked(wish)
        question = _question(asked)
        if question not in self._known:
            refuted = any(unreached(asked, own) is not None for own in asked.makings[0].needs)
            self._known[question] = None if refuted else self._judged(wish, asked)
        return self._known[question]

    def proved(self, wish: Wish) -> PlannedProject | None:
        """The same, solved and checked for this very wish."""
        return self._judged(wish, self._asked(wish))

    def _judged(self, wish: Wish, asked: Instance) -> PlannedProject | None:
        workspace = replace(self.workspace, patterns=self._patterns(wish), stash=wish.stash)
        try:
            return made_alone(workspace, self._reckoning(wish, asked), asked.makings[0], self.confidence)
        except UndecidedError:  # not shown to work, so not named
            return None

    def _reckoning(self, wish: Wish, asked: Instance) -> Reckoning:
        as_it_is = wish.stash is self.workspace.stash
        return self._as_it_is if as_it_is else Reckoning(self._as_it_is.shelf, asked.stock)

    def blocks(self, wish: Wish) -> frozenset[frozenset[str]]:
        """The needs that by counting stand in the way of the wish."""
        asked = self._asked(wish)
        return frozenset(blocks(asked, asked.makings[0]))

    def _asked(self, wish: Wish) -> Instance:
        lots = self.workspace.stash.lots
        same = {name: self._as_it_is.stock[name] for name, lot in wish.stash.lots.items() if lot is lots[name]}
        # no wish changes more of a lot than how long it is
        return instances.build(
            wish.stash, self._patterns(wish), [wish.project], self.confidence, same, self._as_it_is.shelf
        )

    def _patterns(self, wish: Wish) -> dict[str, Pattern]:
        return {**self.workspace.patterns, wish.pattern.id: wish.pattern}


def _question(asked: Instance) -> tuple[object, ...]:
    """All of one making that bears on the answer; what lets a yarn serve a need bears on it by the yarns it lets in."""
    (making,) = asked.makings
    needs = (
        (
            sized.need.name,
            sized.need.lots,
            replace(sized.need.colour, near=None, within=0.0),
            sized.need.joins,
            sized.stretches,
            tuple(yarn.name for yarn in sized.yarns),
        )
        for sized in making.needs
    )
    pattern = making.pattern
    served = sorted({lot for sized in making.needs for yarn in sized.yarns for lot in yarn.lot_ids})
    stock = tuple(asked.stock[lot] for lot in served)
    return (making.size, making.order, pattern.wash, making.project.bleed_risk, *needs, stock)
