"""A share of what `python -m tests.crash` tries: whatever stops a run, what is written is whole and nothing is lost."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.crash.written import WRITING

ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs to fork")


def tried(*arguments):
    return subprocess.run(
        [sys.executable, "-m", "tests.crash", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_command_that_is_stopped_anywhere_leaves_every_file_as_before_or_as_after_and_says_which():
    told = tried("--every", "97")
    assert (told.stdout.count("\n"), told.returncode, told.stderr) == (1, 0, ""), told.stdout


def test_a_loop_of_bookings_killed_at_random_moments_loses_nothing_that_was_confirmed():
    told = tried("--kills", "20")
    assert told.returncode == 0, told.stdout + told.stderr
    assert told.stdout.startswith("20 kills, 0 of them wrong: ")


def test_many_that_book_at_once_lose_nothing_and_none_waits_in_vain():
    told = tried("--together", "4", "5")
    assert told.returncode == 0, told.stdout + told.stderr
    assert told.stdout.startswith("4 processes, 5 bookings each: 20 revisions, ")


def test_of_two_that_book_one_project_at_once_one_does():
    told = tried("--same", "5")
    assert (told.returncode, told.stdout) == (0, "5 projects booked by two processes at once: 5 revisions, 0 wrong\n")


def test_every_command_that_can_rehearse_is_stopped_too():
    """What has --dry-run writes."""
    from planner.cli import COMMANDS, called  # noqa: PLC0415

    writes = {called(command) for command, _ in COMMANDS if "dry_run" in command.__annotations__}
    assert writes == {writing.arguments[0] for writing in WRITING}
