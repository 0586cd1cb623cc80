"""One run of HiGHS, loaded through PuLP, in a thread of its own: the one module that knows either library.

A thread for each run, because HiGHS keeps per-thread state and does not hear Ctrl-C. What came of it is read
from HiGHS itself: PuLP's own status calls a time-out optimal. Columns are matched by name, for one PuLP sorts
them by name where another keeps the order in which they were made.
"""

from __future__ import annotations

import atexit
import math
import threading
import time
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

import highspy
import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.program import Column, Program, Terms

_State = highspy.HighsModelStatus
_TIGHT = 1e-9  # what whole columns and their rows may be out by: at HiGHS's own 1e-6 a link row of 1000 m leaks 1 mm
_LOOSER = 1e-7  # for the second, careful run
_PARTING = 2.0  # seconds
_DUAL, _PRIMAL = 1, 4  # simplex strategies
_AS_IT_IS, _SCALED = 0, 2  # scaling of rows and columns: none, the solver's own way
LARGE = 1000  # columns: from so many on a path through the inside is the shorter
_TRIES = (  # solver, whether from scratch, strategy and scaling of simplex: one after another until one ends well
    ("ipm", True, _PRIMAL, _SCALED),
    ("simplex", False, _PRIMAL, _SCALED),
    ("simplex", True, _DUAL, _SCALED),
    ("simplex", True, _DUAL, _AS_IT_IS),
)


class End(Enum):
    """How HiGHS says a run ended."""

    PROVED = "proved"
    IMPOSSIBLE = "impossible"
    CUT_SHORT = "cut short"
    UNCLEAR = "unclear"


_ENDS = {
    _State.kOptimal: End.PROVED,
    _State.kInfeasible: End.IMPOSSIBLE,
    _State.kTimeLimit: End.CUT_SHORT,
    _State.kIterationLimit: End.CUT_SHORT,
    _State.kSolutionLimit: End.CUT_SHORT,
    _State.kInterrupt: End.CUT_SHORT,
    getattr(_State, "kHighsInterrupt", _State.kInterrupt): End.CUT_SHORT,  # not in every version
}


class SolverError(RuntimeError):
    """HiGHS failed in a way that says nothing about the program: our own fault, not the user's."""


@dataclass(frozen=True)
class Limits:
    """Where a run may stop: gaps to the bound, a `time.monotonic()` time, a number of nodes."""

    relative_gap: float = 0.0
    absolute_gap: float = 1e-6
    deadline: float | None = None
    nodes: int | None = None


