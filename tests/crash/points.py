"""Each command that writes, stopped at each call of its way to the disk in each way; what is not as it should be."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.crash.stops import WAYS
from tests.crash.written import WRITING, halves, tree, write_workspace

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.crash.runner import Ran, Runner
    from tests.crash.written import Writing

Tree = dict[str, bytes]


@dataclass(frozen=True)
class Case:
    """A command in its workspace, the files before it and after it, and the names of its calls to the disk."""

    writing: Writing
    folder: Path
    before: Tree
    after: Tree
    calls: tuple[str, ...]


@dataclass(frozen=True)
class Point:
    """A call at which a command is stopped, and in which way."""

    case: Case
    number: int
    way: str

    def __str__(self) -> str:
        name = self.case.calls[self.number - 1]
        return f"{self.case.writing.name}, call {self.number} ({name}), {self.way}"


def cases(folder: Path, runner: Runner) -> Iterator[Case]:
    for number, writing in enumerate(WRITING):
        template, trial = folder / f"w{number}", folder / "trial"
        write_workspace(template, writing, runner)
        shutil.copytree(template, trial)
        ran = runner.run(trial, writing.arguments)
        if ran.code:
            raise RuntimeError(f"{writing.name}: {ran.err}")
        yield Case(writing, template, tree(template), tree(trial), ran.calls)
        shutil.rmtree(trial)


def points(case: Case) -> list[Point]:
    return [Point(case, number, way) for number in range(1, len(case.calls) + 1) for way in WAYS]


def wrong(point: Point, trial: Path, runner: Runner) -> list[str]:
    """What is not as it should be after a run that was stopped there, and after the next ones."""
    case, writing = point.case, point.case.writing
    shutil.copytree(case.folder, trial)
    ran = runner.run(trial, writing.arguments, point.number, point.way)
    there = tree(trial)
    found = [*_wrong_files(case, there), *_wrong_words(case, ran, there, point.way)]
    left = halves(trial)
    done = there == case.after
    checked = runner.run(trial, ("check",))
    if checked.code:
        found.append(f"check ends with {checked.code}: {checked.err}")
    again = runner.run(trial, writing.arguments)
    partly = not done and there != case.before
    if again.code != (writing.again if done or partly else 0):
        found.append(f"again it ends with {again.code}: {again.err}")
    if not partly and tree(trial) != case.after:
        found.append("again it does not write what it should")
    if halves(trial) or any(name not in checked.err + again.err for name in left):
        found.append(f"leftovers {left}, {halves(trial)} in the end; told: {checked.err}{again.err}")
    shutil.rmtree(trial)
    return [f"{point}: {one}" for one in found]


def _wrong_files(case: Case, there: Tree) -> Iterator[str]:
    for name in case.before.keys() | case.after.keys() | there.keys():
        if there.get(name) not in (case.before.get(name), case.after.get(name)):
            yield f"{name} is neither as before nor as after"


def _wrong_words(case: Case, ran: Ran, there: Tree, way: str) -> Iterator[str]:
    """An exit code or words that do not say what has become of the files."""
    if way.startswith("killed"):
        if ran.code != -9:
            yield f"it was not killed: {ran.code}"
        return
    if "Traceback" in ran.err or ".part" in ran.err.replace("discarded", ""):
        yield f"these are no plain words: {ran.err}"
    if ran.code == 0:
        if there != case.after:
            yield "it ends with 0 and is not done"
        return
    said = ran.out + ran.err
    if ran.code != 5:
        yield f"it ends with {ran.code}: {said}"
    if there == case.before and not ("nothing was changed" in said or "No chart was drawn" in said):
        yield f"nothing was changed, and it says: {said[-300:]}"
    if there != case.before and ("nothing was changed" in said or not ("written" in said or "Saved as" in said)):
        yield f"something was changed, and it says: {said[-300:]}"
