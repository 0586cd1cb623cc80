"""What comes from files, names and the command line never acts on a terminal, never leaves an answer's form."""

from __future__ import annotations

import random
import unicodedata
from typing import TYPE_CHECKING

import pytest

from planner.schemas import TOP
from tests.hostile import judging, trying
from tests.hostile.texts import TEXTS
from tests.hostile.trying import run
from tests.hostile.workspace import FILES, clean_files, slots, write_files

if TYPE_CHECKING:
    from stash.fields import Kind, Record

DRAWS = random.Random(20)
SHARE_OF_SLOTS = [(slot, label) for slot in DRAWS.sample(slots(), 60) for label in DRAWS.sample(sorted(TEXTS), 1)]
OPTIONS = [(command, option) for command, option in trying.options() if command != "demo"]
SHARE_OF_OPTIONS = [(*one, label) for one in DRAWS.sample(OPTIONS, 40) for label in DRAWS.sample(sorted(TEXTS), 1)]
AS_NAMES = ("red", "lone byte", "direction 202e", "C1 control 9b", "C0 control 0a", "handler", "very long", "braces")


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    folder = tmp_path_factory.mktemp("clean")
    write_files(folder, clean_files())
    return folder


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def keys(record: Record) -> set[tuple[str, str]]:
    """(record, key) of all that may be written in a record and in those within it."""
    found, waiting = set(), [record]
    while waiting:
        one = waiting.pop()
        found |= {(one.name, field.name) for field in one.fields}
        kinds: list[Kind] = [field.kind for field in one.fields]
        while kinds:
            kind = kinds.pop()
            kinds += kind.of
            waiting += (
                [kind.record]
                if kind.record is not None and (kind.record.name, kind.record.fields[0].name) not in found
                else []
            )
    return found


def written_keys(value) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*map(written_keys, value.values()))
    return set().union(*map(written_keys, value)) if isinstance(value, list) else set()


def test_the_workspace_has_no_fault_and_every_place_for_a_text(clean):
    assert run("check", "--workspace", clean).code == 0
    for record, value in zip(TOP.values(), FILES.values(), strict=True):
        assert {key for _, key in keys(record)} <= written_keys(value)


def test_the_texts_are_many_and_of_every_kind_a_terminal_acts_on():
    assert len(TEXTS) >= 60
    kinds = {unicodedata.category(one) for text in TEXTS.values() for one in judging.acted_on(text)}
    assert kinds == judging.ACTED_ON


def test_the_judges_find_what_they_are_to_find():
    assert judging.acted_on("a\x1b\n\u200d\u202e") == {"\x1b", "\u202e"}
    assert judging.json_faults('"é"') == ["it is not ASCII"]
    assert judging.json_faults("{")[0].startswith("it is not JSON")
    assert judging.svg_faults("<svg>")[0].startswith("it is not XML")
    assert judging.svg_faults('<svg onload="x"><script/></svg>') == ["unknown onload", "unknown script"]


def test_the_judges_of_files_find_what_they_are_to_find():
    bad = '<html><script>alert(1)</script><p onclick="x" src="y"><img/></p><a href="javascript:x"/></html>'
    told = ["an element img", "an attribute onclick", "an attribute src"]
    told += ["a link to 'javascript:x'", "the text stands in code"]
    assert judging.page_faults(bad, "alert(1)") == told
    assert judging.page_faults("<html><p>alert(1)</p></html>", "alert(1)") == []
    assert judging.page_faults("<html>", "x")[0].startswith("it is not XML")
    assert judging.table_faults(b"a,'=b\r\n=c,d") == ["a formula: '=c'"]


@pytest.mark.parametrize(("slot", "label"), SHARE_OF_SLOTS, ids=lambda one: str(getattr(one, "path", one)))
def test_a_hostile_text_in_any_one_place_is_answered_safely(slot, label, elsewhere):
    assert trying.faults_of_slot(slot, TEXTS[label], elsewhere) == []


@pytest.mark.parametrize(("command", "option", "label"), SHARE_OF_OPTIONS)
def test_a_hostile_text_on_the_command_line_is_answered_safely(command, option, label, clean, elsewhere):
    assert trying.faults_of_option(command, option, TEXTS[label], clean) == []
    assert list(elsewhere.iterdir()) == []


@pytest.mark.parametrize(("label", "as_json"), [("end of text", False), ("direction 202e", True)])
def test_a_hostile_text_in_every_name_is_shown_safely_by_every_command(label, as_json, elsewhere):
    assert trying.faults_of_answers(TEXTS[label], elsewhere, as_json=as_json) == []


@pytest.mark.parametrize("label", AS_NAMES)
def test_a_hostile_name_of_a_file_or_folder_is_shown_safely(label, elsewhere):
    assert trying.faults_of_file_name(TEXTS[label], elsewhere / "files") == []
    assert trying.faults_of_folder_name(TEXTS[label], elsewhere / "folders") == []


@pytest.mark.parametrize("label", ["path up", "path", "dots", "drive", "option", "shell", "C0 control 00", "lone byte"])
def test_a_text_is_never_taken_for_a_path_to_write_to(label, elsewhere):
    folder = elsewhere / "own"
    write_files(folder, clean_files())
    text = TEXTS[label]
    before = sorted(elsewhere.rglob("*"))
    tried = [
        run("needs", "--workspace", folder, "--yarn", "dk", f"--pattern={text}", "--save", "hat"),
        run("measure", "--workspace", folder, "--turns", "99", "--around", "1.5 m", "--mass", "42 g", "--colour", "navy",
            f"--add={text}", "--skein", "42 g"),
    ]  # fmt: skip
    assert {said.code for said in tried} <= {2, 5}
    assert [fault for said in tried for fault in said.faults()] == []
    assert before == sorted(elsewhere.rglob("*"))
