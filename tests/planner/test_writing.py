"""A new file appears whole or not at all; nothing that exists is ever replaced, and nothing is left behind."""

import errno
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from planner.noting import noting, rehearsing, told_changes
from planner.writing import (
    ChangedError,
    UnconfirmedError,
    create_file,
    create_folder,
    create_in,
    replace_file,
    unwritten,
)

TEXT = b"lots:\n"


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def full(*_):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def interrupted(*_):
    raise KeyboardInterrupt


def no_links(*_):
    raise PermissionError(errno.EPERM, "no links here")


@pytest.fixture
def steps(monkeypatch):
    """What is asked of the disk, in order: that it keeps a file or a folder's names, and that a name is given."""
    asked = []
    sync, calls = os.fsync, {name: getattr(os, name) for name in ("link", "rename", "replace")}

    def kept(opened):
        status = os.fstat(opened)
        name = Path(f"/proc/self/fd/{opened}").readlink().name
        asked.append(f"keep names in {name}" if stat.S_ISDIR(status.st_mode) else f"keep {status.st_size} bytes")
        sync(opened)

    def named(call):
        def give(source, target, **options):
            call(source, target, **options)
            asked.append(f"name {Path(target).name}")

        return give

    monkeypatch.setattr(os, "fsync", kept)
    for name, call in calls.items():
        monkeypatch.setattr(os, name, named(call))
    return asked


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
    monkeypatch.setattr(os, "link", interrupted)
    with pytest.raises(KeyboardInterrupt):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_a_file_system_without_links_still_takes_a_new_file_and_only_that(tmp_path, monkeypatch):
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


def test_a_file_of_ours_is_replaced_whole_and_keeps_who_may_read_it(tmp_path):
    ledger = tmp_path / "ledger.yaml"
    ledger.write_bytes(b"old")
    ledger.chmod(0o640)
    replace_file(ledger, b"old", b"old and new")
    assert ledger.read_bytes() == b"old and new"
    assert ledger.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["ledger.yaml"]


def test_what_someone_else_wrote_meanwhile_is_not_replaced(tmp_path):
    ledger = tmp_path / "ledger.yaml"
    ledger.write_bytes(b"theirs")
    with pytest.raises(ChangedError, match="it was changed by someone else in the meantime; ask again"):
        replace_file(ledger, b"", b"ours")
    assert ledger.read_bytes() == b"theirs"
    assert names(tmp_path) == ["ledger.yaml"]


def test_a_file_that_is_protected_from_being_written_is_not_replaced(tmp_path, monkeypatch):
    ledger = tmp_path / "ledger.yaml"
    ledger.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # root may write everything
    with pytest.raises(PermissionError, match="it is protected from being written") as told:
        replace_file(ledger, b"old", b"new")
    assert (told.value.filename, told.value.strerror) == (str(ledger), "it is protected from being written")
    assert ledger.read_bytes() == b"old"


