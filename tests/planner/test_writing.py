"""A new file appears whole or not at all; nothing that exists is ever replaced, and nothing is left behind."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from planner.writing import create_file

TEXT = b"lots:\n"


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def full(*_):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_new_file_holds_the_bytes_and_nothing_lies_beside_it(tmp_path):
    assert create_file(tmp_path / "tide.yaml", TEXT) == tmp_path.resolve() / "tide.yaml"
    assert (tmp_path / "tide.yaml").read_bytes() == TEXT
    assert names(tmp_path) == ["tide.yaml"]


def test_a_file_that_is_there_is_left_as_it_is(tmp_path):
    (tmp_path / "tide.yaml").write_bytes(b"mine")
    with pytest.raises(FileExistsError):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert (tmp_path / "tide.yaml").read_bytes() == b"mine"
    assert names(tmp_path) == ["tide.yaml"]


def test_a_link_that_leads_nowhere_is_not_followed(tmp_path):
    (tmp_path / "tide.yaml").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileExistsError):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == ["tide.yaml"]


def test_a_folder_that_is_a_link_is_written_where_it_leads(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "stash").symlink_to(tmp_path / "real")
    assert create_file(tmp_path / "stash" / "tide.yaml", TEXT) == tmp_path.resolve() / "real" / "tide.yaml"
    assert names(tmp_path / "real") == ["tide.yaml"]


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(FileNotFoundError):
        create_file(tmp_path / "nowhere" / "tide.yaml", TEXT)


@pytest.mark.parametrize("step", ["fsync", "link"])
def test_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch, step):
    monkeypatch.setattr(os, step, full)
    with pytest.raises(OSError, match="No space"):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_a_list_of_names_that_does_not_reach_the_disk_leaves_nothing_behind(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.writing._sync_folder", full)
    with pytest.raises(OSError, match="No space"):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_ctrl_c_leaves_nothing_behind(tmp_path, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "link", interrupted)
    with pytest.raises(KeyboardInterrupt):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_a_file_system_without_links_still_takes_a_new_file_and_only_that(tmp_path, monkeypatch):
    def no_links(*_):
        raise PermissionError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", no_links)
    create_file(tmp_path / "tide.yaml", TEXT)
    assert (tmp_path / "tide.yaml").read_bytes() == TEXT
    with pytest.raises(FileExistsError):
        create_file(tmp_path / "tide.yaml", b"other")
    assert (tmp_path / "tide.yaml").read_bytes() == TEXT
    assert names(tmp_path) == ["tide.yaml"]


def test_what_a_stopped_run_left_is_removed_and_what_a_running_one_writes_is_not(tmp_path):
    ended = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True, check=True)
    began = Path(f"/proc/{os.getppid()}/stat").read_text().rpartition(")")[2].split()[19]
    gone = tmp_path / f".tide.yaml.{int(ended.stdout)}-0.part"
    running = tmp_path / f".tide.yaml.{os.getppid()}-{began}.part"
    number_used_again = tmp_path / f".tide.yaml.{os.getppid()}-{int(began) + 1}.part"
    not_ours = tmp_path / f".other.yaml.{int(ended.stdout)}.part"
    for path in (gone, running, number_used_again, not_ours):
        path.write_bytes(b"half")
    create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == sorted([running.name, not_ours.name, "tide.yaml"])


def test_of_many_that_write_one_name_at_once_one_does(tmp_path):
    code = "import sys; from pathlib import Path; from planner.writing import create_file; create_file(Path(sys.argv[1]), sys.argv[2].encode() * 9)"
    root = Path(__file__).resolve().parents[2]
    runs = [
        subprocess.Popen([sys.executable, "-c", code, str(tmp_path / "a"), str(n)], cwd=root, stderr=subprocess.PIPE)
        for n in range(4)
    ]
    told = [run.communicate()[1] for run in runs]
    assert sorted(run.returncode for run in runs) == [0, 1, 1, 1]
    winner = next(n for n, run in enumerate(runs) if run.returncode == 0)
    assert (tmp_path / "a").read_bytes() == str(winner).encode() * 9
    assert sum(b"FileExistsError" in text for text in told) == 3
    assert names(tmp_path) == ["a"]
