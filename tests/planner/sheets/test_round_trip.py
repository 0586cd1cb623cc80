"""A stash that is exported and imported into an empty workspace is the same stash: `python -m tests.sheets_runs`."""

import random

import pytest

from planner.sheets import draft
from stash.read import KINDS_OF_RECORD
from tests.bench.generated import stash_files
from tests.drawn_stashes import drawn_files
from tests.sheets_runs import WAYS, round_trip

SEEDS = range(24)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_drawn_stash_comes_back_the_same(seed):
    name, raw = WAYS[seed % len(WAYS)]
    assert round_trip(drawn_files(seed), name, raw=raw, units=("metric", "imperial")[seed % 2]) == ""


@pytest.mark.parametrize(("name", "raw"), WAYS)
def test_a_generated_stash_of_a_hundred_lots_comes_back_the_same(name, raw):
    files = stash_files(random.Random(5), 100)
    assert round_trip([(file, text.encode()) for file, text in files.items()], name, raw=raw) == ""


def test_the_drawn_stashes_have_every_key_of_a_stash():
    text = b"".join(data for seed in range(60) for _, data in drawn_files(seed)).decode()
    keys = {field.name for record in KINDS_OF_RECORD for field in record.fields}
    assert {key for key in keys if f"{key}: " not in text and f"{key}:\n" not in text} == set()


def test_a_difference_is_told():
    """The comparison can fail: a stash that lost its scale on the way is not the same."""
    files = [("stash/a.yaml", b"scale: 5 g\nlots: {a: {fibre: wool, colour: navy, count: dk, skeins: {a-1: 90 g}}}\n")]
    assert round_trip(files, "stash.csv", raw=False) == ""
    kept = draft.LOT_KEYS
    try:
        draft.LOT_KEYS = tuple(key for key in kept if key != "scale")
        assert round_trip(files, "stash.csv", raw=False).startswith("came back as")
    finally:
        draft.LOT_KEYS = kept
