"""What was chosen with lots as a whole, cut piece by piece by the same rules."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model import build
from planner.program import Program
from planner.splitting import split
from planner.stages import KEEP, Limits, Stage, in_turn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.aims import Aim
    from planner.columns import Columns, Key, Use
    from planner.instance import Instance
    from planner.program import Terms

GRACE = 0.7  # seconds to cut what was found when time is up
WIDER = 1.5  # of an aim's step: what a cut may be below the choice, which is made within half a step
NODES = 500  # of the search for the best cut: what is not found then is modelled piece by piece in the choice
HALF = 0.5  # between a column that is 0 and one that is 1


def piece_by_piece(narrowed: Instance, *, found: bool) -> Columns:
    """The program of a question in which every use sees pieces."""
    every = build(narrowed, found=found)
    return build(
        narrowed, frozenset((use.key, lot) for lot, uses in every.by_lot.items() for use, _ in uses), found=found
    )


def narrow(columns: Columns, values: Sequence[float]) -> Instance:
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


@dataclass
class Cutting:
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
            Stage(aim.name, own, WIDER * aim.step, place < proved, place == proved - 1, nodes=NODES)
            for place, (aim, own) in enumerate(zip(self.aims, terms, strict=True))
            if own or place == len(self.aims) - 1
        ]
        if proved and not any(stage.proved for stage in stages):  # a bounded search may end before any cut is found
            stages.insert(0, Stage("any cut", (), HALF, proved=True, nodes=NODES))
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
