"""Solves a Program: waits for the solver, ends it in time, and judges for itself what came back."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from planner.highs import End, Limits, Run, SolverError

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Sequence

    from planner.program import Column, Program, Row, Terms

    Progress = Callable[[float, float, float], None]

WHOLE_WITHIN = 1e-5  # a whole column's value this near to a whole number is that number
HOLDS_WITHIN = 1e-6  # rows hold to this
COLUMN_WITHIN = 1e-7  # HiGHS's own tolerance on the bounds of a column; moving it back shifts its rows
NOISE = 1e-7  # share of the value that the same tolerances may make up
TICK = 0.05  # seconds between looks at `stop`
PROGRESS_EVERY = 0.25  # seconds
GRACE = 0.4  # seconds the solver is given to come back once told to stop
REPAIR = 2.0  # seconds for solving the other columns again


class Status(StrEnum):
    """How a solve ended.

    OPTIMAL: nothing is better by more than the absolute gap asked. WITHIN: nothing is better by more than the
    relative gap asked. STOPPED: time, nodes, a stop asked for or Ctrl-C came first. INFEASIBLE: no values hold.
    """

    OPTIMAL = "optimal"
    WITHIN = "within"
    STOPPED = "stopped"
    INFEASIBLE = "infeasible"


@dataclass(frozen=True)
class Answer:
    """What a solve found: `values` by column index, `value` the aim they give, `bound` what no values go below.

    `values` and `value` are None where none were found; `bound` is -inf where none is proved, inf where no values
    hold. `interrupted` tells that Ctrl-C ended it.
    """

    status: Status
    values: tuple[float, ...] | None
    value: float | None
    bound: float
    interrupted: bool = False


_NOTHING_FOUND = Answer(Status.STOPPED, None, None, -math.inf)
_IMPOSSIBLE = Answer(Status.INFEASIBLE, None, None, math.inf)


def solve(
    program: Program,
    *,
    relative_gap: float = 0.0,
    absolute_gap: float = 1e-6,
    deadline: float | None = None,
    nodes: int | None = None,
    stop: threading.Event | None = None,
    progress: Progress | None = None,
    start: Sequence[float] | None = None,
) -> Answer:
    """The values that make the program's aim least.

    The gaps are those at which the search may end: relative to the value, absolute in the aim's unit. `deadline`
    is a `time.monotonic()` time; `nodes` caps the search alike on every machine; `stop` ends it from another
    thread. `start`: values that hold, to begin from. `progress` is called in the calling thread with the best value
    so far (nan before there is one), the bound and the seconds gone. Several threads may solve at once. Ctrl-C in the
    main thread ends the solve, not the program: the answer then holds the best found. Raises SolverError when the
    solver fails.
    """
    if not program.columns:
        return Answer(Status.OPTIMAL, (), 0.0, 0.0) if _holds(program, ()) else _IMPOSSIBLE
    if any(_is_empty(column) for column in program.columns):
        return _IMPOSSIBLE
    limits = Limits(relative_gap, absolute_gap, deadline, nodes)
    watch = _Watch(deadline, stop, progress)
    answer = None
    for careful in (False, True):
        if watch.over():
            break
        run = Run(program, limits, careful=careful, start=start)
        watch.see_out(run)
        answer = _judge(program, run, limits) or answer
        if answer is not None and not (run.end is End.PROVED and answer.status is Status.STOPPED):
            break
    else:
        if answer is None:
            raise SolverError(f"no usable answer from the solver: {run.state}")
    return replace(answer or _NOTHING_FOUND, interrupted=watch.interrupted)


def _is_empty(column: Column) -> bool:
    """No value lies within the column's bounds."""
    low, high = column.low - HOLDS_WITHIN, column.high + HOLDS_WITHIN
    if column.whole and math.isfinite(low) and math.isfinite(high):
        return math.ceil(low) > math.floor(high)
    return low > high


def _judge(program: Program, run: Run, limits: Limits) -> Answer | None:
    """What the run found, by our own sums; None where that is nothing, though it was not cut short."""
    if run.end is End.IMPOSSIBLE:
        return _IMPOSSIBLE
    if run.end is End.UNCLEAR:
        return None
    values = None if run.best is None else _settled(program, run.best)
    if values is None:
        return None if run.end is End.PROVED else replace(_NOTHING_FOUND, bound=run.bound)
    value = _sum(program.aim, values)
    bound = min(run.bound, value)
    noise = NOISE * max(1.0, abs(value))
    if value - bound <= limits.absolute_gap + noise:
        return Answer(Status.OPTIMAL, values, value, bound)
    if value - bound <= limits.relative_gap * abs(value) + noise:
        return Answer(Status.WITHIN, values, value, bound)
    return Answer(Status.STOPPED, values, value, bound)


