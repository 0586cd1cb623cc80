"""What stopped a run is told together with what it had written by then, and that is the truth."""

import errno
import os

import pytest
from bookable import write_bookable

from planner.commands.endings import explain
from planner.noting import giving_name, noting, told_changes
from planner.writing import create_file, replace_file


def test_what_was_written_is_told_each_file_once(tmp_path):
    with noting():
        assert told_changes() == ""
        create_file(tmp_path / "a", b"1")
        assert told_changes() == f"{tmp_path}/a was written"
        replace_file(tmp_path / "b", b"", b"1")
        replace_file(tmp_path / "b", b"1", b"12")
        assert told_changes() == f"{tmp_path}/a, {tmp_path}/b were written"
    assert told_changes() == ""


def test_a_step_that_failed_without_effect_is_not_told(tmp_path):
    with noting():
        with pytest.raises(OSError, match="stopped"), giving_name(tmp_path / "a", {tmp_path / "a": b"1"}):
            raise OSError(errno.EIO, "stopped before")
        assert told_changes() == ""


def test_a_step_that_failed_after_its_effect_is_told(tmp_path):
    with noting():
        with pytest.raises(KeyboardInterrupt), giving_name(tmp_path / "a", {tmp_path / "a": b"1"}):
            _write_and_be_stopped(tmp_path / "a")
        assert told_changes() == f"{tmp_path}/a was written"


def test_a_file_of_another_that_reads_the_same_is_not_ours(tmp_path):
    (tmp_path / "a").write_bytes(b"1")
    with noting():
        with pytest.raises(FileExistsError):
            create_file(tmp_path / "a", b"1")
        assert told_changes() == ""


def test_an_error_after_a_booking_says_that_it_stands(run, tmp_path, monkeypatch):
    write_bookable(tmp_path)

    def broken(*_):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr("planner.show.ledger.step_text", broken)
    code, out, err = run("book", "one", "--workspace", tmp_path)
    assert (code, out) == (5, "")
    assert err == f"lotwise: Input/output error\nhint: {tmp_path}/ledger.yaml was written\n"


def test_an_interruption_after_a_booking_says_that_it_stands(run, tmp_path, monkeypatch):
    write_bookable(tmp_path)

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("planner.show.ledger.step_text", interrupted)
    code, _, err = run("book", "one", "--workspace", tmp_path)
    assert code == 130
    assert err.endswith(f"hint: {tmp_path}/ledger.yaml was written\n")


def test_a_mistake_of_our_own_after_a_booking_says_that_it_stands(run, tmp_path, monkeypatch):
    write_bookable(tmp_path)

    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("planner.show.ledger.step_text", broken)
    code, _, err = run("book", "one", "--workspace", tmp_path)
    assert code == 70
    assert f"so it shows no answer; {tmp_path}/ledger.yaml was written.\n" in err


def test_what_is_written_and_not_confirmed_is_not_called_unchanged(run, tmp_path, monkeypatch):
    write_bookable(tmp_path)

    def failing(_folder):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr("planner.writing._sync_folder", failing)
    code, _, err = run("book", "one", "--workspace", tmp_path)
    assert code == 5
    assert err == (
        f"lotwise: {tmp_path}/ledger.yaml: it is written, but the disk did not confirm it\n"
        "hint: it may be all right: `lotwise history` shows what is written; make a copy of the folder\n"
    )


def test_where_nothing_is_noted_nothing_is_told(tmp_path, capsys):
    with giving_name(tmp_path / "a", {}):
        pass
    assert explain(OSError(errno.EIO, "no"), as_json=False).ending == 5
    assert capsys.readouterr().err.endswith("hint: nothing was changed\n")


def _write_and_be_stopped(path):
    path.write_bytes(b"1")
    raise KeyboardInterrupt
