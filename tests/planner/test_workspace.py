"""A folder read as a workspace, or refused with every fault."""

from __future__ import annotations

import os
from fractions import Fraction

import pytest

from planner.workspace import load_workspace
from stash.faults import FaultyFilesError

LOT = "lots: {{{0}: {{fibre: wool, colour: navy, count: dk, skeins: {{{0}-1: 50 g}}}}}}\n"
COWL = "yarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 180 m}}\n"


@pytest.fixture
def folder(tmp_path):
    write(tmp_path, {"stash.yaml": LOT.format("slate"), "patterns/cowl.yaml": COWL})
    return tmp_path


def write(folder, files) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def messages(folder) -> list[str]:
    with pytest.raises(FaultyFilesError) as raised:
        load_workspace(folder)
    return [f"{fault.place.file}:{fault.place.line} {fault.message}" for fault in raised.value.faults]


def test_a_small_workspace_is_read(folder) -> None:
    workspace = load_workspace(folder)
    assert (list(workspace.stash.lots), list(workspace.patterns)) == (["slate"], ["cowl"])
    assert (folder, ()) == (workspace.folder, workspace.warnings)


def test_a_stash_without_patterns_and_projects_is_whole(folder) -> None:
    (folder / "patterns" / "cowl.yaml").unlink()
    workspace = load_workspace(folder)
    assert (list(workspace.stash.lots), workspace.patterns, workspace.warnings) == (["slate"], {}, ())


def test_without_projects_yaml_there_is_no_list(folder) -> None:
    assert (None, Fraction(95, 100)) == (
        load_workspace(folder).projects.projects,
        load_workspace(folder).projects.confidence,
    )


def test_stash_yaml_and_the_stash_folder_are_read_together(folder) -> None:
    write(folder, {"stash/b.yaml": LOT.format("ochre"), "stash/a.yaml": LOT.format("teal")})
    assert list(load_workspace(folder).stash.lots) == ["ochre", "slate", "teal"]


def test_hidden_files_and_other_files_are_left_alone(folder) -> None:
    write(folder, {"stash/.half-written.yaml": "lots: [", "stash/notes.txt": "{{{", "patterns/plan.pdf": "{{{"})
    assert load_workspace(folder).warnings == ()


def test_a_file_beside_the_one_it_is_named_like_is_told_not_to_be_read(folder) -> None:
    write(folder, {"stash.yml": LOT.format("ochre"), "Stash.yaml.txt": LOT.format("teal")})
    found = load_workspace(folder)
    assert [warning.place.file for warning in found.warnings] == ["Stash.yaml.txt", "stash.yml"]
    assert list(found.stash.lots) == ["slate"]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Stash.yaml", "stash.yaml"),
        ("STASH.YML", "stash.yaml"),
        ("stash.yaml.txt", "stash.yaml"),
        ("Stash/a.yaml", "stash"),
        ("PATTERNS/hat.yaml", "patterns"),
        ("Pattern/hat.yaml", "patterns"),
        ("Projects.yaml", "projects.yaml"),
        ("project.yml.txt", "projects.yaml"),
    ],
)
def test_what_is_called_nearly_as_it_should_be_is_told_its_name(tmp_path, name, meant) -> None:
    write(tmp_path, {"chest/a.yaml": LOT.format("slate"), name: "{}"})
    told = [fault for fault in messages(tmp_path) if "under this name" in fault]
    shown = name.partition("/")[0]
    assert told == [f"{shown}:1 this is not read under this name: it should be {meant}"]


def test_faults_of_all_files_come_in_one_run_sorted_by_place_the_warnings_last(folder) -> None:
    write(
        folder,
        {
            "stash/b.yaml": "lots: {ochre: {}}",
            "patterns/hat.yaml": "yarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 2 balls of 50 m}}\n",
            "patterns/sock.yaml": COWL.replace("dk", "thick"),
            "projects.yaml": "projects: [{make: cowel}]",
        },
    )
    assert messages(folder) == [
        "patterns/sock.yaml:1 'thick' is not a weight class",
        "projects.yaml:1 there is no pattern 'cowel'",
        "stash/b.yaml:1 a lot needs 'colour': its colour",
        "stash/b.yaml:1 a lot needs 'count': how thick it is",
        "stash/b.yaml:1 a lot needs 'fibre': what it is made of",
        "stash/b.yaml:1 a lot needs 'skeins': its skeins, each with a mass, a length or both",
        "patterns/hat.yaml:3 so few balls say little: the last one may be hardly begun",
    ]