def _settled(program: Program, found: tuple[float, ...]) -> tuple[float, ...] | None:
    """The values with whole columns whole and every row and bound still held, else None.

    Where rounding breaks a row (a link row lets a little through), the other columns are solved for again with
    the whole ones fixed.
    """
    values = _rounded(program, found)
    if _holds(program, values):
        return values
    again = Run(program, Limits(), fixed=values)
    again.start()
    again.done.wait(REPAIR)
    if again.end is not End.PROVED or again.best is None:
        return None
    values = _rounded(program, again.best)
    return values if _holds(program, values) else None


def _rounded(program: Program, found: tuple[float, ...]) -> tuple[float, ...]:
    """Whole columns whole where near enough, and no column outside its bounds by the solver's tolerance."""
    return tuple(_placed(column, value) for column, value in zip(program.columns, found, strict=True))


def _placed(column: Column, value: float) -> float:
    if column.whole and abs(value - round(value)) < WHOLE_WITHIN:
        return float(round(value))
    return min(max(value, column.low), column.high) + 0.0  # + 0.0 turns -0.0 into 0.0


def _holds(program: Program, values: tuple[float, ...]) -> bool:
    """Every row holds, and every whole column is whole; `_rounded` has seen to the bounds."""
    whole = all(value.is_integer() for column, value in zip(program.columns, values, strict=True) if column.whole)
    return whole and all(_row_holds(program, row, values) for row in program.rows)


def _row_holds(program: Program, row: Row, values: tuple[float, ...]) -> bool:
    over = _sum(row.terms, values) - row.right
    broken_by = {"<=": over, ">=": -over, "=": abs(over)}[row.sense]
    if broken_by <= HOLDS_WITHIN:
        return True
    shift = sum(abs(factor) for index, factor in row.terms if not program.columns[index].whole)
    return broken_by <= HOLDS_WITHIN + COLUMN_WITHIN * shift


def _sum(terms: Terms, values: tuple[float, ...]) -> float:
    return math.fsum(factor * values[index] for index, factor in terms)


class _Watch:
    """Waits for runs and ends them: at the deadline, when asked, or at Ctrl-C."""

    def __init__(self, deadline: float | None, stop: threading.Event | None, progress: Progress | None) -> None:
        self.interrupted = False
        self._deadline, self._stop, self._progress = deadline, stop, progress
        self._began = self._told = time.monotonic()

    def over(self) -> bool:
        asked = self._stop is not None and self._stop.is_set()
        return self.interrupted or asked or (self._deadline is not None and time.monotonic() >= self._deadline)

    def see_out(self, run: Run) -> None:
        """Start the run and wait until it is done, or has been told to stop and was given its grace."""
        try:
            run.start()
            while not self.over() and not run.done.wait(self._patience()):
                self._tell(run)
        except KeyboardInterrupt:
            self.interrupted = True
        if not run.done.is_set():
            run.cancel()
            if not run.done.wait(GRACE):  # it may sit in presolve far longer
                run.leave_behind()
        if run.failure is not None:
            raise SolverError("the solver failed") from run.failure

    def _patience(self) -> float:
        if self._deadline is None:
            return TICK
        return max(0.0, min(TICK, self._deadline - time.monotonic()))

    def _tell(self, run: Run) -> None:
        now = time.monotonic()
        if self._progress is not None and now - self._told >= PROGRESS_EVERY:
            self._told = now
            self._progress(run.value, run.bound, now - self._began)


def lp_text(program: Program) -> str:
    """The program in LP format, under its own names and in its own order, for people and for golden files."""
    lines = ["Minimize", f" aim: {_terms_text(program, program.aim)}", "Subject To"]
    lines += [
        f" {row.name}: {_terms_text(program, row.terms)} {row.sense} {_number(row.right)}" for row in program.rows
    ]
    lines.append("Bounds")
    lines += [f" {_number(column.low)} <= {column.name} <= {_number(column.high)}" for column in program.columns]
    whole = [f" {column.name}" for column in program.columns if column.whole]
    return "\n".join([*lines, *(["General", *whole] if whole else []), "End", ""])


def _terms_text(program: Program, terms: Terms) -> str:
    """`3 a - b + 0.5 c`; an empty sum is written `0` with the first column's name, as the format asks."""
    parts = []
    for index, factor in terms:
        size = "" if abs(factor) == 1 else f"{_number(abs(factor))} "
        parts.append(f"{'-' if factor < 0 else '+'} {size}{program.columns[index].name}")
    if not parts:
        return f"0 {program.columns[0].name}" if program.columns else "0"
    return " ".join(parts).removeprefix("+ ")


def _number(number: float) -> str:
    return str(int(number)) if float(number).is_integer() else repr(float(number))
