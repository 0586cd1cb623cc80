"""A leftover is told from what a running process writes by the process that its name gives."""

import os

import pytest

from planner import halves
from planner.halves import discard, discard_leftovers, half_of


def test_a_half_of_our_own_is_not_a_leftover_and_that_of_an_older_run_with_our_number_is(tmp_path):
    ours = half_of(tmp_path / "a")
    ours.write_bytes(b"half")
    older = tmp_path / f".a.{os.getpid()}-1.part"
    older.write_bytes(b"half")
    assert discard_leftovers(tmp_path) == (older.name,)
    assert [path.name for path in tmp_path.iterdir()] == [ours.name]


def test_a_half_of_our_number_whose_begin_is_not_known_is_a_leftover(tmp_path, monkeypatch):
    monkeypatch.setattr(halves, "_started", lambda process: 0)
    left = half_of(tmp_path / "a")
    left.write_bytes(b"half")
    assert discard_leftovers(tmp_path) == (left.name,)


def test_a_process_of_another_user_is_taken_to_run(tmp_path, monkeypatch):
    def refused(*_):
        raise PermissionError

    monkeypatch.setattr(os, "kill", refused)
    (tmp_path / ".a.1-1.part").write_bytes(b"half")
    assert discard_leftovers(tmp_path) == ()


def test_where_a_process_cannot_be_asked_without_harm_it_is_taken_to_run(tmp_path, monkeypatch):
    monkeypatch.setattr(halves, "_IS_POSIX", False)
    (tmp_path / ".a.999999999-1.part").write_bytes(b"half")
    assert discard_leftovers(tmp_path) == ()


def test_a_number_that_no_process_can_have_is_a_leftover(tmp_path):
    (tmp_path / ".a.9999999999-1.part").write_bytes(b"half")
    assert discard_leftovers(tmp_path) == (".a.9999999999-1.part",)


@pytest.mark.parametrize("name", [".a.part", ".a.12.part", "a.12-1.part", ".a.12-1.part.yaml", ".a.12345678901-1.part"])
def test_a_file_of_another_name_is_the_users(tmp_path, name):
    (tmp_path / name).write_bytes(b"mine")
    assert discard_leftovers(tmp_path) == ()
    assert (tmp_path / name).read_bytes() == b"mine"


def test_what_a_leftover_link_leads_to_stays(tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "a").write_bytes(b"mine")
    (tmp_path / ".a.999999999-1.part").symlink_to(tmp_path / "mine")
    assert discard_leftovers(tmp_path) == (".a.999999999-1.part",)
    assert (tmp_path / "mine" / "a").read_bytes() == b"mine"


def test_a_leftover_that_cannot_be_removed_is_not_told_as_discarded(tmp_path, monkeypatch):
    (tmp_path / ".a.999999999-1.part").write_bytes(b"half")

    def refused(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "unlink", refused)
    assert discard_leftovers(tmp_path) == ()


def test_to_discard_what_is_not_there_is_fine(tmp_path):
    discard(tmp_path / "nothing")


def test_when_a_process_began_is_not_told_of_one_that_is_none():
    assert halves._started(999_999_999) == 0
