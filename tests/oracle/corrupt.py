"""Plans spoilt in one place, as a fault of ours might spoil them."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.plan import Plan, Take, YarnRun


def corrupt(plan: Plan, lots: tuple[str, ...], seed: int) -> tuple[str, Plan]:
    """What was done to the plan, and the plan it gives; the plan makes something."""
    chance = random.Random(seed)
    projects = list(plan.projects)
    place = chance.choice([number for number, one in enumerate(projects) if one.made])
    needs = list(projects[place].needs)
    number = chance.randrange(len(needs))
    runs = list(needs[number].runs)
    which = chance.randrange(len(runs))
    kind = chance.choice(sorted(KINDS))
    if kind == "another total":
        return kind, replace(plan, aim_value=plan.aim_value + chance.choice((-1.0, 1.0)))
    if kind == "a project left out":
        return kind, replace(plan, projects=tuple(projects[:place] + projects[place + 1 :]))
    if kind == "another size":
        projects[place] = replace(projects[place], size=f"{projects[place].size}x")
        return kind, replace(plan, projects=tuple(projects))
    if kind == "another planned length":
        needs[number] = replace(needs[number], planned_cm=needs[number].planned_cm + chance.choice((-1, 1)))
    else:
        runs[which] = KINDS[kind](runs[which], lots, chance)
        needs[number] = replace(needs[number], runs=tuple(runs))
    projects[place] = replace(projects[place], needs=tuple(needs))
    return kind, replace(plan, projects=tuple(projects))


def _one_take(run: YarnRun, chance: random.Random, **changed: object) -> YarnRun:
    takes = list(run.takes)
    place = chance.randrange(len(takes))
    takes[place] = replace(takes[place], **changed)
    return replace(run, takes=tuple(takes))


def _another_length(run: YarnRun, _lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    return replace(run, length_cm=run.length_cm + chance.choice((-100, -1, 1, 100)))


def _another_take(run: YarnRun, _lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    take: Take = chance.choice(run.takes)
    others = tuple(own for own in run.takes if own is not take)
    return replace(run, takes=(*others, replace(take, take_cm=take.take_cm + chance.choice((-500, -1, 1, 500)))))


def _take_lost(run: YarnRun, _lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    place = chance.randrange(len(run.takes))
    return replace(run, takes=run.takes[:place] + run.takes[place + 1 :])


def _take_twice(run: YarnRun, _lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    return replace(run, takes=(*run.takes, chance.choice(run.takes)))


def _another_lot(run: YarnRun, lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    old = chance.choice(sorted(run.lots))
    new = chance.choice([lot for lot in lots if lot not in run.lots])
    return replace(run, lots={new if lot == old else lot: strands for lot, strands in run.lots.items()})


def _more_strands(run: YarnRun, _lots: tuple[str, ...], chance: random.Random) -> YarnRun:
    lot = chance.choice(sorted(run.lots))
    return replace(run, lots=run.lots | {lot: run.lots[lot] + 1})


KINDS = {
    "another total": None,
    "a project left out": None,
    "another size": None,
    "another planned length": None,
    "another length": _another_length,
    "another take": _another_take,
    "a take lost": _take_lost,
    "a take twice": _take_twice,
    "another lot": _another_lot,
    "more strands": _more_strands,
    "no such piece": lambda run, _lots, chance: _one_take(run, chance, piece=99),
    "no such skein": lambda run, _lots, chance: _one_take(run, chance, skein="nowhere"),
    "another strand": lambda run, _lots, chance: _one_take(run, chance, strand=7),
    "another part": lambda run, _lots, _chance: replace(run, part="elsewhere"),
}
