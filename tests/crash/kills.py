"""A run that books, gives back and undoes again and again is killed at a random moment; the ledger stands."""

from __future__ import annotations

import os
import random
import select
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from planner.ledger.booking import book, read_books, release, undo
from planner.ledger.entries import FILE
from planner.workspace import load_workspace
from planner.writing import tidy
from tests.crash.runner import Runner
from tests.crash.written import SAVED, Writing, halves, tree, write_workspace

LONGEST_S = 0.3  # until a kill, counted from the first confirmed step
MOST_REVISIONS = 120  # then a new ledger is begun, since a long one takes longer to read


def kill(times: int, seed: int) -> int:
    """Kill a loop of bookings so many times; 1 where anything was lost, else 0."""
    chance, told, failed = random.Random(seed), Counter(), 0
    with tempfile.TemporaryDirectory() as beside:
        folder, runner = Path(beside), Runner()
        write_workspace(folder, Writing("", (), SAVED), runner)
        runner.close()
        for number in range(times):
            try:
                _kill_once(folder, chance, told)
            except AssertionError as error:
                failed += 1
                print(f"kill {number}: {error}", flush=True)
    print(f"{times} kills, {failed} of them wrong: " + ", ".join(f"{n} {what}" for what, n in sorted(told.items())))
    return min(failed, 1)


def _kill_once(folder: Path, chance: random.Random, told: Counter[str]) -> None:
    before = tree(folder)
    old = before.pop(FILE, b"")
    confirmed = _confirmed(folder, chance)
    left = halves(folder)
    after = tree(folder)
    new = after.pop(FILE, b"")
    assert after == before, "a file of the user's is not as it was"
    assert new.startswith(old), "the ledger's old bytes are not how its new ones begin"
    revisions = [entry.revision for entry in read_books(folder).ledger.entries]
    assert revisions == list(range(1, len(revisions) + 1)), f"the revisions are {revisions}"
    missing = set(confirmed) - set(revisions)
    assert not missing, f"{missing} were confirmed and are not there"
    tidy(folder)
    assert not halves(folder), "a leftover is not discarded"
    told["steps confirmed"] += len(confirmed)
    told["left a half"] += bool(left)
    told["written and not yet confirmed"] += bool(confirmed) and revisions[-1] > confirmed[-1]
    if len(revisions) > MOST_REVISIONS:
        (folder / FILE).unlink()


def _confirmed(folder: Path, chance: random.Random) -> list[int]:
    """The revisions that a loop confirmed before it was killed."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        _loop(folder, random.Random(chance.random()), writing)
    os.close(writing)
    select.select([reading], [], [], 60)
    time.sleep(chance.uniform(0, LONGEST_S))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading, "rb") as said:
        return [int(line) for line in said.read().split(b"\n")[:-1]]


def _loop(folder: Path, chance: random.Random, confirm: int) -> None:
    try:
        while True:
            aside = read_books(folder).standing.aside
            if not aside:
                booked = book(folder, load_workspace, "one", (), used=False, why="")
            elif chance.random() < 0.5:
                booked = release(folder, chance.choice(sorted(aside)), "it waits")
            else:
                booked = undo(folder, "")
            os.write(confirm, b"%d\n" % booked.entry.revision)
    except BaseException as error:  # noqa: BLE001 (the loop ends by being killed, not otherwise)
        sys.stderr.write(f"{type(error).__name__}: {error}\n")
        sys.stderr.flush()
        os._exit(1)
