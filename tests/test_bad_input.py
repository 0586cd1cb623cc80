"""Bad input too large, too odd or too fleeting to lie in tests/broken/: made here, and answered in plain words."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from planner.faultprint import MOST_COLUMNS, show_faults, width
from stash.read import read_stash
from tests.hostile.trying import Said, run

LOT = "lots:\n  slate: {fibre: wool, colour: navy, count: 420 m/100g, skeins: {slate-1: 118 g}}\n"
COWL = "yarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 180 m}}\n"


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "stash").mkdir()
    (tmp_path / "patterns").mkdir()
    (tmp_path / "stash" / "a.yaml").write_text(LOT)
    (tmp_path / "patterns" / "cowl.yaml").write_text(COWL)
    return tmp_path


def told(text: str | bytes) -> str:
    data = text if isinstance(text, bytes) else text.encode()
    return show_faults(sorted(read_stash([("stash.yaml", data)]).faults))


def check(folder: Path) -> Said:
    said = run("check", "--workspace", folder)
    assert said.faults() == []
    return said


def test_of_a_line_of_4_mb_what_is_wrong_is_shown_with_little_round_it():
    shown = told(LOT.replace("118 g", "118 gramms") + "note: " + "x" * 4_000_000 + "\n")
    assert "this text has 4,000,000 characters; at most 200 are kept" in shown
    assert "'gramms' is not a unit known here" in shown
    assert max(map(width, shown.splitlines())) <= MOST_COLUMNS + 8
    one_line = (
        LOT.replace("\n", "").replace("lots:", "{lots: {").replace("118 g}}", "118 gramms}}")
        + ","
        + " " * 4_000_000
        + "}}"
    )
    assert "'gramms' is not a unit known here\n" in told(one_line)
    assert max(map(width, told(one_line).splitlines())) <= MOST_COLUMNS + 8


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (LOT.replace("slate:", "s" * 100_000 + ":"), "this name has 100,000 characters; at most 200 are read"),
        (LOT.replace("118 g", "9" * 5000 + " g"), "a number of 5000 digits is too long"),
        (LOT.replace("118 g", "9" * 5000), "a number of 5000 digits is too long"),
        (LOT.replace("118 g", "1." + "0" * 5000 + " g"), "a number of 5001 digits is too long"),
        (LOT.replace("navy", '"#' + "a" * 5000 + '"'), "is not a colour known here"),
        (LOT.replace("wool", "wool, " * 5000), "error: "),
        (LOT.replace("420 m/100g", "4" * 5000 + " m/100g"), "a number of 5000 digits is too long"),
        (LOT + "note: " + "n" * 100_000 + "\n", "this text has 100,000 characters; at most 200 are kept"),
        ("lots: [" + "[" * 400 + "\n", "this is nested more than 8 deep"),
        ("lots:\n" + "- \n" * 200_001, "this file holds more than 200,000 entries"),
        ("k" * 1_000_000 + "\n", "a stash file begins with keys at the left edge; this is something else"),
        ("k" * 1_000_000 + ":\n", "this name has 1,000,000 characters; at most 200 are read"),
    ],
)  # fmt: skip
def test_what_is_far_too_long_is_refused_in_few_words(text, said):
    shown = told(text)
    assert said in shown
    assert len(shown) < 20 * 1000
    assert max(map(width, shown.splitlines())) <= MOST_COLUMNS + 60


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be", "utf-16", "utf-32-le", "utf-32-be", "utf-32"])
def test_a_file_in_another_width_is_told_so(encoding):
    shown = told(LOT.encode(encoding))
    assert "this file is saved as UTF-16" in shown or "not a plain text file" in shown


def test_20_faults_are_shown_in_one_run_and_the_others_counted():
    skeins = "".join(f"      s{number}: {number} gramms\n" for number in range(1, 31))
    shown = told(f"lots:\n  slate:\n    fibre: wool\n    colour: navy\n    count: dk\n    skeins:\n{skeins}")
    assert shown.count("is not a unit known here") == 20
    assert shown.endswith("and 10 more\n")


def test_a_folder_a_pipe_a_socket_and_a_device_by_the_name_of_a_file_are_told_without_waiting(folder):
    stash = folder / "stash"
    (stash / "folder.yaml").mkdir()
    os.mkfifo(stash / "pipe.yaml")
    (stash / "device.yaml").symlink_to("/dev/zero")
    with socket.socket(socket.AF_UNIX) as one:
        before = Path.cwd()
        os.chdir(stash)  # the name of a socket is short
        try:
            one.bind("socket.yaml")
        finally:
            os.chdir(before)
        said = check(folder)
    assert said.code == 3
    for name in ("folder", "pipe", "device", "socket"):
        assert f"stash/{name}.yaml:1:1: error: this is not a plain file\n" in said.out


def test_links_that_lead_round_in_a_circle_are_told_as_a_file_that_cannot_be_read(folder):
    (folder / "stash" / "one.yaml").symlink_to("two.yaml")
    (folder / "stash" / "two.yaml").symlink_to("one.yaml")
    said = check(folder)
    assert said.code == 5
    assert said.err.endswith("hint: nothing was changed\n")
    assert "stash/one.yaml" in said.err


def test_a_name_that_is_not_utf_8_is_shown_with_its_odd_byte(folder):
    (folder / "stash" / os.fsdecode(b"caf\xe9.yaml")).write_text("lots: [")
    said = check(folder)
    assert said.code == 3
    assert said.out.startswith("stash/caf\\udce9.yaml:1:")


def test_a_file_that_is_gone_when_it_is_to_be_read_is_told(folder, monkeypatch):
    read = Path.read_bytes

    def gone(path):
        path.unlink()
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", gone)
    said = check(folder)
    assert said.code == 5
    assert said.err == f"lotwise: {folder}/stash/a.yaml: No such file or directory\nhint: nothing was changed\n"


def test_a_file_that_grew_beyond_5_mb_or_shrank_before_it_was_read_is_answered_as_it_is_then(folder, monkeypatch):
    monkeypatch.setattr(Path, "read_bytes", lambda path: b"#" * 5_000_001 if path.name == "a.yaml" else COWL.encode())
    assert "stash/a.yaml:1:1: error: this file is 5.0 MB; a file here may hold at most 5 MB\n" in check(folder).out
    monkeypatch.setattr(Path, "read_bytes", lambda path: b"" if path.name == "a.yaml" else COWL.encode())
    assert "stash/a.yaml:1:1: error: this file is empty" in check(folder).out


@pytest.mark.parametrize("twin", ["SLATE", "ｓｌａｔｅ", "ſlate", "slate\u200b"])
def test_a_lot_that_looks_like_one_of_another_file_is_refused(folder, twin):
    (folder / "stash" / "b.yaml").write_text(LOT.replace("slate:", f"{twin}:").replace("slate-1", "other-1"))
    said = check(folder)
    assert said.code == 3
    assert "stash/b.yaml:2:3: error: " in said.out


def test_a_file_that_may_not_be_read_is_told(folder, monkeypatch):
    def refused(path):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "read_bytes", refused)
    said = check(folder)
    assert said.code == 5
    assert said.err.endswith("stash/a.yaml: Permission denied\nhint: nothing was changed\n")