class Run:
    """One run. `best` (by column index), `value` and `bound` may be read while it goes; `end` once it is done.

    `careful` leaves out presolve and asks a little less of the sums: slower, for when a first run gave no clear
    answer. `fixed` holds every whole column at the value given there. `start`: values that hold, to begin from.
    """

    def __init__(
        self,
        program: Program,
        limits: Limits,
        *,
        careful: bool = False,
        fixed: Sequence[float] | None = None,
        start: Sequence[float] | None = None,
    ) -> None:
        self.done = threading.Event()
        self.best: tuple[float, ...] | None = None
        self.value, self.bound = math.nan, -math.inf
        self.end = End.CUT_SHORT
        self.state = "not done"
        self.failure: BaseException | None = None
        self._program, self._limits, self._careful, self._fixed, self._start = program, limits, careful, fixed, start
        self._cancelled = False
        self._order: list[int] = []

    def start(self) -> None:
        threading.Thread(target=self._work, name="solve", daemon=True).start()

    def cancel(self) -> None:
        """Ask HiGHS to come back with what it has; it hears this at its next node or pivot."""
        self._cancelled = True

    def leave_behind(self) -> None:
        """Wait for this run no longer, but for a moment when Python ends.

        HiGHS coming back in that very instant would bring the process down.
        """
        atexit.register(self.done.wait, _PARTING)

    def _work(self) -> None:
        try:
            self._solve()
        except BaseException as failure:  # noqa: BLE001 (raised again in the calling thread, where it can be caught)
            self.failure = failure
        finally:
            self.done.set()

    def _solve(self) -> None:
        solver, self._order = _load(self._program, self._fixed)
        _configure(solver, self._limits, careful=self._careful)
        if self._start is not None:
            begun = highspy.HighsSolution()
            begun.col_value = [self._start[index] for index in self._order]
            _check(solver.setSolution(begun), "values to begin from")
        solver.cbMipInterrupt += self._at_node
        solver.cbSimplexInterrupt += self._at_pivot
        solver.cbMipImprovingSolution += self._at_better
        solver.run()
        self._read(solver)

    def _at_pivot(self, event: Any) -> None:
        if self._cancelled:
            event.interrupt()

    def _at_node(self, event: Any) -> None:
        self.bound = event.data_out.mip_dual_bound
        if self._cancelled:
            event.interrupt()

    def _at_better(self, event: Any) -> None:
        self.best = self._by_index(event.data_out.mip_solution)
        self.value = event.data_out.objective_function_value

    def _by_index(self, found: Iterable[float]) -> tuple[float, ...]:
        by_index = sorted(zip(self._order, found, strict=True))
        return tuple(float(value) for _, value in by_index)

    def _read(self, solver: Any) -> None:
        info = solver.getInfo()
        state = solver.getModelStatus()
        self.state, self.end = str(state), _ENDS.get(state, End.UNCLEAR)
        feasible = int(highspy.SolutionStatus.kSolutionStatusFeasible)
        if info.valid and int(info.primal_solution_status) == feasible:
            self.best, self.value = self._by_index(solver.getSolution().col_value), info.objective_function_value
        if self._fixed is None and any(column.whole for column in self._program.columns):
            self.bound = info.mip_dual_bound if info.valid else -math.inf
        elif self.end is End.PROVED:
            self.bound = self.value  # without whole columns the least value is its own bound


def _load(program: Program, fixed: Sequence[float] | None) -> tuple[Any, list[int]]:
    """HiGHS's own object holding the program, and the program's column index of each of HiGHS's columns."""
    import pulp  # noqa: PLC0415 (slow to load, and most questions are answered without it)

    problem = _problem(program, fixed)
    # PuLP 3 marks whole columns one call each, which takes longer than all the rest: they are marked here in one
    builder = pulp.HiGHS(mip=False, msg=False)
    builder.createAndConfigureSolver(problem)
    solver = problem.solverModel
    _set(solver, "output_flag", value=False)
    builder.buildSolverModel(problem)
    loaded = problem.exported_variables() if hasattr(problem, "exported_variables") else problem.variables()
    order = [int(variable.name[1:]) for variable in loaded]
    if sorted(order) != list(range(len(program.columns))):
        raise SolverError("columns were lost on the way to the solver")
    whole = [place for place, index in enumerate(order) if program.columns[index].whole and fixed is None]
    if whole:
        kinds = np.full(len(whole), highspy.HighsVarType.kInteger)
        _check(solver.changeColsIntegrality(len(whole), np.array(whole, dtype=np.int32), kinds), "whole columns")
    return solver, order


def _problem(program: Program, fixed: Sequence[float] | None) -> Any:
    """The program as PuLP holds it, under names that sort in the order in which they are made."""
    import pulp  # noqa: PLC0415 (as above)

    problem = pulp.LpProblem("plan", pulp.LpMinimize)
    add = getattr(problem, "add_variable", pulp.LpVariable)
    express = getattr(pulp.LpAffineExpression, "from_list", pulp.LpAffineExpression)
    wide = len(str(max(len(program.columns), len(program.rows))))
    variables = [
        add(f"c{index:0{wide}d}", *_bounds(column, fixed[index] if fixed else None))
        for index, column in enumerate(program.columns)
    ]
    aim = dict.fromkeys(range(len(variables)), 0.0) | merged(program.aim)  # all of them, so that none is left out
    problem += express([(variables[index], factor) for index, factor in aim.items()])
    for place, row in enumerate(program.rows):
        left = express([(variables[index], factor) for index, factor in merged(row.terms).items()])
        name = f"r{place:0{wide}d}"
        if row.sense == "<=":
            problem += left <= row.right, name
        elif row.sense == ">=":
            problem += left >= row.right, name
        else:
            problem += left == row.right, name
    return problem


