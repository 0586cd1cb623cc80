"""Many processes that book in one workspace at once: no booking is lost, none is there twice, none waits in vain."""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
from pathlib import Path

from planner.asking import AskError
from planner.ledger.booking import book, read_books
from planner.workspace import load_workspace
from tests.crash.runner import Runner
from tests.crash.written import COWL

STASH = """\
lots:
  slate: {{fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {{{skeins}}}}}
"""


def book_together(processes: int, bookings: int) -> int:
    """Each process books projects of its own, one after the other; 1 where the ledger is not as it should be."""
    with tempfile.TemporaryDirectory() as beside:
        folder = Path(beside)
        names = [f"p{number}" for number in range(1, processes * bookings + 1)]
        _write(folder, names)
        began = time.monotonic()
        waits = _each(folder, [names[number::processes] for number in range(processes)])
        took = time.monotonic() - began
        entries = read_books(folder).ledger.entries
        booked = sorted(entry.act.projects[0] for entry in entries)
        right = booked == sorted(names) and [entry.revision for entry in entries] == list(range(1, len(names) + 1))
        refused = sum(len(row) < bookings for row in waits)
    longest = sorted(wait for row in waits for wait in row)
    print(
        f"{processes} processes, {bookings} bookings each: {len(entries)} revisions, {took:.1f} s; a booking took "
        f"{longest[len(longest) // 2]:.2f} s in the middle and {longest[-1]:.2f} s at the longest"
    )
    print(f"the last booking of each process, in s: {' '.join(f'{sum(row):.1f}' for row in waits)}")
    if refused:
        print(f"{refused} processes ended in an error")
    return int(not right or refused > 0)


def book_the_same(tries: int) -> int:
    """Two processes book one project at once; 1 unless one of them does and the other is refused, every time."""
    failed = 0
    with tempfile.TemporaryDirectory() as beside:
        folder = Path(beside)
        names = [f"p{number}" for number in range(1, tries + 1)]
        _write(folder, names)
        for name in names:
            done = _each(folder, [[name], [name]])
            failed += sorted(map(len, done)) != [0, 1]
        entries = read_books(folder).ledger.entries
    failed += len(entries) != tries
    print(f"{tries} projects booked by two processes at once: {len(entries)} revisions, {failed} wrong")
    return min(failed, 1)


def _write(folder: Path, names: list[str]) -> None:
    """A workspace with a cowl for each name and a skein for each, and one saved plan of them all.

    One cowl is planned; the others are written as it is, each with its own skein. Booking checks them all.
    """
    (folder / "patterns").mkdir()
    (folder / "patterns" / "cowl.yaml").write_text(COWL)
    (folder / "stash.yaml").write_text(STASH.format(skeins=", ".join(f"{name}: 30 g" for name in names)))
    rows = "".join(f"  - {{make: cowl, id: {name}}}\n" for name in names)
    (folder / "projects.yaml").write_text(f"projects:\n{rows}")
    runner = Runner()
    ran = runner.run(folder, ("plan", names[0], "--save", "all"))
    runner.close()
    if ran.code:
        raise RuntimeError(ran.err)
    path = folder / "plans" / "all.json"
    document = json.loads(path.read_text())
    (one,) = document["projects"]
    (take,) = one["needs"][0]["yarns"][0]["skeins"]
    text = json.dumps(one)
    document["projects"] = [
        json.loads(
            text.replace(f'"project": "{names[0]}"', f'"project": "{name}"').replace(
                f'"skein": "{take["skein"]}"', f'"skein": "{name}"'
            )
        )
        for name in names
    ]
    path.write_text(json.dumps(document))


def _each(folder: Path, shares: list[list[str]]) -> list[list[float]]:
    """Let a process for each share book its projects; the seconds that each booking took, as far as it came."""
    running = []
    for share in shares:
        reading, writing = os.pipe()
        child = os.fork()
        if not child:
            _book_all(folder, share, writing)
        os.close(writing)
        running.append((child, reading))
    told = []
    for child, reading in running:
        with os.fdopen(reading, "rb") as said:
            told.append([float(line) for line in said.read().split()])
        os.waitpid(child, 0)
    return told


def _book_all(folder: Path, names: list[str], confirm: int) -> None:
    with Path(os.devnull).open("w") as nothing:
        os.dup2(nothing.fileno(), 2)  # that it waits is told there
    try:
        for name in names:
            began = time.monotonic()
            book(folder, load_workspace, "all", (name,), used=False, why="")
            os.write(confirm, b"%.6f\n" % (time.monotonic() - began))
    except AskError:
        os._exit(2)
    except BaseException as error:  # noqa: BLE001 (a process of its own: its end is told by its code)
        sys.stdout.write(f"{type(error).__name__}: {error}\n")
        sys.stdout.flush()
        os._exit(1)
    os._exit(0)
