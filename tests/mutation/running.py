"""Runs the tests that touch a mutant, in a process forked from one that has the libraries but nothing of ours yet."""

from __future__ import annotations

import gc
import importlib
import importlib.machinery
import json
import os
import resource
import sys
import tempfile
import time
from collections import defaultdict
from dataclasses import dataclass
from itertools import accumulate, zip_longest
from pathlib import Path
from types import CodeType, FunctionType
from typing import TYPE_CHECKING

import coverage
import pytest

if TYPE_CHECKING:
    import ast
    from collections.abc import Callable, Iterator, Sequence

    from tests.mutation.mutants import Mutant
    from tests.mutation.rooms import Room

LIBRARIES = ("hypothesis", "numpy", "pulp", "highspy", "yaml", "typer.testing", "jinja2", "coloraide", "colour", "pint")
PLAIN = ("-x", "-p", "no:xdist", "--hypothesis-seed=0", "-W", "ignore::pytest.PytestAssertRewriteWarning")
SECONDS = 4.0  # of tests a mutant is tried with, the quickest first
FOREVER = 30  # s of processor time beyond that: it does not come to its end, which a test would see
UNFIT = 69  # how a process ends that could not put a mutant in place
ALIVE, DEAD, UNKNOWN = "alive", "dead", "unknown"
IMPORTED = ""  # the context of what runs when a module is imported


Chosen = tuple[Path, "Mutant", "list[str]"]  # a file, a mutant of it, and the tests that touch it


@dataclass(frozen=True)
class Touched:
    """Which tests run a line of a file, and how long each takes."""

    tests: dict[str, dict[int, set[str]]]
    seconds: dict[str, float]

    def of(self, file: Path, line: int) -> list[str]:
        """The tests that run a line, the quickest first; then all, where it is run by an import."""
        found = self.tests.get(str(file), {}).get(line, set())
        order = sorted(found - {IMPORTED}, key=self.seconds.__getitem__)
        if IMPORTED in found:
            order += sorted(self.seconds.keys() - found, key=self.seconds.__getitem__)
        return self.within(order)

    def at_import(self, file: Path, line: int) -> bool:
        """Whether a line is run by an import too, which only importing anew tries."""
        return IMPORTED in self.tests.get(str(file), {}).get(line, set())

    def first(self) -> list[str]:
        """The quickest of all."""
        return self.within(sorted(self.seconds, key=self.seconds.__getitem__))

    def within(self, order: list[str]) -> list[str]:
        """As many of these tests, from the first on, as can be run in the time that a mutant is worth."""
        ends = accumulate(self.seconds[one] for one in order)
        return [one for one, end in zip(order, ends, strict=True) if end <= SECONDS]


def warm_up() -> None:
    """Load what does not change. Nothing of ours but this package may be loaded here."""
    for name in LIBRARIES:
        importlib.import_module(name)
    ours = [name for name in sys.modules if name.partition(".")[0] in {"stash", "patterns", "planner"}]
    if ours:
        raise AssertionError(ours)


def touched(room: Room) -> Touched:
    """Run a room's tests once, watching which lines each runs. Raises AssertionError when one fails."""
    with tempfile.NamedTemporaryFile("r") as told:
        status = _in_a_fork(lambda: _watch(room, told.name), 3600)
        if status:
            raise AssertionError(f"the tests fail as they are: {status}")
        found = json.load(told)
    tests = {file: {int(line): set(names) for line, names in lines.items()} for file, lines in found["lines"].items()}
    return Touched(tests, found["seconds"])


def survivors(room: Room, chosen: Sequence[Chosen]) -> Iterator[bool]:
    """Of each mutant of a file, with the tests that touch it, whether all of these pass with it in its place.

    Each is told as soon as it is known.
    """
    reading, writing = os.pipe()
    swapper = _Swapper(chosen, writing)
    child = _fork(lambda: int(pytest.main([*PLAIN, *room.tests], plugins=[swapper])), 36_000)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as told:
        for each, word in zip_longest(chosen, told, fillvalue=UNKNOWN):
            yield survives_anew(*each) if word.strip() == UNKNOWN else word.strip() == ALIVE
    _ended(child)