def test_that_the_disk_did_not_confirm_is_told_beside_what_is_written(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.writing._sync_folder", full)
    with pytest.raises(UnconfirmedError, match="it is written, but the disk did not confirm it"):
        replace_file(tmp_path / "ledger.yaml", b"", b"new")
    assert (tmp_path / "ledger.yaml").read_bytes() == b"new"


@pytest.mark.parametrize("code", [errno.EINVAL, errno.ENOTSUP])
def test_a_file_system_whose_folders_need_no_confirming_is_no_fault(tmp_path, monkeypatch, code):
    real = os.fsync

    def refuses_folders(opened):
        if stat.S_ISDIR(os.fstat(opened).st_mode):
            raise OSError(code, os.strerror(code))
        real(opened)

    monkeypatch.setattr(os, "fsync", refuses_folders)
    replace_file(tmp_path / "ledger.yaml", b"", b"new")
    create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == ["ledger.yaml", "tide.yaml"]


def test_where_folders_cannot_be_opened_they_are_not(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.writing._IS_POSIX", False)
    create_file(tmp_path / "tide.yaml", TEXT)
    create_folder(tmp_path / "new", {"a": TEXT})
    rename = os.rename

    def rename_to_what_is_not_there(source, target):  # as such systems do
        assert not Path(target).exists()
        rename(source, target)

    monkeypatch.setattr(os, "rename", rename_to_what_is_not_there)
    (tmp_path / "empty").mkdir()
    create_folder(tmp_path / "empty", {"a": TEXT})
    assert (tmp_path / "empty" / "a").read_bytes() == (tmp_path / "new" / "a").read_bytes() == TEXT


@pytest.mark.parametrize(("stop", "told"), [(full, UnconfirmedError), (interrupted, KeyboardInterrupt)])
def test_a_new_file_that_can_neither_be_confirmed_nor_removed_is_not_said_to_be_missing(
    tmp_path, monkeypatch, stop, told
):
    monkeypatch.setattr("planner.writing._sync_folder", stop)
    monkeypatch.setattr(os, "unlink", full)
    with pytest.raises(told):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert (tmp_path / "tide.yaml").read_bytes() == TEXT


def test_a_file_is_on_the_disk_before_it_has_its_name_and_the_name_before_that_is_told(tmp_path, steps):
    new = ["keep 6 bytes", "name tide.yaml"]
    create_file(tmp_path / "tide.yaml", TEXT)
    assert steps == [*new, f"keep names in {tmp_path.name}"]
    steps.clear()
    replace_file(tmp_path / "ledger.yaml", b"", b"12345")
    assert steps == ["keep 5 bytes", "name ledger.yaml", f"keep names in {tmp_path.name}"]
    steps.clear()
    create_in(tmp_path / "stash", "tide.yaml", TEXT)
    assert steps == [f"keep names in {tmp_path.name}", *new, "keep names in stash"]
    steps.clear()
    create_in(tmp_path / "stash", "ebb.yaml", b"1")
    assert steps == ["keep 1 bytes", "name ebb.yaml", "keep names in stash"]


def test_where_no_links_are_a_file_is_on_the_disk_before_that_is_told(tmp_path, steps, monkeypatch):
    monkeypatch.setattr(os, "link", no_links)
    create_file(tmp_path / "tide.yaml", TEXT)
    assert steps == ["keep 6 bytes", "keep 6 bytes", f"keep names in {tmp_path.name}"]


def test_a_folder_is_on_the_disk_with_all_in_it_before_it_has_its_name(tmp_path, steps):
    create_folder(tmp_path / "demo", {"in/b": b"12", "a": b"1"})
    hidden = {step for step in steps[2:4] if step.startswith("keep names in .demo.")}
    assert steps[:2] == ["keep 2 bytes", "keep 1 bytes"]
    assert len(hidden) == 1
    assert {*steps[2:4]} == {*hidden, "keep names in in"}
    assert steps[4:] == ["name demo", f"keep names in {tmp_path.name}"]


def test_a_disk_that_fails_to_confirm_a_new_file_leaves_nothing_behind(tmp_path, monkeypatch):
    real = os.fsync

    def fails_for_folders(opened):
        if stat.S_ISDIR(os.fstat(opened).st_mode):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(opened)

    monkeypatch.setattr(os, "fsync", fails_for_folders)
    with pytest.raises(OSError, match="Input/output error"):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_errors_name_the_file_and_not_its_hidden_half(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "link", full)
    with pytest.raises(OSError, match="No space") as told:
        create_file(tmp_path / "tide.yaml", TEXT)
    assert (told.value.filename, told.value.filename2) == (str(tmp_path / "tide.yaml"), None)


def test_without_links_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch):
    synced = []

    def full_the_second_time(opened):
        synced.append(opened)
        if len(synced) == 2:
            full()

    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(os, "fsync", full_the_second_time)
    with pytest.raises(OSError, match="No space"):
        create_file(tmp_path / "tide.yaml", TEXT)
    assert names(tmp_path) == []


def test_a_folder_is_made_for_a_file_and_goes_with_it(tmp_path, monkeypatch):
    assert create_in(tmp_path / "plans", "one.json", TEXT) == tmp_path.resolve() / "plans" / "one.json"
    monkeypatch.setattr(os, "link", full)
    with pytest.raises(OSError, match="No space"):
        create_in(tmp_path / "stash", "tide.yaml", TEXT)
    with pytest.raises(OSError, match="No space"):
        create_in(tmp_path / "plans", "two.json", TEXT)
    assert names(tmp_path) == ["plans"]


def test_a_new_folder_is_there_whole_or_not_at_all(tmp_path, monkeypatch):
    create_folder(tmp_path / "demo", {"a": b"1", "in/b": b"2"})
    assert names(tmp_path / "demo") == ["a", "in"]
    assert (tmp_path / "demo" / "in" / "b").read_bytes() == b"2"
    monkeypatch.setattr(os, "rename", full)
    with pytest.raises(OSError, match="No space"):
        create_folder(tmp_path / "other", {"a": b"1"})
    assert names(tmp_path) == ["demo"]


def test_a_folder_that_holds_anything_is_not_taken_for_a_new_one(tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "mine").write_bytes(b"mine")
    with pytest.raises(OSError, match="not empty"):
        create_folder(tmp_path / "demo", {"a": b"1"})
    assert names(tmp_path / "demo") == ["mine"]
    assert names(tmp_path) == ["demo"]


def test_an_empty_folder_is_there_still_where_a_new_one_could_not_take_its_place(tmp_path, monkeypatch):
    (tmp_path / "demo").mkdir()
    monkeypatch.setattr(os, "rename", full)
    with pytest.raises(OSError, match="No space"):
        create_folder(tmp_path / "demo", {"a": b"1"})
    assert names(tmp_path) == ["demo"]


def test_all_that_was_written_is_told(tmp_path):
    with noting():
        create_file(tmp_path / "a", b"1")
        create_folder(tmp_path / "new", {"b": b"2"})
        replace_file(tmp_path / "c", b"", b"3")
        assert told_changes() == f"{tmp_path}/a, {tmp_path}/new, {tmp_path}/c were written"


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (UnconfirmedError(Path("tide.html")), "tide.html: it is written, but the disk did not confirm it"),
        (ChangedError(Path("tide.html")), "No page was written: tide.html: it was changed by someone else in the meantime; ask again"),
        (OSError("too dark"), "No page was written: tide.html: too dark"),
    ],
)  # fmt: skip
def test_a_page_is_said_not_to_be_written_only_where_it_is_not(error, words):
    assert unwritten("page was written", "tide.html", error) == words


