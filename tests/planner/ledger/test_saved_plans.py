"""A plan is saved once, under a name, and read back as it was or refused."""

import os
from pathlib import Path

import pytest
from november import HAT, SURE

from planner import saved
from planner.workspace import load_workspace


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("octobre", "no plan is called octobre"),
        ("../november/", "no plan is called "),
        ("novembr", "did you mean 'november'?"),
    ],
)
def test_a_plan_that_is_not_there_is_named(planned, run, name, said):
    code, _, err = run("book", name, "--workspace", planned)
    assert code == 2
    assert said in err


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda text: text[:-40], "this cannot be read as JSON"),
        (lambda _: "[1]", "this is not a plan"),
        (lambda _: "\udcff", "this cannot be read as JSON"),
        (lambda _: "[" * 100_000, "this cannot be read as JSON"),
        (lambda text: text.replace('"take_m": ', '"take_m": -'), "'take_m' is not a number"),
        (lambda text: text.replace('"piece": 1', '"piece": true'), "'piece' is missing or of another kind"),
        (lambda text: text.replace('"skeins": [', '"skeins": [7, ', 1), "'skeins' is not a list of groups"),
        (lambda text: text.replace('"take_m": ', '"take_m": 1'), "does not hold any more"),
        (lambda text: text.replace('"chance_short": ', '"chance_short": 1e999, "of": '), "this cannot be read as JSON"),
        (lambda text: text.replace('"chance_short": ', '"chance_short": NaN, "of": '), "this cannot be read as JSON"),
        (lambda text: text.replace('"need_m": ', '"need_m": "\\ud800", "of": '), "this cannot be read as JSON"),
        (lambda text: text.replace('"need_m": ', f'"need_m": {"9" * 5000}, "of": '), "this cannot be read as JSON"),
        (lambda text: text.replace('"take_m": ', '"take_m": 1, "take_m": '), "'take_m' stands there twice"),
        (lambda text: text.replace('"confidence": 0.95', '"confidence": 1'), "'confidence' is out of bounds"),
        (lambda text: text.replace('"confidence": 0.95', '"confidence": 0.4'), "'confidence' is out of bounds"),
        (lambda text: text.replace('"files": {', '"files": {"x": 7, '), "'files' is not a group of texts"),
        (lambda _: " " * 16_000_001, "this file is over 16 MB: it is no plan of lotwise"),
        (lambda _: "[" + "{}," * 300_000 + "1]", "this file has over 300,000 brackets: it is no plan of lotwise"),
    ],
)
def test_a_plan_changed_by_hand_books_nothing(planned, run, spoil, said):
    path = planned / "plans" / "november.json"
    path.write_text(spoil(path.read_text()), errors="surrogateescape")
    code, _, err = run("book", "november", "--workspace", planned)
    assert code == 3
    assert err.startswith("plans/november.json:")
    assert said in err
    assert not (planned / "ledger.yaml").exists()


@pytest.mark.parametrize("make", [Path.mkdir, os.mkfifo, lambda path: path.symlink_to("/dev/zero")])
def test_what_is_no_plain_file_is_no_plan(planned, run, tmp_path_factory, make):
    make(planned / "plans" / "odd.json")
    page = tmp_path_factory.mktemp("out") / "odd.csv"
    for asked in (["book", "odd"], ["report", "odd"], ["export", "plan", page, "--plan", "odd"]):
        code, _, err = run(*asked, "--workspace", planned)
        assert (code, err.splitlines()[0]) == (3, "plans/odd.json:1:1: error: this is not a plain file")


def test_a_plan_that_could_not_be_read_again_is_not_saved(planned, run, monkeypatch):
    monkeypatch.setattr(saved, "MOST_BYTES", 1000)
    code, out, _ = run("plan", "--save", "huge", "--workspace", planned)
    assert "No plan was saved: plans/huge.json: it is over 0 MB; plan fewer projects" in " ".join(out.split())
    assert code == 5
    assert not (planned / "plans" / "huge.json").exists()


def test_a_plan_that_is_not_there_is_told_with_those_that_are(planned, run):
    code, _, err = run("book", "novmber", "--workspace", planned)
    assert code == 2
    assert err.startswith("lotwise: no plan is called novmber\nhint: did you mean 'november'?")
    (planned / "plans" / "november.json").unlink()
    _, _, err = run("book", "november", "--workspace", planned)
    assert err.startswith("lotwise: no plan is saved here yet\n")


def test_a_saved_plan_reads_back_as_it_was(planned):
    kept = saved.load_saved(planned, "plans/november.json")
    assert [row.project for row in kept.plan.projects] == ["for-the-fair", "mitts"]
    assert kept.plan.confidence == SURE
    assert kept.digests == load_workspace(planned).digests


def test_a_plan_is_never_saved_over_another(planned, run):
    before = (planned / "plans" / "november.json").read_bytes()
    code, _, err = run("plan", "--save", "november", "--workspace", planned)
    assert (code, "try --save november-2" in err) == (2, True)
    assert (planned / "plans" / "november.json").read_bytes() == before
    assert run("plan", "--save", "a/b", "--workspace", planned)[0] == 2
    (planned / "plans" / "away.json").symlink_to("nowhere")
    assert "there is a plan away already" in run("plan", "--save", "away", "--workspace", planned)[2]


def test_a_plan_is_saved_under_no_name_that_windows_keeps_for_devices(planned, run):
    for name in ("CON", "nul", "Lpt1"):
        code, _, err = run("plan", "--save", name, "--workspace", planned)
        assert (code, f"'{name}' cannot be the name of a file on Windows" in err) == (2, True)
        assert f"try --save {name}-plan" in err


def test_a_plan_that_cannot_be_saved_is_shown_all_the_same(folder, run, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device", "plans/november.json")

    monkeypatch.setattr("os.fsync", full)
    code, out, _ = run("plan", "--save", "november", "--workspace", folder)
    assert code == 5
    assert "slate-1" in out
    assert "No plan was saved: " in out
    assert not (folder / "plans").exists()


def test_a_name_with_a_space_is_told_as_it_is_typed(folder, run):
    (folder / "patterns" / "hat.yaml").write_text(HAT.replace("{one:", "{large head:"))
    (folder / "projects.yaml").write_text('projects: [{make: hat, size: "large head"}]\n')
    assert run("plan", "--save", "november", "--workspace", folder)[0] == 0
    assert "lotwise release 'hat:large head'\n" in run("book", "november", "--workspace", folder)[1]
    assert "lotwise release 'hat:large head';" in run("book", "november", "--workspace", folder)[2]
