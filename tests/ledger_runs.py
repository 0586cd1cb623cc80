"""Whatever is booked and taken back again leaves a stash as it was, on random tiny stashes.

    python -m tests.ledger_runs --cases 1000

Each case books yarn of random pieces, each tenth a real plan of its projects, in several ways, and takes it back. Ends
with 1 where anything is not as before, or where what is free is not what was there less what was taken.
"""

from __future__ import annotations

import argparse
import contextlib
import random
import shutil
import sys
import tempfile
from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from unittest import mock

from planner import alone, missing, planning, solve
from planner.asking import ask
from planner.covering import cover
from planner.ledger.booking import added_to, book, release, undo
from planner.ledger.entries import FILE, Book, Taking
from planner.ledger.finishing import finish
from planner.planning import plan
from planner.saved import save_plan
from planner.show.documents import cover_document, lots_document, write
from planner.show.plandocument import plan_document
from planner.workspace import load_workspace
from stash.faults import FaultyFilesError
from stash.lengths import guarded_cm, mass_g
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import random_case

PLANNED = 10  # each so-manyth case is planned, the others take yarn at random
TIMES = ((alone, "SECONDS"), (missing, "SECONDS"), (planning, "SECONDS"), (solve, "REPAIR"))
AS_LONG_AS_IT_TAKES = 1e6  # s


class Run:
    """A case in a folder, and how its files and its yarn stood before anything was booked."""

    def __init__(self, folder, seed):
        self.folder, self.chance = folder, random.Random(seed)
        case = readable(random_case(seed))
        for name, text in to_yaml(case).items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text)
        self.confidence = case.confidence
        self.planned = seed % PLANNED == 0
        self.before = load_workspace(folder)
        self.takes = self._plan() if self.planned else self._take()
        self.files, self.answers = self._files(), self._answers(load_workspace(folder))

    @property
    def projects(self):
        return tuple(dict.fromkeys(take.project for take in self.takes))

    def _plan(self):
        asked = ask(self.before, (), every_size=False)
        found = plan(self.before, asked, self.confidence)
        save_plan(self.before, plan_document(found, self.before, ()), "one")
        return [
            Taking(project.project, need.need, take.lot, take.skein, take.piece, take.take_cm, Fraction(1))
            for project in found.projects
            for need in project.needs
            for run in need.runs
            for take in run.takes
        ]

    def _take(self):
        """A random share of some pieces for some projects, sometimes all of one; nothing where there is none."""
        takes = []
        names = [project.name for project in ask(self.before, (), every_size=False)]
        for lot in self.before.stash.lots.values():
            for skein in lot.skeins:
                for piece, held in enumerate(guarded_cm(lot, skein, self.confidence), start=1):
                    cm = self.chance.choice((0, held, self.chance.randint(0, held), self.chance.randint(0, held)))
                    if cm:
                        name = self.chance.choice(names)
                        takes.append(Taking(name, "main", lot.id, skein.id, piece, cm, Fraction(cm, 7)))
        return takes

    def _files(self):
        return {
            path: path.read_bytes()
            for path in self.folder.rglob("*")
            if path.is_file() and path.name != FILE and not path.name.startswith(".lotwise")
        }

    def _answers(self, workspace):
        told = [write(lots_document(workspace.owned, workspace.stash, self.confidence))]
        if self.planned:
            rows = cover(workspace, ask(workspace, (), every_size=True), self.confidence)
            told.append(write(cover_document(rows, self.confidence, workspace.stash)))
        return told

    def book(self, projects=(), *, used=False):
        if self.planned:
            book(self.folder, load_workspace, "one", projects, used=used, why="")
            return
        wanted = [take for take in self.takes if not projects or take.project in projects]
        with added_to(self.folder) as add:
            add(load_workspace(self.folder).books, Book("one", self.confidence, tuple(wanted), used=used), "")

    def must_be_as_before(self, what):
        now = load_workspace(self.folder)
        assert now.stash == self.before.stash, f"{what}: other yarn is free than before"
        assert now.owned == self.before.owned, f"{what}: other yarn is owned than before"
        assert self._answers(now) == self.answers, f"{what}: the answers are not those of before"
        assert self._files() == self.files, f"{what}: a file of the user's is not as it was"

    def must_be_less_by(self, takes, what):
        taken = defaultdict(int)
        for take in takes:
            taken[take.lot, take.skein, take.piece] += take.cm
        now = load_workspace(self.folder).stash
        for name, lot in self.before.stash.lots.items():
            for was, skein in zip(lot.skeins, now.lots[name].skeins, strict=True):
                whole = guarded_cm(lot, was, self.confidence)
                gone = [taken[name, was.id, piece] for piece in range(1, len(whole) + 1)]
                if not any(gone):
                    assert skein == was, f"{what}: {was.id} is not as before"
                left = guarded_cm(now.lots[name], skein, self.confidence)
                expected = tuple(a - b for a, b in zip(whole, gone, strict=True))
                assert left == expected, f"{what}: {was.id} has {left} free where {expected} should be"


