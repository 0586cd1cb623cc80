"""What `check` says and how it ends."""

from __future__ import annotations

import json

import pytest

from planner.checking import run_check

FILES = {
    "stash.yaml": "donors: {crew: {mass: 486 g}}\nlots: {slate: {donor: crew, fibre: wool, colour: navy, count: dk, skeins: {a: 50 g, b: 5 g}}}\n",
    "patterns/cowl.yaml": "yarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 180 m}}\n",
    "projects.yaml": "projects: [{make: cowl, copies: 2}]\n",
}


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "patterns").mkdir()
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_good_files_are_counted(folder) -> None:
    assert run_check(folder, as_json=False) == ("no faults: 1 donor, 1 lot, 2 skeins, 1 pattern, 2 projects\n", 0)


def test_warnings_are_shown_and_end_well(folder) -> None:
    (folder / "patterns" / "old.yml").write_text("", encoding="utf-8")
    text, code = run_check(folder, as_json=False)
    assert text.startswith("patterns/old.yml:1:1: warning: this file is not read")
    assert text.endswith("no faults, 1 warning: 1 donor, 1 lot, 2 skeins, 1 pattern, 2 projects\n")
    assert code == 0


def test_faults_are_shown_counted_and_end_with_3(folder) -> None:
    (folder / "projects.yaml").write_text("projects: [{make: cowel}, {make: cowl, want: 0}]\n", encoding="utf-8")
    text, code = run_check(folder, as_json=False)
    assert text.startswith("projects.yaml:1:19: error: there is no pattern 'cowel'\n")
    assert text.endswith("\n2 faults\n")
    assert code == 3


def test_good_files_as_a_document(folder) -> None:
    text, code = run_check(folder, as_json=True)
    expected = {
        "format": "lotwise/check-1", "donors": 1, "lots": 1, "skeins": 2, "patterns": 1, "projects": 2, "warnings": [],
    }  # fmt: skip
    assert (expected, 0) == (json.loads(text), code)


def test_faults_as_a_document(folder) -> None:
    (folder / "projects.yaml").write_text("projects: [{make: cowel}]\n", encoding="utf-8")
    text, code = run_check(folder, as_json=True)
    document = json.loads(text)
    assert (document["format"], code) == ("lotwise/error-1", 3)
    first = document["faults"][0]
    assert (
        first["file"], first["line"], first["column"], first["message"], first["hint"]
    ) == ("projects.yaml", 1, 19, "there is no pattern 'cowel'", "did you mean 'cowl'?")  # fmt: skip
