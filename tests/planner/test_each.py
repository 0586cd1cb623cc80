"""`plan --each`: every folder gets the plan it would get alone, and a faulty one does not stop the others."""

import json
import os
import shutil
from pathlib import Path

import pytest

from planner import checked, plan, planning, workers
from planner.commands import each
from planner.commands.shared import Ending
from planner.show import progress

HAT = """\
name: Hat
craft: knitting
yarn: dk
strands: 1
needs: {main: {lots: one}}
sizes:
  one: {main: 100 m}
"""


@pytest.fixture
def folders(tmp_path, monkeypatch):
    """A hat takes 110.3 m: slate (100 g, 218.6 m for sure) is enough for it, fog (30 g) is not."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "FIRST_AFTER", 600.0)  # no sign of life on the error stream
    for folder, mass in {"quay": "100 g", "pier": "30 g", "mole": "100 grams"}.items():
        (tmp_path / folder / "patterns").mkdir(parents=True)
        (tmp_path / folder / "patterns" / "hat.yaml").write_text(HAT)
        lot = f'{{fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {{slate-1: {mass}}}}}'
        (tmp_path / folder / "stash.yaml").write_text(f"lots:\n  slate: {lot}\n")
    return tmp_path


@pytest.mark.parametrize("cores", [1, 3])
def test_each_folder_gets_the_plan_it_gets_alone(run, folders, monkeypatch, cores):
    monkeypatch.setattr(workers, "cores", lambda: cores)
    shutil.copytree(folders / "quay", folders / "quay2")
    names = ["pier", "quay", "quay2"]
    alone = [run("plan", "--workspace", name)[1] for name in names]
    code, out, err = run("plan", "--each", *names)
    assert (
        out == "\n\n\n".join(f"In {name}:\n\n{text.rstrip()}" for name, text in zip(names, alone, strict=True)) + "\n"
    )
    assert (code, err) == (1, "")  # the hat of pier is not made

    documents = [json.loads(run("plan", "--workspace", name, "--json")[1]) for name in names]
    code, out, err = run("plan", "--each", *names, "--json")
    told = json.loads(out)
    assert list(told) == ["format", "folders"]
    assert told["format"] == "lotwise/plans-1"
    assert told["folders"] == [
        {"folder": name, "plan": plan, "error": None} for name, plan in zip(names, documents, strict=True)
    ]
    assert (code, err) == (1, "")


def test_a_faulty_folder_stops_no_other(run, folders):
    code, out, err = run("plan", "--each", "mole", "quay")
    assert code == 3
    assert (
        out
        == f"In mole:\n\nNo plan: there are faults in the files.\n\n\nIn quay:\n\n{run('plan', '--workspace', 'quay')[1]}"
    )
    assert err == f"In mole:\n{run('plan', '--workspace', 'mole')[2]}"

    code, out, err = run("plan", "--each", "mole", "quay", "--json")
    mole, quay = json.loads(out)["folders"]
    assert (code, err) == (3, "")
    assert mole == {
        "folder": "mole",
        "plan": None,
        "error": json.loads(run("plan", "--workspace", "mole", "--json")[1]),
    }
    assert quay["plan"]["totals"]["projects_made"] == 1


def test_a_folder_that_is_not_there_is_worse_than_faults(run, folders):
    code, out, _ = run("plan", "--each", "mole", "nowhere", "quay")
    assert code == 5
    assert "In nowhere:\n\nNo plan: nowhere: No such file or directory.\n" in out


def test_what_cannot_be_asked_of_one_folder_stops_no_other(run, folders):
    (folders / "quay" / "stash.yaml").write_text((folders / "quay" / "stash.yaml").read_text().replace("slate", "blue"))
    code, out, _ = run("plan", "--each", "quay", "pier", "--without", "slate", "--json")
    quay, pier = json.loads(out)["folders"]
    assert (code, quay["plan"], pier["error"]) == (2, None, None)
    assert "slate" in quay["error"]["message"]


def test_warnings_stand_under_the_folder_they_are_of(run, folders):
    (folders / "quay" / "stash.yml").write_text("")
    warned = run("plan", "--workspace", "quay")[2]
    assert "warning" in warned
    assert run("plan", "--each", "pier", "quay")[2] == f"In quay:\n{warned}"


def test_an_own_fault_in_one_folder_is_told_as_such(run, folders, monkeypatch):
    def broken(workspace, *_, **__):
        raise checked.OwnFaultError(f"slate is not whole in {workspace.folder}")

    monkeypatch.setattr(planning, "plan", broken)
    code, out, _ = run("plan", "--each", "quay", "--json")
    assert code == 70
    assert "slate is not whole in quay" in json.loads(out)["folders"][0]["error"]["bundle"]


def test_every_ending_but_that_of_an_interruption_has_its_rank():
    assert {*each.WORSE, Ending.INTERRUPTED} == set(Ending)


def test_the_first_interruption_asks_for_the_best_so_far_and_leaves_the_others_undone(run, folders, monkeypatch):
    asked = []

    def interrupted(workspace, projects, confidence, *, stop, **_):
        asked.append(workspace.folder)
        if len(asked) == 1:
            os.kill(os.getpid(), 2)  # Ctrl-C
            assert stop.wait(60)
        assert stop.is_set()
        raise plan.UndecidedError

    monkeypatch.setattr(planning, "plan", interrupted)
    monkeypatch.setattr(workers, "cores", lambda: 1)
    code, out, _ = run("plan", "--each", "quay", "pier", "--json")
    assert (code, asked) == (4, [Path("quay"), Path("pier")])
    assert {row["error"]["message"] for row in json.loads(out)["folders"]} == {"nothing was found in the time allowed"}


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--each"], "--each needs folders"),
        (["--each", "quay", "--workspace", "pier"], "--each names the folders itself"),
        (["--each", "quay", "--chart", "hat.svg"], "--chart is for one folder"),
        (["--each", "quay", "--options", "3"], "--options is for one folder"),
        (["--each", "quay", "--lean", "warm"], "--lean is for one folder"),
        (["--each", "quay", "--within", "close"], None),
        (["--each", "quay", "--confidence", "sure"], None),
        (["hat", "--workspace", "quay", "--cluster", "tcp://127.0.0.1:1"], "one plan is not shared out"),
    ],
)
def test_what_is_asked_wrongly_is_told_once(run, folders, arguments, message):
    code, out, err = run("plan", *arguments)
    assert (code, out) == (2, "")
    assert err.count("lotwise: ") == 1
    assert message is None or err.startswith(f"lotwise: {message}\nhint: ")
