"""Every faulty file in tests/broken/ is answered with exactly the text beside it, and no fault lacks such a file."""

from __future__ import annotations

import ast
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from patterns.read import read_pattern
from patterns.read_projects import read_projects
from planner.faultprint import show_faults
from planner.workspace import load_workspace
from stash.faults import Fault, FaultyFilesError
from stash.read import read_stash

if TYPE_CHECKING:
    from patterns.needs import Pattern

HERE = Path(__file__).parent
BROKEN = HERE / "broken"
FILES = sorted(path.relative_to(BROKEN).as_posix() for path in BROKEN.glob("*/*.yaml"))
FOLDERS = sorted(path.relative_to(BROKEN).as_posix() for path in BROKEN.glob("workspace/*") if path.is_dir())
FAULT_MODULES = (
    "stash/textfaults.py",
    "stash/yamlfaults.py",
    "stash/linefaults.py",
    "stash/fieldfaults.py",
    "stash/readfaults.py",
    "stash/kinds.py",
    "patterns/faults.py",
    "patterns/shapefaults.py",
    "patterns/chartfaults.py",
    "patterns/projectfaults.py",
    "planner/workspacefaults.py",
    "planner/ledger/faults.py",
)
# These cannot lie in a folder that every machine can hold; test_source.py and test_workspace.py make them.
MADE_ELSEWHERE = {"file_too_big", "too_many_nodes", "unreadable", "not_a_plain_file", "patterns_alike"}


def skerry() -> Pattern:
    """The pattern that the faulty lists of projects are read against."""
    text = b"yarn: dk\nneeds: {main: {}}\nsizes: {S: {main: 9 m}, M: {main: 9 m}, L: {main: 9 m}, XXL: {main: 9 m}}\n"
    pattern, faults = read_pattern("patterns/skerry.yaml", text)
    assert faults == []
    assert pattern is not None
    return pattern


def faults_of(name: str) -> list[Fault]:
    kind, _, file = name.partition("/")
    data = (BROKEN / name).read_bytes()
    if kind == "stash":
        faults = list(read_stash([(file, data)]).faults)
    elif kind == "patterns":
        faults = read_pattern(file, data)[1]
    else:
        faults = read_projects((file, data), {"skerry": skerry(), "cowl": None}, {"slate", "ochre"})[1]
    return sorted(faults, key=lambda fault: (fault.warning, fault))


def faults_in(name: str) -> tuple[Fault, ...]:
    try:
        return load_workspace(BROKEN / name).warnings
    except FaultyFilesError as error:
        return error.faults


def beside(name: str) -> str:
    return (BROKEN / name).with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FILES)
def test_a_faulty_file_is_answered_with_the_text_beside_it(name: str) -> None:
    assert beside(name) == show_faults(faults_of(name))


@pytest.mark.parametrize("name", FOLDERS)
def test_a_faulty_folder_is_answered_with_the_text_beside_it(name: str) -> None:
    assert beside(name) == show_faults(faults_in(name))


def test_every_text_has_its_file() -> None:
    texts = {path.relative_to(BROKEN).with_suffix("").as_posix() for path in BROKEN.glob("*/*.txt")}
    texts -= {name for name in texts if name.startswith("sheets/")}  # answered in test_broken_sheets.py
    assert texts == {name.removesuffix(".yaml") for name in FILES} | set(FOLDERS)


def fault_functions() -> set[str]:
    """Every function that makes a fault, by its annotation."""
    found: set[str] = set()
    for module in FAULT_MODULES:
        tree = ast.parse((HERE.parent / module).read_text(encoding="utf-8"))
        functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
        found |= {one.name for one in functions if isinstance(one.returns, ast.Name) and one.returns.id == "Fault"}
    return found


def test_every_fault_has_a_file_that_shows_it() -> None:
    called: set[str] = set()

    def watch(frame: object, event: str, _: object) -> None:
        if event == "call":
            called.add(frame.f_code.co_name)  # type: ignore[attr-defined]

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        for name in FILES:
            faults_of(name)
        for name in FOLDERS:
            faults_in(name)
    finally:
        sys.setprofile(before)
    assert fault_functions() - called == MADE_ELSEWHERE