def test_a_rehearsal_keeps_what_would_be_written_and_writes_nothing(tmp_path):
    with rehearsing() as kept:
        assert create_file(tmp_path / "a", b"1") == tmp_path / "a"
        assert create_in(tmp_path / "plans", "b", b"2") == tmp_path / "plans" / "b"
        create_folder(tmp_path / "new", {"c": b"3"})
        replace_file(tmp_path / "d", b"4", b"45")
    assert kept.files == [
        (tmp_path / "a", b"1", b""),
        (tmp_path / "plans" / "b", b"2", b""),
        (tmp_path / "new" / "c", b"3", b""),
        (tmp_path / "d", b"45", b"4"),
    ]
    (tmp_path / "a").write_bytes(b"mine")
    with rehearsing(), pytest.raises(FileExistsError) as told:
        create_file(tmp_path / "a", b"1")
    assert (told.value.strerror, told.value.filename) == ("File exists", str(tmp_path / "a"))
    assert names(tmp_path) == ["a"]


def test_what_a_killed_run_left_is_discarded_by_the_next_that_writes_which_says_so(tmp_path, capsys):
    left = tmp_path / ".tide.yaml.999999999-1.part"
    left.write_bytes(b"half")
    folder = tmp_path / ".demo.999999999-1.part"
    folder.mkdir()
    (folder / "a").write_bytes(b"half")
    create_folder(tmp_path / "new", {"a": b"1"})
    assert names(tmp_path) == ["new"]
    assert capsys.readouterr().err == (
        f"lotwise: discarded {folder.name}, left half written by a run that was stopped\n"
        f"lotwise: discarded {left.name}, left half written by a run that was stopped\n"
    )


def mounted(folder, size):
    """A small file system of its own; a test that cannot have one is left out."""
    asked = ["mount", "-t", "tmpfs", "-o", f"size={size}", "none", str(folder)]
    if shutil.which("mount") is None or subprocess.run(asked, capture_output=True, check=False).returncode:
        pytest.skip("needs to mount a file system")


def test_on_a_disk_that_is_full_what_was_there_stays_and_nothing_lies_beside_it(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted(disk, "64k")
    try:
        old, new = b"o" * 10_000, b"o" * 10_000 + b"n" * 100_000
        create_file(disk / "ledger.yaml", old)
        with pytest.raises(OSError, match="No space left on device"):
            replace_file(disk / "ledger.yaml", old, new)
        with pytest.raises(OSError, match="No space left on device"):
            create_in(disk / "plans", "one.json", new)
        assert (disk / "ledger.yaml").read_bytes() == old
        assert names(disk) == ["ledger.yaml"]
    finally:
        subprocess.run(["umount", str(disk)], check=True)
