"""From a question to the best answer that can be cut from the skeins.

The choice is made with lots as a whole, which is never too strict; what was chosen is then cut piece by piece, by the
same rules. Where the cut loses something, what was chosen there is modelled piece by piece and the choice made again.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.losses import worse_lots
from planner.model import build
from planner.program import Program
from planner.splitting import split
from planner.stages import KEEP, Limits, Stage, in_turn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.aims import Aim
    from planner.columns import Columns, Fine, Key, Use
    from planner.instance import Instance
    from planner.program import Terms
    from planner.solve import Answer

HALF = 0.5  # between a column that is 0 and one that is 1
GRACE = 0.7  # seconds to cut what was found when time is up
ROUNDS = 12  # tries to make the later aims as good in the cut as in the choice
AGAIN = 1000  # columns of a choice that is cheap enough to make again for that


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
        soon = time.monotonic() + GRACE
        if self.over:
            return Limits(deadline=soon)
        return Limits() if self.limits.deadline is None else Limits(deadline=max(soon, self.limits.deadline))


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
        Stage(aim.name, aim.terms(columns), aim.step, True, place == last, kept[place] if kept else None)
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
    whole = _piece_by_piece(_narrow(columns, values), found=search.found)
    chosen = {use.key: before.get((makings[use.making], *use.key[1:3], use.yarn)) for use in whole.uses}
    fixed = dict.fromkeys(whole.made, 1.0) | {use.used: float(chosen[use.key] is not None) for use in whole.uses}
    fixed |= {own: values[columns.rising[makings[place]]] for place, own in whole.rising.items()}
    cutting = _Cutting(whole, [*search.proved, *search.later], len(search.proved), search.patience(), search.cuts)
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


def _piece_by_piece(narrowed: Instance, *, found: bool) -> Columns:
    every = build(narrowed, found=found)
    return build(
        narrowed, frozenset((use.key, lot) for lot, uses in every.by_lot.items() for use, _ in uses), found=found
    )


@dataclass
class _Cutting:
    """What was chosen, modelled piece by piece, with every aim's terms in it."""

    whole: Columns
    aims: Sequence[Aim]
    proved: int
    limits: Limits
    known: dict[object, list[float]]

    def __post_init__(self) -> None:
        self.terms = [aim.terms(self.whole) for aim in self.aims]

    def by_parts(self, fixed: Mapping[int, float]) -> tuple[list[float], set[Key]]:
        """Cut as chosen, lot by lot where lots have nothing to do with each other; the uses that cannot be cut so."""
        cut = [fixed.get(column, 0.0) for column in range(len(self.whole.program.columns))]
        lost: set[Key] = set()
        for part in split(self.whole.program, fixed):
            values = self._best(part.program, [part.terms(terms) for terms in self.terms], proved=self.proved)
            if values is None:
                lost |= {own.use.key for own in self.whole.cuts if own.taken in part.places}
            for column, place in part.places.items():
                cut[column] = values[place] if values else 0.0
        return cut, lost

    def what_can_be(self) -> list[float] | None:
        """Where not all that was chosen can be cut: the best of it that can."""
        return self._best(self.whole.program, self.terms, proved=0)

    def reached(self, cut: Sequence[float]) -> tuple[float, ...]:
        return tuple(math.fsum(factor * cut[column] for column, factor in terms) for terms in self.terms)

    def _best(self, program: Program, terms: Sequence[Terms], *, proved: int) -> list[float] | None:
        asked = (tuple(program.columns), tuple(program.rows), tuple(terms), proved)
        if asked not in self.known:
            values = self._solved(program, terms, proved=proved)
            if values is None:
                return None
            self.known[asked] = values
        return self.known[asked]

    def _solved(self, program: Program, terms: Sequence[Terms], *, proved: int) -> list[float] | None:
        stages = [
            Stage(aim.name, own, aim.step, place < proved)
            for place, (aim, own) in enumerate(zip(self.aims, terms, strict=True))
            if own or place == len(self.aims) - 1
        ]
        if proved and not any(stage.proved for stage in stages):  # a bounded search may end before any cut is found
            stages.insert(0, Stage("any cut", (), HALF, proved=True))
        answers = in_turn(program, stages, self.limits)
        values = next((answer.values for answer in reversed(answers) if answer.values is not None), None)
        return None if values is None else _on_the_grid(program, values, terms, self.limits)


def _on_the_grid(
    program: Program, values: Sequence[float], aims: Sequence[Terms], limits: Limits
) -> list[float] | None:
    """The same choices with every length whole, as good by the aims that lengths bear on as whole lengths allow."""
    if all(v == round(v) for v in values):
        return list(values)
    columns = [
        replace(c, low=v, high=v) if c.whole else replace(c, whole=True)
        for c, v in zip(program.columns, values, strict=True)
    ]
    kept = [row for row in program.rows if not row.name.startswith(KEEP)]
    measured = [terms for terms in aims if any(not program.columns[column].whole for column, _ in terms)] or [()]
    stages = [Stage(f"grid {place}", terms, 1e-4, proved=True) for place, terms in enumerate(measured)]
    if limits.deadline is not None:
        limits = replace(limits, deadline=max(limits.deadline, time.monotonic() + GRACE))
    answers = in_turn(Program(columns, kept), stages, limits)
    return None if answers[-1].values is None else list(answers[-1].values)


def _narrow(columns: Columns, values: Sequence[float]) -> Instance:
    """The same question with only what was chosen left to choose."""
    chosen: dict[tuple[int, int], list[Use]] = {}
    for use in columns.uses:
        if use.yarn is not None and values[use.used] > HALF:
            chosen.setdefault(use.key[:2], []).append(use)
    makings = []
    for index, making in enumerate(columns.instance.makings):
        if values[columns.made[index]] > HALF:
            needs = []
            for place, sized in enumerate(making.needs):
                kept = {use.key[-1] for use in chosen.get((index, place), ())}
                needs.append(replace(sized, yarns=tuple(sized.yarns[rank] for rank in sorted(kept))))
            makings.append(replace(making, needs=tuple(needs)))
    return replace(columns.instance, makings=tuple(makings))


def _keep(search: _Search, cutting: _Cutting, cut: Sequence[float] | None) -> None:
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