def test_a_faulty_lot_or_pattern_is_not_told_missing_as_well(folder) -> None:
    write(
        folder,
        {
            "stash/b.yaml": "lots: {ochre: {fibre: wool, colour: navy, count: 5, skeins: {}}}",
            "patterns/hat.yaml": COWL.replace("180 m", "180"),
            "projects.yaml": "projects: [{make: hat, size: one, needs: {main: {only: ochre}}}]",
        },
    )
    assert [one.split(" ")[0] for one in messages(folder)] == [
        "patterns/hat.yaml:3",
        "stash/b.yaml:1",
        "stash/b.yaml:1",
    ]


def test_only_plain_files_are_read(folder) -> None:
    os.mkfifo(folder / "stash-pipe")
    (folder / "projects.yaml").mkdir()
    (folder / "patterns" / "hat.yaml").symlink_to(folder / "stash-pipe")
    assert messages(folder) == [
        "patterns/hat.yaml:1 this is not a plain file",
        "projects.yaml:1 this is not a plain file",
    ]


def test_a_file_of_6_mb_is_refused_without_being_read(folder) -> None:
    with (folder / "projects.yaml").open("wb") as file:
        file.truncate(6_000_000)
    assert messages(folder) == ["projects.yaml:1 this file is 6.0 MB; a file here may hold at most 5 MB"]


def test_pattern_names_that_differ_only_in_capitals_are_refused(folder) -> None:
    write(folder, {"patterns/Cowl.yaml": COWL})
    if len(list((folder / "patterns").iterdir())) == 1:
        pytest.skip("this disk takes both names for one file")
    assert messages(folder) == [
        "patterns/cowl.yaml:1 this pattern's name differs from that of patterns/Cowl.yaml only in capitals"
    ]


def test_a_folder_that_is_not_there_cannot_be_read(tmp_path) -> None:
    with pytest.raises(FileNotFoundError):
        load_workspace(tmp_path / "nowhere")


def test_a_link_to_nothing_cannot_be_read(folder) -> None:
    (folder / "stash").mkdir()
    (folder / "stash" / "gone.yaml").symlink_to(folder / "nowhere")
    with pytest.raises(FileNotFoundError):
        load_workspace(folder)


def test_a_pattern_that_is_no_plain_file_is_not_told_missing_as_well(folder) -> None:
    (folder / "patterns" / "hat.yaml").mkdir()
    write(folder, {"projects.yaml": "projects: [{make: hat}, {make: cowl}]"})
    assert messages(folder) == ["patterns/hat.yaml:1 this is not a plain file"]


def test_lots_of_a_stash_file_that_is_too_big_are_not_told_missing_as_well(folder) -> None:
    write(folder, {"projects.yaml": "projects: [{make: cowl, needs: {main: {only: [ochre]}}}]"})
    (folder / "stash").mkdir()
    with (folder / "stash" / "big.yaml").open("wb") as file:
        file.truncate(6_000_000)
    assert messages(folder) == ["stash/big.yaml:1 this file is 6.0 MB; a file here may hold at most 5 MB"]


def test_a_stash_folder_that_links_to_nothing_cannot_be_read(folder) -> None:
    (folder / "stash").symlink_to(folder / "nowhere")
    with pytest.raises(FileNotFoundError):
        load_workspace(folder)


def test_a_file_is_no_workspace(folder) -> None:
    with pytest.raises(NotADirectoryError):
        load_workspace(folder / "stash.yaml")


def test_beyond_40_names_that_stand_nowhere_the_nearest_is_not_looked_for(folder) -> None:
    """To compare each of thousands with thousands of others would take half a minute."""
    lots = "".join(
        f"  l{number}: {{donor: crw, fibre: wool, colour: navy, count: dk, skeins: {{s{number}: 50 g}}}}\n"
        for number in range(41)
    )
    write(folder, {"stash.yaml": f"donors: {{crew: {{}}, vest: {{}}}}\nlots:\n{lots}"})
    with pytest.raises(FaultyFilesError) as raised:
        load_workspace(folder)
    hints = [fault.hint for fault in raised.value.faults]
    assert hints == ["did you mean 'crew'?"] * 40 + ["the donors are: crew, vest"]


def test_lots_under_a_key_that_is_not_known_are_not_told_missing_as_well(folder) -> None:
    write(
        folder,
        {
            "stash.yaml": LOT.format("slate").replace("lots", "threads"),
            "projects.yaml": "projects: [{make: cowl, needs: {main: {only: slate}}}]",
        },
    )
    assert messages(folder) == ["stash.yaml:1 'threads' is not a key of a stash file"]
