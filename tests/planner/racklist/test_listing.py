"""The rack list on the demo's stash and on drawn cases: every claim is tried on a copy of the files."""

import json
import shutil
from pathlib import Path

import pytest

import planner
from planner.answers import ENOUGH
from planner.asking import ask
from planner.cli import main
from planner.commands.shared import Ending
from planner.covering import cover
from planner.racklist import listing
from planner.racklist.finds import find_lot, find_text
from planner.racklist.listing import rack_list
from planner.workspace import load_workspace
from tests.oracle.racklist import NAME, Tally, try_case, verdicts_with

DEMO = Path(planner.__file__).parent / "demo"


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("rack") / "demo"
    shutil.copytree(DEMO, folder)
    return folder


@pytest.fixture(scope="module")
def asked(demo):
    workspace = load_workspace(demo)
    return workspace, ask(workspace, (), every_size=False), workspace.projects.confidence


@pytest.fixture(scope="module")
def found(asked):
    return rack_list(*asked)


def test_every_project_that_is_short_is_on_the_list_or_named_as_out_of_reach(asked, found):
    workspace, projects, sure = asked
    rows = cover(workspace, projects, sure)
    enough = {row.project for row in rows if row.verdict == ENOUGH}
    short = {project.name for project in projects} - enough
    listed = {row.project for find in found.finds for row in find.unlocks}
    assert listed | set(found.no_find) | set(found.left_off) == short
    assert found.short == len(short)


def test_two_finds_are_enough_for_four_of_the_five(found):
    assert sorted(len(find.unlocks) for find in found.finds) == [1, 3]
    assert found.no_find == ("pilot-hat",)  # its main bleeds on all that would stand out against it


def test_each_project_named_is_enough_with_the_find_in_a_copy_of_the_files(demo, asked, found):
    for find in found.finds:
        text = find_text(find_lot(find.kind, find.metres, NAME))
        assert set(verdicts_with(demo, text, asked[1], asked[2], find.unlocks).values()) == {ENOUGH}


def test_each_project_is_enough_from_the_metres_told_and_not_with_one_less(demo, asked, found):
    for find in found.finds:
        for row in find.unlocks:
            for less, enough in ((0, True), (1, False)):
                text = find_text(find_lot(find.kind, row.metres - less, NAME))
                (verdict,) = verdicts_with(demo, text, asked[1], asked[2], [row]).values()
                assert (verdict == ENOUGH) == enough


def test_fewer_finds_leave_off_what_they_do_not_unlock(asked):
    found = rack_list(*asked, most=1)
    assert [len(find.unlocks) for find in found.finds] == [3]
    listed = {row.project for row in found.finds[0].unlocks}
    assert len(found.left_off) == 1
    assert not listed & {*found.left_off, *found.no_find}


def test_nothing_is_looked_for_where_nothing_is_short(asked):
    workspace, projects, sure = asked
    found = rack_list(workspace, [project for project in projects if project.name == "lantern-cowl:one"], sure)
    assert (found.short, found.finds, found.no_find) == (0, (), ())


@pytest.mark.parametrize("seed", [3, 1])
def test_claims_on_a_drawn_case_hold_and_no_better_list_is_drawn(seed):
    """`python -m tests.oracle.racklist` tries many."""
    tally = Tally()
    try_case(seed, tally)
    assert tally.untrue == []
    assert tally.unlocked >= 0.95 * tally.best


@pytest.mark.parametrize("more", [[], ["--json"], ["--units", "imperial"]])
def test_the_command_prints_the_list_and_ends_with_1_while_something_is_short(demo, capsys, more):
    with pytest.raises(SystemExit) as ended:
        main(["shortfall", "--list", "--workspace", str(demo), *more])
    assert ended.value.code == Ending.NOT_ALL
    printed = capsys.readouterr().out
    if more == ["--json"]:
        document = json.loads(printed)
        assert document["format"] == "lotwise/racklist-1"
        assert {row["project"] for find in document["finds"] for row in find["unlocks"]} >= {"storm-mitts:adult"}
    else:
        assert printed.startswith("2 finds would make 4 projects enough, of 5")
        assert max(map(len, printed.splitlines())) <= 80
        assert len(printed.splitlines()) <= 60


def test_the_same_files_give_the_same_list(asked, found):
    assert rack_list(*asked) == found


def test_tries_are_counted_so_that_a_list_cut_short_is_the_same_on_any_machine(asked, monkeypatch):
    monkeypatch.setattr(listing, "TRIES", 5)
    cut = rack_list(*asked)
    assert not cut.whole
    assert cut.finds
    assert rack_list(*asked) == cut
