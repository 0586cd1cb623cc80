"""A share of what `python -m tests.ledger_runs` tries."""

import itertools
import time

import pytest

from tests import ledger_runs
from tests.ledger_runs import run_case


@pytest.mark.parametrize("first", range(0, 60, 5))
def test_what_is_booked_and_taken_back_leaves_all_as_it_was(tmp_path, first):
    told = [run_case(tmp_path / str(seed), seed) for seed in range(first, first + 5)]
    assert len(told) == 5


@pytest.mark.parametrize("seed", [20, 50, 80])
def test_a_case_is_judged_alike_on_a_machine_that_stands_still_now_and_then(tmp_path, monkeypatch, seed):
    """Once yarn is booked, half a minute is gone at every look at the clock. Each case's cover asks the solver."""
    plain, leaps, undo = time.monotonic, itertools.count(30, 30), ledger_runs.undo

    def undo_late(*told):
        monkeypatch.setattr(time, "monotonic", lambda: plain() + next(leaps))
        return undo(*told)

    monkeypatch.setattr(ledger_runs, "undo", undo_late)
    assert run_case(tmp_path, seed) == "planned"
