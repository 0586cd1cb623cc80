"""From a question to the best answer that can be cut from the skeins.

The choice is made with lots as a whole, which is never too strict; what was chosen is then cut piece by piece, by the
same rules. Where the cut loses something, what was chosen there is modelled piece by piece and the choice made again.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.cutting import GRACE, HALF, Cutting, narrow, piece_by_piece
from planner.losses import worse_lots
from planner.model import build
from planner.stages import Limits, Stage, in_turn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.aims import Aim
    from planner.columns import Columns, Fine, Use
    from planner.instance import Instance
    from planner.solve import Answer

ROUNDS = 12  # tries to make the later aims as good in the cut as in the choice
AGAIN = 400  # columns of a choice that is cheap enough to make again for that


@dataclass(frozen=True)
class Settled:
    """The best cut found: its columns and their values, the value of every aim, and the bound of the proved ones."""

    columns: Columns
    values: Sequence[float]
    reached: tuple[float, ...]
    bounds: tuple[float, ...] = ()
    proved: bool = False  # every proved aim is as good as can be

    def chosen(self) -> list[Use]:
        return [use for use in self.columns.uses if self.values[use.used] > HALF]

    def length_cm(self, use: Use) -> int:
        return use.stretch.planned_cm if use.length is None else round(self.values[use.length])


@dataclass
class _Search:
    instance: Instance
    proved: Sequence[Aim]
    later: Sequence[Aim]
    found: bool
    limits: Limits
    fine: Fine = frozenset()
    whole_cm: bool = False
    best: Settled | None = None
    bounds: list[float] = field(default_factory=list)
    interrupted: bool = False
    cuts: dict[object, list[float]] = field(default_factory=dict)  # parts cut before, as they were cut

    @property
    def over(self) -> bool:
        return self.interrupted or self.limits.over

    def patience(self) -> Limits:
        """How long a cut may take: as long as the search may, and a little longer where that is over."""
        soon, gap = time.monotonic() + GRACE, self.limits.relative_gap
        if self.over:
            return Limits(gap, soon)
        return Limits(gap) if self.limits.deadline is None else Limits(gap, max(soon, self.limits.deadline))


def settle(
    instance: Instance,
    proved: Sequence[Aim],
    later: Sequence[Aim],
    limits: Limits,
    *,
    found: bool = False,
) -> Settled | None:
    """The best answer by the aims, first to last; None when none was found in time.

    The `proved` aims are best possible unless `limits` came first: compare `reached` with `bounds`. The `later` ones
    are as good as a bounded search finds. `found` allows yarn that is still to be found.
    """
    search = _Search(instance, proved, later, found, limits, bounds=[-math.inf] * len(proved))
    while True:
        columns, answers = _choose(search)
        search.bounds = _tightest(search.bounds, answers, search.proved)
        if not answers or answers[-1].values is None:
            break
        lost = _cut(search, columns, answers[-1].values) - search.fine
        if search.over or _all_proved(search) or not (lost or not search.whole_cm):
            break
        search.fine |= lost
        search.whole_cm = not lost  # nothing left to refine but the grid itself
    if search.best is None:
        return None
    if later and not search.over and _all_proved(search):
        _improve(search)
    return replace(search.best, bounds=tuple(search.bounds), proved=_all_proved(search))


def _choose(search: _Search, kept: Sequence[float] = (), later: Sequence[Aim] = ()) -> tuple[Columns, list[Answer]]:
    """Make the choice: the proved aims in turn, or where they are `kept` already some of the later ones."""
    columns = build(search.instance, search.fine, found=search.found, whole_cm=search.whole_cm)
    last = len(search.proved) - 1
    stages = [
        Stage(aim.name, aim.terms(columns), aim.step / 2, True, place == last, kept[place] if kept else None)
        for place, aim in enumerate(search.proved)
    ]
    if kept:
        stages += [
            Stage(aim.name, aim.terms(columns), aim.step, False, settles=(*columns.made, *columns.rising.values()))
            for aim in later
        ]
    answers = in_turn(columns.program, stages, search.limits)
    search.interrupted |= any(answer.interrupted for answer in answers)
    return columns, answers


def _improve(search: _Search) -> None:
    """Serve the later aims over every choice that is as good by the proved ones.

    Where the cut is worse than the choice, the choice is made again by the first aim that was lost, and by those after
    it once that is mended.
    """
    assert search.best is not None  # noqa: S101 (the caller looked)
    every = len(search.later)
    asked = every
    for _ in range(ROUNDS):
        columns, answers = _choose(search, search.best.reached[: len(search.proved)], search.later[:asked])
        if len(answers) < asked or answers[-1].values is None:
            return
        lost = _cut(search, columns, answers[-1].values, later=asked >= every - 1) - search.fine
        served = _served(search, answers)
        done = asked == every and (not lost or served >= every - 1)  # the ids are not waited for: a cut adds to them
        if search.over or done or len(columns.program.columns) > AGAIN:
            return
        search.fine |= lost
        asked = served + 1 if lost and served < asked else every


def _served(search: _Search, answers: Sequence[Answer]) -> int:
    """How many of the later aims, first to last, the best cut serves as well as the choice does."""
    assert search.best is not None  # noqa: S101 (the caller looked)
    count = 0
    for aim, reached, answer in zip(search.later, search.best.reached[len(search.proved) :], answers, strict=False):
        if answer.value is None or reached > answer.value + 2 * aim.step:
            break
        count += 1
    return count


def _cut(search: _Search, columns: Columns, values: Sequence[float], *, later: bool = False) -> Fine:
    """Cut what was chosen from the pieces and keep it if it is the best so far; where that lost something.

    `later`: skeins opened count as well.
    """
    makings = [index for index, made in enumerate(columns.made) if values[made] > HALF]
    before = {(*use.key[:3], use.yarn): use for use in columns.uses if values[use.used] > HALF}
    whole = piece_by_piece(narrow(columns, values), found=search.found)
    chosen = {use.key: before.get((makings[use.making], *use.key[1:3], use.yarn)) for use in whole.uses}
    fixed = dict.fromkeys(whole.made, 1.0) | {use.used: float(chosen[use.key] is not None) for use in whole.uses}
    fixed |= {own: values[columns.rising[makings[place]]] for place, own in whole.rising.items()}
    cutting = Cutting(whole, [*search.proved, *search.later], len(search.proved), search.patience(), search.cuts)
    lengths = {
        use.length: round(values[thought.length])
        for use in whole.uses
        if use.length is not None and (thought := chosen[use.key]) and thought.length is not None
    }
    cut, lost = cutting.by_parts(fixed | lengths) if _add_up(whole, lengths) else ([], {use.key for use in whole.uses})
    if lost:
        cut, lost = cutting.by_parts(fixed)
    if lost:
        _keep(search, cutting, cutting.what_can_be())
    else:
        _keep(search, cutting, cut)
        worse = worse_lots((columns, values), (whole, cut), chosen, skeins=later)
        lost = {use.key for lot in worse for use, _ in whole.by_lot[lot]}  # those it shares a lot with crowd it out
    return frozenset(
        (thought.key, lot) for key in lost if (thought := chosen[key]) and thought.yarn for lot in thought.yarn.lot_ids
    )


def _add_up(whole: Columns, lengths: Mapping[int, int]) -> bool:
    """Whether the chosen lengths, rounded to the grid, still carry every need."""
    return all(
        sum(lengths.get(use.length, 0) for use in uses if use.length is not None) == sized.planned_cm
        for _, _, sized, uses in whole.needs()
        if sized.divisible
    )


def _keep(search: _Search, cutting: Cutting, cut: Sequence[float] | None) -> None:
    if cut is not None:
        reached = cutting.reached(cut)
        if search.best is None or _better(reached, search.best.reached, cutting.aims):
            search.best = Settled(cutting.whole, cut, reached)


def _all_proved(search: _Search) -> bool:
    """Whether every proved aim is reached within its bound."""
    if search.best is None:
        return False
    last = len(search.proved) - 1
    for place, (aim, bound) in enumerate(zip(search.proved, search.bounds, strict=True)):
        reached = search.best.reached[place]
        slack = search.limits.relative_gap * abs(reached) if place == last else 0.0
        if reached > bound + 2 * aim.step + slack:
            return False
    return True


def _better(one: Sequence[float], other: Sequence[float], aims: Sequence[Aim]) -> bool:
    """Whether the one is better at the first aim where they differ."""
    for aim, a, b in zip(aims, one, other, strict=True):
        if abs(a - b) > aim.step:
            return a < b
    return False


def _tightest(bounds: Sequence[float], answers: Sequence[Answer], aims: Sequence[Aim]) -> list[float]:
    """The best bounds so far; an aim not come to keeps the one it had.

    A bound holds for what is as good by the aims before it: where one of those turns out to reach less far than was
    thought, the bounds after it are those of the surer of the two.
    """
    new = [answer.bound for answer in answers] + [-math.inf] * (len(bounds) - len(answers))
    for place, (aim, a, b) in enumerate(zip(aims, bounds, new, strict=True), 1):
        if min(a, b) > -math.inf and abs(a - b) > aim.step:
            return [max(both) for both in zip(bounds[:place], new, strict=False)] + list(
                (new if b > a else bounds)[place:]
            )
    return [max(a, b) for a, b in zip(bounds, new, strict=True)]
