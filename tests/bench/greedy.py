"""First fit, as a knitter would plan by hand: a bar that any plan has to clear.

Project by project as listed, those that must be made first; for each stretch the first lot, by its name, that suits, may
stand beside what is chosen and still holds enough, alone, in as few strands as suit. What cannot be made so is left out.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import numpy as np

from planner import instance as instances
from planner.pairs import may_meet
from planner.planning import plan
from planner.priced.choice import Choice
from planner.priced.offers import Run
from planner.priced.store import Store
from planner.priced.ways import Inside, Way
from tests.bench.generated import workspace

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.workspace import Workspace


SEEDS = 200


def first_fit(workspace: Workspace, projects: Sequence[Project], confidence: Fraction) -> float:
    """The grams (want x need) of what is made by first fit."""
    outlined, shelf = instances.outline(workspace.stash, workspace.patterns, projects, confidence)
    store = Store(shelf, outlined.stock)
    insides = {
        index: Inside(store, index, making, 0.0, float(making.project.want))
        for index, making in enumerate(outlined.makings)
    }
    names = list(dict.fromkeys(making.project.name for making in outlined.makings))
    numbers = [names.index(making.project.name) for making in outlined.makings]
    choice = Choice(outlined, insides, numbers, shelf, np.full(len(shelf.lots), np.inf), 1)
    for index in sorted(insides, key=lambda index: (not outlined.makings[index].project.must, index)):
        if numbers[index] not in choice.made:
            choice.tell(store)
            for runs in _by_hand(insides[index]):
                if choice.take(
                    Way(index, insides[index].worth(runs), runs, {r: 0.0 for run in runs for r in run.strands})
                ):
                    break
    return choice.worth


def _by_hand(inside: Inside) -> Iterator[tuple[Run, ...]]:
    """The one way a hand would try: the first lot that will do for each stretch, and still holds it."""
    runs: list[Run] = []
    lots = inside.store.shelf.lots
    for slot in inside.slots:
        fit = [
            (int(strands), lots[place].id, (int(place),) * int(strands))
            for place, strands, most in zip(slot.places, slot.strands, slot.held()[0].most, strict=True)
            if most >= slot.planned
        ]
        others = [place for run in runs for place in run.strands]  # a lot once: what it still holds is not counted up
        chosen = next(
            (
                places
                for _, _, places in sorted(fit)
                if _may_stand(inside, slot.need, places, runs) and (slot.step or places[0] not in others)
            ),
            None,
        )
        if chosen is None:
            return
        runs.append(Run(slot.need, slot.step, chosen, slot.planned))
    yield tuple(runs)


def _may_stand(inside: Inside, need: int, places: tuple[int, ...], runs: Sequence[Run]) -> bool:
    yarn = inside.store.shelf.yarn
    return all(may_meet(inside.meetings[run.need][need], yarn(run.strands), yarn(places)) for run in runs)


def main() -> int:
    """Compare plans at prices with first fit on 200 stashes; 1 where one is worse."""
    worse, ratios = 0, []
    for seed in range(SEEDS):
        drawn = workspace(40, 16, 1, seed, 16)
        projects = tuple(project for project in drawn.projects.projects or () if not project.must)
        by_hand = first_fit(drawn, projects, drawn.projects.confidence)
        found = plan(drawn, projects, drawn.projects.confidence, way="priced").aim_value
        worse += found < by_hand - 0.02
        ratios.append(found / by_hand if by_hand else 1.0)
    ratios.sort()
    sys.stdout.write(f"{SEEDS} stashes, {worse} worse; grams over first fit: least {ratios[0]:.2f}, ")
    sys.stdout.write(f"middle {ratios[len(ratios) // 2]:.2f}, most {ratios[-1]:.2f}\n")
    return 1 if worse else 0


if __name__ == "__main__":
    raise SystemExit(main())
