"""What is promised of every file, whatever it holds: it is accepted, or refused with faults that help, and soon."""

from __future__ import annotations

import re
import resource
import signal
import sys
import traceback
import unicodedata
from contextlib import contextmanager
from typing import TYPE_CHECKING

from planner.faultprint import show_faults
from stash.faults import FaultyFilesError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stash.faults import Fault
    from tests.fuzz.kinds import Kind

SECONDS = 2.0  # of processor time that one file may take to read
SECONDS_TO_ANSWER = 60.0  # 20 s are given to a question that has no quick answer
MEGABYTES = 300  # above what the process held before
NAMING_OTHERS = {"projects.yaml", "ledger.yaml"}  # what they name may stand in no other file
ACTED_ON = {
    "Cc",
    "Cf",
    "Cs",
    "Zl",
    "Zp",
}  # by a terminal, in place of being shown; line ends and joiners aside (CWE-150)
LINE_END = re.compile("\r\n|\r|\n")


class SlowError(BaseException):
    """Not caught by a reader that expects errors of its parser."""


def complaint(kind: Kind, data: bytes, *, ask: bool) -> str | None:
    """How the reading of a file breaks what is promised; None where it keeps it. `ask`: whether it must answer too."""
    before = _megabytes()
    try:
        with within(SECONDS):
            faults = kind.read(kind.file, data)
            shown = show_faults(faults)
    except (Exception, SlowError):  # noqa: BLE001 - whatever it is, it should not have come out
        return traceback.format_exc(limit=-4)
    if _megabytes() - before > MEGABYTES:
        return f"more than {MEGABYTES} MB to read"
    if any(unicodedata.category(one) in ACTED_ON and one not in "\n\u200c\u200d" for one in shown):
        return f"not fit for a terminal: {shown!r}"
    told = next((words for fault in faults for words in _of_fault(fault, kind.file, data)), None)
    return _of_answer(kind, data) if told is None and ask and all(fault.warning for fault in faults) else told


def _of_answer(kind: Kind, data: bytes) -> str | None:
    try:
        with within(SECONDS_TO_ANSWER):
            kind.answer(data)
    except FaultyFilesError as error:
        return None if kind.file in NAMING_OTHERS else f"accepted, then refused: {error.faults[0]}"
    except (Exception, SlowError):  # noqa: BLE001 - likewise
        return traceback.format_exc(limit=-4)
    return None


def _of_fault(fault: Fault, file: str, data: bytes) -> Iterator[str]:
    lines = LINE_END.split(data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", errors="replace"))
    place = fault.place
    if place.file != file:
        yield f"names another file: {fault}"
    if not 1 <= place.line <= len(lines):
        yield f"line outside the file: {fault}"
    elif not 1 <= place.column <= max(len(fault.own_line), len(lines[place.line - 1])) + 1:
        yield f"column outside the line: {fault}"
    if not fault.message.strip() or not fault.hint.strip():
        yield f"says nothing: {fault}"


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Inside, more processor time than this raises SlowError."""
    before = signal.signal(signal.SIGPROF, _too_slow)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _too_slow(_number: int, _frame: object) -> None:
    raise SlowError


def _megabytes() -> float:
    """The most the process ever held."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)
