"""An answer or a word that cannot be heard does not unmake what was done, and the exit code tells."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from bookable import write_bookable

from planner.ledger.booking import read_books
from planner.telling import point_at_nothing, tell

ROOT = Path(__file__).parents[2]
FULL = Path("/dev/full")
needs_full = pytest.mark.skipif(not FULL.exists(), reason="needs a device that is always full")


def ended(code, *arguments, **streams):
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        text=True,
        check=False,
        **streams,
    )


MAIN = "from planner.cli import main; main()"
CLOSED = "import sys; from planner.cli import main; sys.{} = None; main()"  # as Python finds a stream that is closed


@needs_full
def test_a_booking_whose_answer_cannot_be_printed_stands_and_says_so(tmp_path):
    write_bookable(tmp_path)
    with FULL.open("w") as full:
        told = ended(MAIN, "book", "one", "--workspace", tmp_path, stdout=full, stderr=subprocess.PIPE)
    assert told.returncode == 5
    assert told.stderr == (
        "lotwise: the answer could not be written: No space left on device\nhint: revision 1 was written\n"
    )
    assert len(read_books(tmp_path).ledger.entries) == 1


def test_a_booking_whose_answer_has_nowhere_to_go_stands_and_says_so(tmp_path):
    write_bookable(tmp_path)
    told = ended(CLOSED.format("stdout"), "book", "one", "--workspace", tmp_path, stderr=subprocess.PIPE)
    assert told.returncode == 5
    assert told.stderr == (
        "lotwise: the answer could not be written: Bad file descriptor\nhint: revision 1 was written\n"
    )
    assert len(read_books(tmp_path).ledger.entries) == 1


@needs_full
def test_a_warning_that_nobody_can_hear_hinders_nothing(tmp_path):
    write_bookable(tmp_path)
    (tmp_path / ".x.yaml.999999999-1.part").write_bytes(b"half")
    with FULL.open("w") as full:
        told = ended(MAIN, "book", "one", "--workspace", tmp_path, stdout=subprocess.PIPE, stderr=full)
    assert told.returncode == 0
    assert "revision 1" in told.stdout
    assert not list(tmp_path.glob("*.part"))


def test_a_closed_stream_of_errors_hinders_nothing(tmp_path):
    write_bookable(tmp_path)
    told = ended(CLOSED.format("stderr"), "book", "nowhere", "--workspace", tmp_path, stdout=subprocess.PIPE)
    assert told.returncode == 2


def test_what_is_told_ends_its_line(capsys):
    tell("one")
    assert capsys.readouterr().err == "one\n"


def test_a_stream_that_fails_is_pointed_at_nothing_from_then_on(monkeypatch):
    class Failing:
        def write(self, _text):
            raise OSError(28, "No space left on device")

    pointed = []
    monkeypatch.setattr("planner.telling.point_at_nothing", pointed.append)
    monkeypatch.setattr(sys, "stderr", Failing())
    tell("one")
    assert pointed == [2]
    monkeypatch.setattr(sys, "stderr", None)
    tell("one")
    assert pointed == [2]


def test_what_is_written_to_a_stream_pointed_at_nothing_is_gone(tmp_path):
    with (tmp_path / "a").open("wb") as file:
        point_at_nothing(file.fileno())
        file.write(b"gone")
    assert (tmp_path / "a").read_bytes() == b""
