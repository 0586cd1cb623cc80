"""Plans spoilt in one place, as a fault of ours might spoil them.

`corrupt` writes nonsense into a plan; `misplace` writes what might well be true: another real piece, size or lot.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from patterns.needs import Pattern
    from planner.plan import Plan, PlannedProject, Take, YarnRun
    from stash.lots import Stash


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


def misplace(plan: Plan, stash: Stash, patterns: Mapping[str, Pattern], seed: int) -> tuple[str, Plan]:
    """What was done to the plan, and the plan it gives, which may be the same where nothing else can stand there."""
    chance = random.Random(seed)
    projects = list(plan.projects)
    place = chance.choice([number for number, one in enumerate(projects) if one.made])
    project = projects[place]
    kind = chance.choice(("size", "unmade", "bound", "need", "run", "run", "run", "run", "run", "run"))
    if kind == "size":
        size = chance.choice(sorted(patterns[project.pattern].sizes))
        projects[place] = replace(project, size=size)
    elif kind == "unmade":
        projects[place] = replace(project, size=None, needs=())
    elif kind == "bound":
        return kind, replace(plan, aim_bound=plan.aim_bound - chance.choice((0.01, 1.0)))
    elif kind == "need":
        kind, projects[place] = _misplaced_need(project, chance)
    else:
        kind, projects[place] = _misplaced_run(project, stash, chance)
    return kind, replace(plan, projects=tuple(projects))


def _misplaced_need(project: PlannedProject, chance: random.Random) -> tuple[str, PlannedProject]:
    """Two needs, or two parts of a need, change their yarns; or centimetres move from one yarn to another."""
    needs = list(project.needs)
    here, there = chance.randrange(len(needs)), chance.randrange(len(needs))
    if here != there:
        needs[here] = replace(project.needs[here], runs=project.needs[there].runs)
        needs[there] = replace(project.needs[there], runs=project.needs[here].runs)
        return "needs change yarns", replace(project, needs=tuple(needs))
    runs = list(needs[here].runs)
    one, other = chance.randrange(len(runs)), chance.randrange(len(runs))
    if chance.random() < 0.5:
        part = runs[one].part
        runs[one] = replace(runs[one], part=runs[other].part)
        runs[other] = replace(runs[other], part=part)
        kind = "parts change yarns"
    else:
        runs[one] = _longer(runs[one], 100)
        runs[other] = _longer(runs[other], -100)
        kind = "a metre moved"
    needs[here] = replace(needs[here], runs=tuple(runs))
    return kind, replace(project, needs=tuple(needs))


def _longer(run: YarnRun, more_cm: int) -> YarnRun:
    """The run with every strand's first piece taken longer."""
    seen: set[int] = set()
    takes = []
    for take in run.takes:
        takes.append(take if take.strand in seen else replace(take, take_cm=take.take_cm + more_cm))
        seen.add(take.strand)
    return replace(run, length_cm=run.length_cm + more_cm, takes=tuple(takes))


def _misplaced_run(project: PlannedProject, stash: Stash, chance: random.Random) -> tuple[str, PlannedProject]:
    needs = list(project.needs)
    here = chance.randrange(len(needs))
    runs = list(needs[here].runs)
    which = chance.randrange(len(runs))
    run, takes = runs[which], list(runs[which].takes)
    number = chance.randrange(len(takes))
    take = takes[number]
    kind = chance.choice(("another piece", "another strand", "a piece in two", "another lot all through"))
    if kind == "another piece":
        takes[number] = replace(take, **_piece(stash, take.lot, chance))
    elif kind == "another strand":
        takes[number] = replace(take, strand=chance.randint(1, max(own.strand for own in takes)))
    elif kind == "a piece in two":
        first = take.take_cm // 2
        takes[number : number + 1] = [
            replace(take, take_cm=first),
            replace(take, take_cm=take.take_cm - first + 30, **_piece(stash, take.lot, chance)),
        ]
    else:
        new = chance.choice(sorted(stash.lots))
        lots = {new if lot == take.lot else lot: count for lot, count in run.lots.items()}
        takes = [replace(own, lot=new, **_piece(stash, new, chance)) if own.lot == take.lot else own for own in takes]
        run = replace(run, lots=lots)
    runs[which] = replace(run, takes=tuple(sorted(takes)))
    needs[here] = replace(needs[here], runs=tuple(runs))
    return kind, replace(project, needs=tuple(needs))


def _piece(stash: Stash, lot: str, chance: random.Random) -> dict[str, object]:
    """Some piece of the lot."""
    skein = chance.choice(stash.lots[lot].skeins)
    return {"skein": skein.id, "piece": chance.randint(1, len(skein.shares))}