def run_case(folder: Path, seed: int) -> str:
    """Book and take back in every way; what became of it in a word. Raises AssertionError.

    Every question is answered to its end: answers are compared, and on a busy machine time could be up for one of them.
    """
    with contextlib.ExitStack() as patient:
        for module, name in TIMES:
            patient.enter_context(mock.patch.object(module, name, AS_LONG_AS_IT_TAKES))
        return _run_case(folder, seed)


def _run_case(folder: Path, seed: int) -> str:
    try:
        run = Run(folder, seed)
    except FaultyFilesError:
        return "refused by the readers"
    if not run.takes:
        return "nothing to take"
    for used in (False, True):
        run.book(used=used)
        run.must_be_less_by(run.takes, "used" if used else "booked")
        undo(folder, "")
        run.must_be_as_before("undone")
    for project in run.projects:
        run.book((project,))
    run.must_be_less_by(run.takes, "booked one by one")
    for project in run.projects:
        release(folder, project, "")
    run.must_be_as_before("released")
    run.book()
    _finish_and_undo(run)
    undo(folder, "")
    run.must_be_as_before("finished and undone")
    return "planned" if run.planned else "taken at random"


def _finish_and_undo(run):
    """Finish each project, some with what the ledger expects on the scale; then take the finishing back."""
    booked = load_workspace(run.folder)
    for project in run.projects:
        left = []
        if run.chance.random() < 0.7:
            skeins = {(take.lot, take.skein) for take in run.takes if take.project == project}
            left = [f"{skein}={_expected(run, project, lot, skein)} g" for lot, skein in sorted(skeins)]
        finish(run.folder, load_workspace, project, left, "")
        if not left and project == run.projects[0]:
            free = _kept_for_nobody(load_workspace(run.folder).stash)
            assert free == _kept_for_nobody(booked.stash), "finished: other yarn is free than was booked"
    for _ in run.projects:
        undo(run.folder, "")
    again = load_workspace(run.folder)
    assert (again.stash, again.owned) == (booked.stash, booked.owned), "undone: not as it was when it was booked"


def _kept_for_nobody(stash):
    """The stash, whoever may have set aside the rest of it."""
    lots = {
        name: replace(lot, skeins=tuple(replace(skein, promised=frozenset()) for skein in lot.skeins))
        for name, lot in stash.lots.items()
    }
    return replace(stash, lots=lots)


def _expected(run, project, lot, skein):
    """What the ledger leaves of a skein once the project is finished, in grams with a decimal."""
    workspace = load_workspace(run.folder)
    owned = workspace.owned.lots[lot]
    whole = next(one for one in owned.skeins if one.id == skein)
    held = guarded_cm(owned, whole, run.confidence)
    cm = sum(take.cm for take in run.takes if (take.project, take.lot, take.skein) == (project, lot, skein))
    return f"{float(mass_g(owned, whole)) * max(0, 1 - cm / max(1, sum(held))):.1f}"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.ledger_runs", description=__doc__)
    parser.add_argument("--cases", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0, metavar="SEED")
    asked = parser.parse_args()
    told, failed = Counter(), 0
    for seed in range(asked.first, asked.first + asked.cases):
        folder = Path(tempfile.mkdtemp())
        try:
            told[run_case(folder, seed)] += 1
        except AssertionError as error:
            failed += 1
            print(f"case {seed}: {error}", flush=True)
        finally:
            shutil.rmtree(folder)
    print(f"{asked.cases} cases, {failed} of them wrong: " + ", ".join(f"{n} {what}" for what, n in told.most_common()))
    return min(failed, 1)


if __name__ == "__main__":
    sys.exit(main())