def merged(terms: Terms) -> dict[int, float]:
    """The terms with each column once and none at 0."""
    sums: dict[int, float] = {}
    for index, factor in terms:
        sums[index] = sums.get(index, 0.0) + factor
    return {index: factor for index, factor in sums.items() if factor}


def _bounds(column: Column, fixed: float | None) -> tuple[float | None, float | None]:
    if column.whole and fixed is not None:
        return fixed, fixed
    low = min(column.low, column.high)  # bounds that cross by a rounding error are one value
    return low if math.isfinite(low) else None, column.high if math.isfinite(column.high) else None


def _configure(solver: Any, limits: Limits, *, careful: bool) -> None:
    """One thread and a fixed seed, so that the same program gives the same values."""
    options: dict[str, Any] = {
        "log_to_console": False,
        "threads": 1,
        "parallel": "off",
        "random_seed": 0,
        "mip_rel_gap": limits.relative_gap,
        "mip_abs_gap": limits.absolute_gap,
        "mip_feasibility_tolerance": _LOOSER if careful else _TIGHT,
        "presolve": "off" if careful else "choose",
    }
    if limits.deadline is not None:
        options["time_limit"] = max(0.0, limits.deadline - time.monotonic())
    if limits.nodes is not None:
        options["mip_max_nodes"] = limits.nodes
    for option, value in options.items():
        _set(solver, option, value=value)


def _set(solver: Any, option: str, *, value: Any) -> None:
    _check(solver.setOptionValue(option, value), option)


def _check(result: Any, what: str) -> None:
    if result != highspy.HighsStatus.kOk:
        raise SolverError(f"the solver refused {what}")


def versions() -> str:
    """What solves here: HiGHS by its own word, for the package may hold another."""
    import pulp  # noqa: PLC0415 (as above)

    return f"HiGHS {highspy.Highs().version()}, PuLP {pulp.__version__}"


class Growing:
    """A linear program of fixed rows, low <= sum <= high, that grows by columns from 0 up; the least sum of costs."""

    def __init__(self, low: Sequence[float], high: Sequence[float]) -> None:
        self._solver = highspy.Highs()
        for option, value in {
            "output_flag": False,
            "threads": 1,
            "random_seed": 0,
            "simplex_strategy": _PRIMAL,
        }.items():
            _set(self._solver, option, value=value)
        none = np.zeros(0, dtype=np.int32)
        rows = (len(low), np.array(low), np.array(high))
        _check(self._solver.addRows(*rows, 0, none, none, np.zeros(0)), "rows")

    def add(self, costs: Sequence[float], columns: Sequence[Sequence[tuple[int, float]]]) -> None:
        """Each column as (row, factor) pairs."""
        starts = np.cumsum([0, *(len(column) for column in columns)])[:-1].astype(np.int32)
        rows = np.array([row for column in columns for row, _ in column], dtype=np.int32)
        factors = np.array([factor for column in columns for _, factor in column], dtype=float)
        count = len(costs)
        size = (count, np.array(costs, dtype=float), np.zeros(count), np.full(count, highspy.kHighsInf))
        _check(self._solver.addCols(*size, len(rows), starts, rows, factors), "columns")

    def solve(self) -> tuple[float, Any, Any]:
        """The least sum, the columns' values, and what a unit of each row's limit changes it by."""
        tries = _TRIES if self._solver.getNumCol() >= LARGE else _TRIES[1:]
        for solver, scratch, strategy, scaling in tries:
            if scratch:
                self._solver.clearSolver()  # not from where it stood
            _set(self._solver, "solver", value=solver)
            _set(self._solver, "simplex_strategy", value=strategy)
            _set(self._solver, "simplex_scale_strategy", value=scaling)
            self._solver.run()
            if self._solver.getModelStatus() == _State.kOptimal:
                break
        if self._solver.getModelStatus() != _State.kOptimal:
            raise SolverError(f"no usable answer from the solver: {self._solver.getModelStatus()}")
        found = self._solver.getSolution()
        value = self._solver.getInfo().objective_function_value
        return float(value), np.array(found.col_value), np.array(found.row_dual)
