"""Running the solver: ended in time, from any thread, at Ctrl-C; silent; its failures told."""

import math
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import highspy
import numpy as np
import pytest
from programs import hard_program, tiny_program

from planner import highs
from planner.highs import SolverError
from planner.solve import GRACE, Answer, Status, solve

ROOT = Path(__file__).parent.parent.parent


def test_the_deadline_ends_a_solve_with_the_best_found_and_an_honest_bound():
    began = time.monotonic()
    answer = solve(hard_program(), deadline=began + 0.5)
    assert time.monotonic() - began < 0.5 + 2 * GRACE
    assert (answer.status, answer.interrupted) == (Status.STOPPED, False)
    assert 0 <= answer.bound < answer.value
    over_and_under = answer.values[30:]
    assert answer.value == pytest.approx(sum(over_and_under))


def test_a_deadline_gone_by_finds_nothing():
    assert solve(hard_program(), deadline=time.monotonic()) == Answer(Status.STOPPED, None, None, -math.inf)


def test_a_run_that_never_hears_is_left_behind_after_the_deadline(monkeypatch):
    heard = threading.Event()
    monkeypatch.setattr(highs.Run, "_work", lambda _: heard.wait(30))
    began = time.monotonic()
    answer = solve(hard_program(), deadline=began + 0.1)
    heard.set()
    assert answer == Answer(Status.STOPPED, None, None, -math.inf)
    assert time.monotonic() - began < 0.1 + 2 * GRACE


def test_another_thread_can_stop_a_solve():
    stop = threading.Event()
    began = time.monotonic()
    threading.Timer(0.5, stop.set).start()
    answer = solve(hard_program(), stop=stop)
    assert time.monotonic() - began < 0.5 + 2 * GRACE
    assert (answer.status, answer.interrupted) == (Status.STOPPED, False)
    assert answer.values is not None
    assert solve(hard_program(), stop=stop) == Answer(Status.STOPPED, None, None, -math.inf)


def test_a_cap_on_nodes_stops_at_the_same_place_every_time():
    first, second = (solve(hard_program(), nodes=20) for _ in range(2))
    assert first.status == Status.STOPPED
    assert repr(first) == repr(second)


def test_several_threads_may_solve_at_once():
    programs = [tiny_program(seed, rest=seed % 2 == 0) for seed in range(40)]
    alone = [repr(solve(program)) for program in programs]
    with ThreadPoolExecutor(8) as pool:
        together = [repr(answer) for answer in pool.map(solve, programs)]
    assert alone == together


def test_progress_is_told_in_the_calling_thread():
    told = []
    began = time.monotonic()
    solve(
        hard_program(),
        deadline=began + 1.2,
        progress=lambda value, bound, seconds: told.append((threading.get_ident(), value, bound, seconds)),
    )
    assert {ident for ident, *_ in told} == {threading.get_ident()}
    values, bounds, seconds = zip(*[row[1:] for row in told], strict=True)
    assert list(values) == sorted(values, reverse=True)
    assert all(bound <= value for value, bound in zip(values, bounds, strict=True))
    assert list(seconds) == sorted(seconds)


def test_an_option_the_solver_does_not_know_is_an_error():
    solver = highspy.Highs()
    solver.silent()
    with pytest.raises(SolverError, match="the solver refused no_such_option"):
        highs._set(solver, "no_such_option", value=1)


def test_a_failure_in_the_solving_thread_is_told_in_the_calling_one(monkeypatch):
    def fail(*_, **__):
        raise MemoryError

    monkeypatch.setattr(highs, "_configure", fail)
    with pytest.raises(SolverError, match="the solver failed") as caught:
        solve(hard_program())
    assert isinstance(caught.value.__cause__, MemoryError)


OWN_PROCESS = """
import sys, time
sys.path.insert(0, "tests/planner")
from programs import hard_program, tiny_program
from planner.solve import solve
"""


def test_nothing_is_printed():
    """One solved, one infeasible, one stopped: HiGHS writes past Python, so a process of its own is looked at."""
    script = OWN_PROCESS + (
        "[solve(tiny_program(seed, rest=True)) for seed in range(20)]\n"
        "solve(hard_program(), deadline=time.monotonic() + 0.3)\n"
        "solve(hard_program(), nodes=3)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=False, timeout=60)
    assert (done.stdout, done.stderr, done.returncode) == (b"", b"", 0)


def test_a_run_left_behind_does_not_bring_the_process_down_as_it_ends():
    """Told to stop, this run hears it only 0.8 s later: the answer does not wait for that, Python's end does."""
    script = OWN_PROCESS + (
        "import threading\n"
        "from planner.highs import Run\n"
        "hear, stop = Run.cancel, threading.Event()\n"
        "Run.cancel = lambda run: threading.Timer(0.8, hear, [run]).start()\n"
        "threading.Timer(0.4, stop.set).start()\n"
        "print(solve(hard_program(), stop=stop).status)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=False, timeout=60)
    assert (done.stdout, done.stderr, done.returncode) == (b"stopped\n", b"", 0)


def test_ctrl_c_brings_back_the_best_found_within_a_second():
    script = OWN_PROCESS + (
        "print('ready', flush=True)\n"
        "answer = solve(hard_program())\n"
        "print(answer.status, answer.interrupted, answer.bound <= answer.value < 5000, flush=True)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout.readline() == "ready\n"
        time.sleep(1)
        process.send_signal(signal.SIGINT)
        sent = time.monotonic()
        assert process.stdout.readline() == "stopped True True\n"
        assert time.monotonic() - sent < 1
    assert process.returncode == 0


@pytest.mark.parametrize("columns", [highs.LARGE - 1, highs.LARGE, 3 * highs.LARGE])
def test_a_growing_program_ends_at_a_corner_whose_prices_prove_it_best(columns):
    """Strong duality (any textbook of linear programming): the limits at their prices come to the same sum."""
    chance = np.random.default_rng(columns)
    rows, high = 120, np.ones(120)
    costs = -chance.uniform(1, 2, columns)
    sparse = [
        [(int(row), float(chance.uniform(0.2, 1))) for row in chance.choice(rows, 3, replace=False)] for _ in costs
    ]
    program = highs.Growing([-highspy.kHighsInf] * rows, high.tolist())
    program.add(costs[:500].tolist(), sparse[:500])
    program.solve()
    program.add(costs[500:].tolist(), sparse[500:])
    value, values, prices = program.solve()
    assert value == pytest.approx(costs @ values) == pytest.approx(high @ prices)
    used = np.zeros(rows)
    for column, amount in zip(sparse, values, strict=True):
        for row, factor in column:
            used[row] += factor * amount
    assert (used <= high + 1e-6).all()
    assert (prices <= 1e-7).all()
    gains = [
        cost - sum(factor * prices[row] for row, factor in column) for cost, column in zip(costs, sparse, strict=True)
    ]
    assert min(gains) >= -1e-6
    assert (values > 1e-9).sum() <= rows
