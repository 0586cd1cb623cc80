"""Python's search for cycles is as it was once what it was put off for is over."""

import gc

import pytest

from planner.collecting import SELDOM, seldom_collecting


@pytest.fixture
def thresholds():
    """Those of this process, left as they are."""
    before = gc.get_threshold()
    yield before
    gc.set_threshold(*before)


def test_collecting_is_seldom_for_as_long_as_asked(thresholds):
    with seldom_collecting():
        assert gc.get_threshold()[0] == SELDOM
        with seldom_collecting():
            assert gc.get_threshold()[0] == SELDOM
        assert gc.get_threshold()[0] == SELDOM
    assert gc.get_threshold() == thresholds


@pytest.mark.parametrize("first", [0, 2 * SELDOM])  # never; more seldom still
def test_what_is_more_seldom_stays_so(thresholds, first):
    gc.set_threshold(first, *thresholds[1:])
    with seldom_collecting():
        assert gc.get_threshold()[0] == first
