"""One lotwise at a time changes a ledger, wherever it lies; who cannot is told so, and nothing is changed."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from bookable import write_bookable

from planner.ledger.booking import book, read_books
from planner.locking import LOCK, LockedError, locked
from planner.noting import rehearsing
from planner.workspace import load_workspace

ROOT = Path(__file__).parents[2]
HOLD = (
    "import sys; from pathlib import Path; from planner.locking import locked\n"
    "with locked(Path(sys.argv[1])):\n    print('held', flush=True)\n    sys.stdin.read()"
)


@pytest.fixture
def hold():
    """Hold the lock of a folder in another process, until the test ends or it is let go."""
    running = []

    def held(folder):
        child = subprocess.Popen(
            [sys.executable, "-c", HOLD, str(folder)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        running.append(child)
        assert child.stdout.readline() == "held\n"
        return child

    yield held
    for child in running:
        child.kill()
        child.wait()
        child.stdin.close()
        child.stdout.close()


def enter(folder, patience_s):
    with locked(folder, patience_s):
        return True


def test_while_another_writes_it_says_that_it_waits_and_then_that_it_gave_up(tmp_path, hold, capsys):
    hold(tmp_path)
    with pytest.raises(LockedError, match="another lotwise is still writing here; ask again when it is done"):
        enter(tmp_path, 0.1)
    assert capsys.readouterr().err == "lotwise: waiting for another lotwise that is writing here\n"


def test_it_goes_on_when_the_other_is_done(tmp_path, hold, capsys):
    other = hold(tmp_path)
    timer = threading.Timer(0.3, other.stdin.close)
    timer.start()
    assert enter(tmp_path, 60)
    timer.join()
    assert "waiting" in capsys.readouterr().err


def test_a_process_that_is_killed_holds_nothing(tmp_path, hold, capsys):
    other = hold(tmp_path)
    other.kill()
    other.wait()
    assert enter(tmp_path, 5)


def test_who_waits_too_long_ends_with_5_and_has_changed_nothing(tmp_path, hold, run, monkeypatch):
    write_bookable(tmp_path)
    hold(tmp_path)
    monkeypatch.setattr("planner.ledger.booking.locked", lambda folder: locked(folder, 0.1))
    code, out, err = run("book", "one", "--workspace", tmp_path)
    assert (code, out) == (5, "")
    assert err.endswith(
        f"{tmp_path}: another lotwise is still writing here; ask again when it is done\nhint: nothing was changed\n"
    )
    assert not (tmp_path / "ledger.yaml").exists()


def test_a_workspace_reached_by_a_link_is_the_same_workspace(tmp_path, hold):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    hold(tmp_path / "link")
    with pytest.raises(LockedError):
        enter(tmp_path / "real", 0.1)


def test_two_workspaces_that_share_a_ledger_wait_for_each_other(tmp_path, hold, monkeypatch):
    shared = tmp_path / "shared"
    shared.mkdir()
    for name in ("quay", "pier"):
        write_bookable(tmp_path / name)
        (tmp_path / name / "ledger.yaml").symlink_to(shared / "ledger.yaml")
    (shared / "ledger.yaml").write_text("entries: []\n")
    hold(shared)
    monkeypatch.setattr("planner.ledger.booking.locked", lambda folder: locked(folder, 0.1))
    for name in ("quay", "pier"):
        with pytest.raises(LockedError):
            book(tmp_path / name, load_workspace, "one", (), used=False, why="")


def test_a_ledger_that_is_a_link_is_written_where_it_leads_and_stays_a_link(tmp_path, run):
    ledger = tmp_path / "elsewhere" / "ledger.yaml"
    ledger.parent.mkdir()
    folder = write_bookable(tmp_path / "quay")
    assert run("book", "one", "hat:one", "--workspace", folder)[0] == 0
    (folder / "ledger.yaml").rename(ledger)
    (folder / "ledger.yaml").symlink_to(ledger)
    assert run("book", "one", "cowl:one", "--workspace", folder)[0] == 0
    assert (folder / "ledger.yaml").is_symlink()
    assert len(read_books(folder).ledger.entries) == 2
    assert sorted(path.name for path in ledger.parent.iterdir() if path.name.startswith("l")) == ["ledger.yaml"]


@pytest.mark.skipif(not Path("/dev/shm").is_dir(), reason="needs a second file system")
def test_a_ledger_on_another_file_system_is_written_there(tmp_path, run):
    import tempfile  # noqa: PLC0415

    folder = write_bookable(tmp_path)
    with tempfile.TemporaryDirectory(dir="/dev/shm") as other:
        assert run("book", "one", "hat:one", "--workspace", folder)[0] == 0
        (Path(other) / "kept.yaml").write_bytes((folder / "ledger.yaml").read_bytes())
        (folder / "ledger.yaml").unlink()
        (folder / "ledger.yaml").symlink_to(Path(other) / "kept.yaml")
        assert run("undo", "--workspace", folder)[0] == 0
        assert len(read_books(folder).ledger.entries) == 2


@pytest.mark.parametrize("command", [("book", "one"), ("undo",), ("history",), ("cover",), ("lots",), ("check",)])
def test_a_ledger_that_leads_nowhere_does_not_look_like_none(tmp_path, run, command):
    folder = write_bookable(tmp_path)
    (folder / "ledger.yaml").symlink_to(tmp_path / "not-plugged-in" / "ledger.yaml")
    code, out, err = run(*command, "--workspace", folder)
    assert (code, out) == (5, "")
    assert "ledger.yaml: No such file or directory" in err
    assert "nothing was changed" in err


def test_a_ledger_that_is_a_folder_is_a_fault_in_its_place(tmp_path, run):
    folder = write_bookable(tmp_path)
    (folder / "ledger.yaml").mkdir()
    for command in (("book", "one"), ("undo",), ("history",), ("check",)):
        code, out, err = run(*command, "--workspace", folder)
        assert code == 3
        assert (out + err).startswith("ledger.yaml:1:1: error: ")


def test_a_rehearsal_locks_nothing(tmp_path):
    with rehearsing():
        assert enter(tmp_path, 0)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_where_nothing_can_be_written_is_named(tmp_path, monkeypatch):
    def refused(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("filelock.FileLock.acquire", refused)
    with pytest.raises(OSError, match="nothing can be written here: Permission denied") as told:
        enter(tmp_path, 0)
    assert told.value.filename == str(tmp_path)


def test_a_lock_that_cannot_be_let_go_does_not_unmake_what_was_written(tmp_path, monkeypatch):
    def failing(*_, **__):
        raise OSError(5, "Input/output error")

    with monkeypatch.context() as patch:
        lock = locked(tmp_path, 5)
        lock.__enter__()
        patch.setattr("filelock.FileLock.release", failing)
        assert lock.__exit__(None, None, None) is False


def test_the_lock_is_a_hidden_file_that_no_reader_minds(tmp_path, run):
    folder = write_bookable(tmp_path)
    assert run("book", "one", "--workspace", folder)[0] == 0
    assert (folder / LOCK).read_bytes() == b""
    assert run("check", "--workspace", folder)[0] == 0


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs to give a folder to another user")
def test_on_a_folder_that_may_only_be_read_answers_are_given_and_bookings_refused(tmp_path):
    write_bookable(tmp_path / "mine")
    folder = write_bookable(tmp_path / "theirs")
    for path in (*list(tmp_path.parents)[:2], tmp_path, folder):
        path.chmod(0o755)
    code = (
        "import os, sys\nfrom planner.cli import main\n"
        "try:\n    main([*sys.argv[2:], '--workspace', os.path.join(sys.argv[1], 'mine')])\n"  # loads what is needed
        "except SystemExit:\n    sys.stdout.flush()\n"
        "os.setgid(65534)\nos.setuid(65534)\n"
        "main([*sys.argv[2:], '--workspace', os.path.join(sys.argv[1], 'theirs')])"
    )

    def asked(*arguments):
        return subprocess.run(
            [sys.executable, "-c", code, str(tmp_path), *arguments],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=False,
        )

    assert asked("lots").returncode == 0
    told = asked("book", "one")
    assert told.returncode == 5
    assert told.stderr == (
        f"lotwise: {folder}: nothing can be written here: Permission denied\nhint: nothing was changed\n"
    )
    assert not (folder / "ledger.yaml").exists()
