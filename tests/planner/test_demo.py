"""The demo writes its files whole or not at all, and never over anything."""

import os

import pytest

from planner.asking import AskError
from planner.commands.demo import write_demo
from planner.workspace import load_workspace


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def test_the_demo_is_a_workspace_without_faults(tmp_path):
    folder = tmp_path / "harbour-demo"
    written = write_demo(folder)
    assert written == sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())
    workspace = load_workspace(folder)
    assert len(workspace.stash.lots) >= 20
    assert len(workspace.patterns) >= 10


def test_an_empty_folder_may_be_there_already(tmp_path):
    folder = tmp_path / "harbour-demo"
    folder.mkdir()
    assert write_demo(folder)
    assert names_in(tmp_path) == ["harbour-demo"]


@pytest.mark.parametrize("kind", ["folder", "file", "link"])
def test_nothing_that_is_there_is_written_over(tmp_path, kind):
    folder = tmp_path / "harbour-demo"
    if kind == "folder":
        folder.mkdir()
        (folder / "mine.txt").write_text("mine")
    elif kind == "file":
        folder.write_text("mine")
    else:
        folder.symlink_to(tmp_path / "nowhere")
    before = names_in(tmp_path)
    with pytest.raises(AskError):
        write_demo(folder)
    assert names_in(tmp_path) == before


def test_a_write_that_fails_leaves_nothing_behind(tmp_path, monkeypatch):
    synced = []

    def full(number):
        if len(synced) == 3:
            raise OSError(28, "No space left on device")
        synced.append(number)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_demo(tmp_path / "harbour-demo")
    assert names_in(tmp_path) == []


def test_the_folder_one_is_in_is_not_made_anew(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, err = run("demo", ".")
    assert (code, out) == (2, "")
    assert err == ("lotwise: the folder you are in cannot be made anew\nhint: name a new folder: lotwise demo FOLDER\n")
    assert list(tmp_path.iterdir()) == []
