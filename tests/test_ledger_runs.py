"""A share of what `python -m tests.ledger_runs` tries."""

import pytest

from tests.ledger_runs import run_case


@pytest.mark.parametrize("first", range(0, 60, 5))
def test_what_is_booked_and_taken_back_leaves_all_as_it_was(tmp_path, first):
    told = [run_case(tmp_path / str(seed), seed) for seed in range(first, first + 5)]
    assert len(told) == 5
