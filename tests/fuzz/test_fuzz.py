"""Every mutated file is read, or refused with faults in their places."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from stash.faults import Fault, Place
from tests.fuzz import dying, judging, running
from tests.fuzz.judging import complaint
from tests.fuzz.kinds import KINDS
from tests.fuzz.running import made, run

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

FILES = 2000


@pytest.mark.parametrize("kind", KINDS)
def test_no_mutated_file_breaks_what_is_promised(kind: str) -> None:
    assert run(kind, 1, FILES, workers=1) == []


def test_a_run_makes_the_same_files_again() -> None:
    assert [made("stash", 3, number) for number in range(5)] == [made("stash", 3, number) for number in range(5)]
    assert len({made("stash", 3, number) for number in range(50)}) == 50


def test_the_files_of_a_run_are_both_accepted_and_refused() -> None:
    for kind, each in KINDS.items():
        told = [each.read(each.file, made(kind, 1, number)) for number in range(200)]
        accepted = sum(all(fault.warning for fault in faults) for faults in told)
        assert 10 < accepted < 190


def read_as(read: Callable[[], Sequence[Fault]]) -> str | None:
    return complaint(replace(KINDS["stash"], read=lambda *_: read()), b"lots:\n", ask=False)


def raises() -> Sequence[Fault]:
    raise KeyError("x")


def hangs() -> Sequence[Fault]:
    while True:
        time.process_time()


@pytest.mark.parametrize(
    ("read", "words"),
    [
        (raises, "KeyError"),
        (hangs, "SlowError"),
        (lambda: [Fault(Place("other.yaml", 1, 1), "wrong", "right")], "another file"),
        (lambda: [Fault(Place("stash/fuzzed.yaml", 3, 1), "wrong", "right")], "line outside"),
        (lambda: [Fault(Place("stash/fuzzed.yaml", 1, 7), "wrong", "right")], "column outside"),
        (lambda: [Fault(Place("stash/fuzzed.yaml", 1, 1), "wrong", " ")], "says nothing"),
    ],
)
def test_a_reader_that_breaks_a_promise_is_found_out(read: Callable[[], Sequence[Fault]], words: str) -> None:
    assert words in (read_as(read) or "")


def test_a_reader_that_takes_too_much_memory_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    held = iter([80.0, 381.0])
    monkeypatch.setattr(judging, "_megabytes", lambda: next(held))
    assert read_as(list) == "more than 300 MB to read"


def test_a_file_that_ends_its_process_is_found_and_the_rest_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "_work", dying.work)
    assert running.run("stash", 1, 6, workers=1) == [(3, "it ended the process"), (5, "odd")]
