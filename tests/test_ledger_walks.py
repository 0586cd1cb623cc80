"""A share of what `python -m tests.ledger_walks` tries."""

import pytest

from tests.ledger_walks import run_walk


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_no_yarn_appears_twice_and_none_vanishes(tmp_path, first):
    did = [run_walk(tmp_path / str(seed), seed) for seed in range(first, first + 10)]
    assert all(any(one[what] for one in did) for what in ("booked", "used", "weighed", "learnt", "released", "undone"))
