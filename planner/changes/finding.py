"""The smallest changes that would make a project enough, each solved again before it is named.

A step of a rising kind that works is the least one: the step below it was tried and does not do.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, islice
from typing import TYPE_CHECKING

from planner.answers import ENOUGH, TIGHT, Change
from planner.chance import chance_short
from planner.changes.alterations import Ladder, Rung, Wish, altered
from planner.changes.letting import let_in
from planner.changes.rules import match_ladder, rule_ladders
from planner.changes.trial import Trial
from planner.changes.wish import wish_ladders
from planner.changes.yarn import yarn_ladders
from planner.reasons import Reason

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from planner.instance import Making
    from planner.plan import PlannedProject
    from planner.reckoning import Reckoning
    from planner.workspace import Workspace

MOST = 5  # changes named for a project
MOST_PAIRS = 120  # tried; most are refuted by counting
_LOT_RULES = {"alternate", "by part", "any"}  # of which a need has one
MEASURED_AGAIN = 1  # lots of which it is said


@dataclass(frozen=True)
class _Found:
    """What works: its steps, and for each the step below it (none where there is no smaller one)."""

    rungs: tuple[Rung, ...]
    less: tuple[tuple[Rung, ...], ...]  # each: the steps with one of them a step smaller
    kind: str
    same_knit: bool

    @property
    def order(self) -> tuple[bool, float, str]:
        told = "".join(rung.what.said() for rung in self.rungs)
        return not self.same_knit, sum(rung.cost for rung in self.rungs), told


def changes(
    workspace: Workspace, making: Making, confidence: Fraction, reckoning: Reckoning, verdict: str
) -> tuple[Change, ...]:
    """Up to five changes to one project in one size, those that leave the knitted thing as it is first.

    `reckoning`: of the workspace's stash as it is, at this confidence. `verdict`: of the project as it is, tight or
    short; what is short by best guess and without reserve is no less so where a lot is measured again.

    Two changes together are named only where no single one will do, and then one such pair.
    """
    trial = Trial(workspace, confidence, reckoning)
    wish = Wish(replace(making.project, sizes=(making.size,)), making.pattern, workspace.stash)
    names = [sized.need.name for sized in making.needs]
    serving = {lot for sized in making.needs for yarn in sized.yarns for lot in yarn.lot_ids}
    measured = serving if verdict == TIGHT else frozenset()
    ladders = [*wish_ladders(workspace, wish, measured, confidence), *_need_ladders(wish, names)]
    ladders = [ladder for ladder in ladders if ladder.rungs]
    found = [one for ladder in ladders if (one := _climbed(trial, wish, ladder)) is not None]
    for rung, less in let_in(wish, trial.made):
        found.append(_Found((rung,), tuple((one,) for one in less), "lots", same_knit=True))
    if not found:
        found = list(_pair(trial, wish, ladders, names))
    ranked = sorted(found, key=lambda one: one.order)
    by_measuring = [one for one in ranked if one.kind == "measure"]
    kept = [one for one in ranked if one not in by_measuring[MEASURED_AGAIN:]]
    return tuple(islice((change for one in kept for change in _told(trial, wish, one)), MOST))


def _need_ladders(wish: Wish, names: Sequence[str]) -> Iterator[Ladder]:
    for name in names:
        need = wish.pattern.needs[name]
        yield from yarn_ladders(wish.pattern, need)
        yield from rule_ladders(wish.pattern, need, wish.project.sizes[0])


def _climbed(trial: Trial, wish: Wish, ladder: Ladder, others: tuple[Rung, ...] = ()) -> _Found | None:
    """The least step of a ladder with which the wish, `others` already taken, is enough."""

    def enough(rung: Rung) -> bool:
        return trial.made(altered(wish, (*others, rung))) is not None

    if not ladder.rising:
        rung = next((rung for rung in ladder.rungs if enough(rung)), None)
        return None if rung is None else _Found((rung,), (), ladder.kind, ladder.same_knit)
    low, high = -1, len(ladder.rungs) - 1  # low does not do, high does
    if not enough(ladder.rungs[high]):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(ladder.rungs[middle]) else (middle, high)
    less = ((ladder.rungs[low],),) if low >= 0 else ()
    return _Found((ladder.rungs[high],), less, ladder.kind, ladder.same_knit)


def _pair(trial: Trial, wish: Wish, ladders: Sequence[Ladder], names: Sequence[str]) -> Iterator[_Found]:
    """One pair of changes that works, each as small as it can be beside the other; none where none was found."""
    both = _two_that_do(trial, wish, [one for one in ladders if one.rising and one.kind != "measure"], names)
    if both is None:
        return
    first, second = both
    one = _climbed(trial, wish, first, (second.rungs[-1],))
    if one is None:
        return
    other = _climbed(trial, wish, second, one.rungs)
    if other is None:
        return
    less = [(*one.rungs, *smaller) for smaller in other.less]
    less += [(*smaller, *other.rungs) for smaller in one.less]
    yield _Found(
        (*one.rungs, *other.rungs), tuple(less), f"{one.kind} and {other.kind}", one.same_knit and other.same_knit
    )


def _two_that_do(
    trial: Trial, wish: Wish, ladders: Sequence[Ladder], names: Sequence[str]
) -> tuple[Ladder, Ladder] | None:
    """Two ladders whose last steps together are enough, those first that change the knitted thing least.

    Whatever still stands in the way beside the one must be borne on by the other; other pairs are not tried.
    """
    turning = [ladder for ladder in ladders if ladder.kind in ("alternate", "by part")]
    tries = [(turns, match) for turns in turning if (match := _match_beside(wish, turns, names)) is not None]
    left = [(ladder, trial.blocks(altered(wish, ladder.rungs[-1:]))) for ladder in ladders]
    hopeful = [
        (one, other)
        for (one, beside_one), (other, beside_other) in combinations(left, 2)
        if _clears(other, beside_one) and _clears(one, beside_other) and not {one.kind, other.kind} <= _LOT_RULES
    ]
    hopeful.sort(key=lambda both: (sum(not one.same_knit for one in both), sum(one.rungs[0].cost for one in both)))
    for one, other in (*tries, *hopeful)[:MOST_PAIRS]:
        if trial.made(altered(wish, (one.rungs[-1], other.rungs[-1]))) is not None:
            return one, other
    return None


def _match_beside(wish: Wish, turns: Ladder, names: Sequence[str]) -> Ladder | None:
    """Lots in turn, or part by part, come with a match of their own, which may be widened."""
    pattern = turns.rungs[-1].alter(wish).pattern
    name = next(name for name in names if name == turns.need)
    match = match_ladder(pattern, pattern.needs[name])
    return match if match.rungs else None


def _clears(ladder: Ladder, blocked: frozenset[frozenset[str]]) -> bool:
    """Whether a ladder bears on all that stands in the way."""
    return ladder.need is None or all(ladder.need in needs for needs in blocked)


def _told(trial: Trial, wish: Wish, found: _Found) -> Iterator[Change]:
    """The change as it is named, once it is proved for what is written."""
    changed = altered(wish, found.rungs)
    made = trial.proved(changed)
    if made is None:
        return
    words = Reason(tuple(part for rung in found.rungs for part in (", and ", *rung.what.parts))[1:])
    edits = tuple(edit for rung in found.rungs for edit in rung.edits)
    less = tuple(tuple(edit for rung in rungs for edit in rung.edits) for rungs in found.less)
    risk = _worst(trial, changed, made) if changed.project.reserve < wish.project.reserve else None
    yield Change(words.said(), ENOUGH, words, edits, less, risk)


def _worst(trial: Trial, wish: Wish, made: PlannedProject) -> float:
    """The largest chance of running short among the needs of what is made."""
    parts = wish.pattern.sizes[wish.project.sizes[0]]
    return max(chance_short(parts[one.need], one.runs, wish.stash, trial.confidence) for one in made.needs)