def survives_anew(file: Path, mutant: Mutant, tests: Sequence[str]) -> bool:
    """Told by importing everything anew, as for what a module does when it is imported."""
    return not tests or _in_a_fork(lambda: _try(file, mutant.tree, tests), FOREVER) == 0


def _try(file: Path, tree: ast.Module, tests: Sequence[str]) -> int:
    plain = importlib.machinery.SourceFileLoader.get_code

    def get_code(loader: importlib.machinery.SourceFileLoader, name: str) -> object:
        return compile(tree, str(file), "exec") if loader.path == str(file) else plain(loader, name)

    importlib.machinery.SourceFileLoader.get_code = get_code
    return int(pytest.main([*PLAIN, *tests]))


class _Swapper:
    """Takes the place of running the tests: each mutant in a fork, its functions' code put into those that are loaded.

    Writes ALIVE, DEAD, or UNKNOWN of those that cannot be tried so, into an open file.
    """

    def __init__(self, chosen: Sequence[Chosen], into: int) -> None:
        self.chosen, self.into = chosen, into

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        loaded = [one for one in gc.get_objects() if isinstance(one, FunctionType)]
        files = {file: _codes(compile(file.read_text(encoding="utf-8"), str(file), "exec")) for file, *_ in self.chosen}
        functions = {file: [one for one in loaded if one.__code__.co_filename == str(file)] for file in files}
        with os.fdopen(self.into, "w", encoding="utf-8") as told:
            for file, mutant, tests in self.chosen:
                new = _codes(compile(mutant.tree, str(file), "exec"))
                if not mutant.inside or not tests or len(new) != len(files[file]):
                    word = UNKNOWN
                else:
                    swaps = [
                        (one, new[at])
                        for one in functions[file]
                        for at, old in enumerate(files[file])
                        if one.__code__ == old
                    ]
                    ended = _in_a_fork(lambda: _run_swapped(swaps, [items[name] for name in tests]), FOREVER)  # noqa: B023
                    word = {0: ALIVE, UNFIT: UNKNOWN}.get(ended, DEAD)
                told.write(f"{word}\n")
                told.flush()
        return True


def _codes(code: CodeType) -> list[CodeType]:
    """A code and all that are in it, always in the same order."""
    return [code, *(inner for one in code.co_consts if isinstance(one, CodeType) for inner in _codes(one))]


def _run_swapped(swaps: Sequence[tuple[FunctionType, CodeType]], items: Sequence[pytest.Item]) -> int:
    try:
        for function, code in swaps:
            function.__code__ = code
    except ValueError:  # other variables of the functions around it
        return UNFIT
    for item in items:
        item.ihook.pytest_runtest_protocol(item=item, nextitem=None)
        if item.session.testsfailed:
            return 1
    return 0


class _Watcher:
    """Tells the coverage which test runs."""

    def __init__(self, watching: coverage.Coverage) -> None:
        self.watching = watching
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> object:
        self.watching.switch_context(item.nodeid)
        began = time.process_time()
        try:
            return (yield)
        finally:
            self.seconds[item.nodeid] = time.process_time() - began
            self.watching.switch_context(IMPORTED)


def _watch(room: Room, into: str) -> int:
    files = [str(path) for path in room.files()]
    watching = coverage.Coverage(data_file=None, include=files, config_file=False)
    watching.start()
    watcher = _Watcher(watching)
    status = pytest.main([*PLAIN, *room.tests], plugins=[watcher])
    watching.stop()
    data = watching.get_data()
    lines: dict[str, dict[int, list[str]]] = defaultdict(dict)
    for file in data.measured_files():
        lines[file] = data.contexts_by_lineno(file)
    Path(into).write_text(json.dumps({"lines": lines, "seconds": watcher.seconds}), encoding="utf-8")
    return int(status)


def _in_a_fork(work: Callable[[], int], seconds: int) -> int:
    """What the work returns in a process of its own, silent; another number when it is ended."""
    return _ended(_fork(work, seconds))


def _fork(work: Callable[[], int], seconds: int) -> int:
    """A process that does the work, silent, and ends with what it returns; ended after so much processor time."""
    child = os.fork()
    if child == 0:
        status = 70
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
            nowhere = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1, 2):
                os.dup2(nowhere, stream)
            status = work()
        finally:
            os._exit(status)
    return child


def _ended(child: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
