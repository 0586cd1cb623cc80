"""Aims served one after another: each made best without loss to those before it."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.program import Row
from planner.solve import Answer, solve

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Sequence

    from planner.program import Program, Terms

KEPT_WITHIN = 1e-5  # what a later aim may cost an earlier one, for the solver's own rounding
KEEP = "keep_"
LATER_NODES = 50  # later aims are not proved: the search goes so far, alike on every machine


@dataclass(frozen=True)
class Limits:
    """When to stop. `deadline` by time.monotonic; `progress` gets best, bound and seconds."""

    relative_gap: float = 0.0
    deadline: float | None = None
    stop: threading.Event | None = None
    progress: Callable[[float, float, float], None] | None = None

    @property
    def over(self) -> bool:
        late = self.deadline is not None and time.monotonic() >= self.deadline
        return late or (self.stop is not None and self.stop.is_set())


@dataclass(frozen=True)
class Stage:
    """An aim's terms in one program; `known`: the value it is known to reach; `proved`: whether it must be best.

    `settles`: whole columns that the stages after it no longer ask about; `nodes`: how far the search for a proof goes.
    """

    name: str
    terms: Terms
    step: float
    proved: bool
    last_proved: bool = False
    known: float | None = None
    settles: Sequence[int] = ()
    nodes: int | None = None


def in_turn(program: Program, stages: Sequence[Stage], limits: Limits) -> list[Answer]:
    """The answers to the stages whose value is not known, as far as values were found."""
    answers: list[Answer] = []
    for stage in stages:
        value = stage.known
        if value is None:
            program.aim = stage.terms
            answer = solve(
                program,
                relative_gap=limits.relative_gap if stage.last_proved else 0.0,
                absolute_gap=stage.step,
                deadline=limits.deadline,
                nodes=stage.nodes if stage.proved else LATER_NODES,
                stop=limits.stop,
                progress=limits.progress if stage.proved else None,
                start=next((before.values for before in reversed(answers) if before.values is not None), None),
            )
            answers.append(answer)
            value = answer.value
            if value is None or answer.interrupted:
                break
            if answer.values is not None:
                _fix(program, stage.settles, answer.values)
        if stage.terms:
            program.add([Row(f"{KEEP}{stage.name.replace(' ', '_')}", stage.terms, "<=", value + KEPT_WITHIN)])
    return answers


def _fix(program: Program, settled: Sequence[int], values: Sequence[float]) -> None:
    for column in settled:
        value = round(values[column])
        program.columns[column] = replace(program.columns[column], low=value, high=value)
