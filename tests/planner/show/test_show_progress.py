"""Work over a second shows a sign of life, and leaves a terminal as it was."""

import io
import math
import time

import pytest

from planner.show import progress
from planner.show.progress import Progress


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    monkeypatch.setattr(progress, "FIRST_AFTER", 0.02)
    monkeypatch.setattr(progress, "EACH", 0.01)


def until(stream, words):
    end = time.monotonic() + 5
    while words not in stream.getvalue() and time.monotonic() < end:
        time.sleep(0.005)


def test_quick_work_says_nothing(monkeypatch):
    monkeypatch.setattr(progress, "FIRST_AFTER", 60.0)
    stream = Terminal()
    with Progress(stream):
        pass
    assert stream.getvalue() == ""


def test_a_terminal_is_cleared_at_the_end():
    stream = Terminal()
    with Progress(stream, interruptible=True) as shown:
        shown.report(812.4, 840.2, 0.0)
        until(stream, "best 812, at most 840 (3.3 % apart); Ctrl-C shows it")
    assert "lotwise: 0 s; best 812, at most 840 (3.3 % apart); Ctrl-C shows it" in stream.getvalue()
    assert stream.getvalue().endswith("\r\x1b[K")


@pytest.mark.parametrize("bound", [1_476_823.0, 1_149_230.0])
def test_a_line_fits_eighty_columns_or_it_could_not_be_cleared(bound, monkeypatch):
    monkeypatch.setattr(progress.time, "monotonic", iter(range(0, 100_000, 250)).__next__)
    stream = Terminal()
    with Progress(stream, interruptible=True) as shown:
        shown.report(1_149_230.0, bound, 0.0)
        for _ in range(200):
            if "Ctrl-C shows it" in stream.getvalue():
                break
            shown._ended.wait(0.01)
    lines = stream.getvalue().replace("\x1b[K", "").split("\r")
    assert any("Ctrl-C shows it" in line for line in lines)
    assert max(map(len, lines)) < 80


def test_a_file_gets_whole_lines():
    stream = io.StringIO()
    with Progress(stream):
        until(stream, "working")
    assert stream.getvalue() == "lotwise: working, 0 s\n"


def test_the_best_is_found_when_nothing_better_is_left():
    stream = Terminal()
    with Progress(stream) as shown:
        shown.report(812.4, 812.4, 0.0)
        until(stream, "the best is found")
    assert "; the best is found, now fewest lots and joins" in stream.getvalue()


def test_what_is_not_known_is_not_told():
    stream = Terminal()
    with Progress(stream) as shown:
        shown.report(math.nan, 840.0, 0.0)
        shown.report(812.0, math.inf, 0.0)
        until(stream, "working")
    assert "best" not in stream.getvalue()


def test_a_stream_nobody_reads_stops_the_telling_not_the_work():
    class Closed(io.StringIO):
        def write(self, text):
            raise BrokenPipeError

    with Progress(Closed()):
        time.sleep(0.05)
