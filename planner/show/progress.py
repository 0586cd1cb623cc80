"""A sign of life on the error stream for anything that takes over a second."""

from __future__ import annotations

import math
import sys
import threading
import time
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from types import TracebackType
    from typing import TextIO

FIRST_AFTER, EACH, EACH_IN_A_FILE = (
    1.0,
    0.5,
    10.0,
)  # seconds; a file gets a line now and then, a terminal one that changes
SETTLED = 1e-6  # relative
_CLEAR = "\r\x1b[K"


class Progress:
    """While it is open, says how long the work has taken and how good the best answer so far is."""

    def __init__(self, stream: TextIO | None = None, *, interruptible: bool = False) -> None:
        self._stream = sys.stderr if stream is None else stream
        self._interruptible = interruptible
        self._news = ""
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._tell, daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._ended.set()
        self._thread.join()

    def report(self, value: float, bound: float, seconds: float) -> None:  # noqa: ARG002 - we count our own seconds
        """Take in the best answer so far and the most there could be, in the aim's unit; nan or inf: not known."""
        if not math.isfinite(value):
            return
        if abs(bound - value) <= SETTLED * abs(value):
            self._news = "; the best is found, now fewest lots and joins"
        elif math.isfinite(bound):
            apart = abs(bound - value) / max(abs(bound), abs(value))
            self._news = f"; best {abs(value):.0f}, at most {abs(bound):.0f} ({100 * apart:.1f} % apart)"

    def _tell(self) -> None:
        begun = time.monotonic()
        lasting = self._stream.isatty()
        wait = FIRST_AFTER
        while not self._ended.wait(wait):
            text = self._line(round(time.monotonic() - begun))
            self._write(f"{_CLEAR}{text}" if lasting else f"{text}\n")
            wait = EACH if lasting else EACH_IN_A_FILE
        if lasting and wait != FIRST_AFTER:
            self._write(_CLEAR)

    def _line(self, seconds: int) -> str:
        """No wider than a terminal of 80 columns, or it would not be cleared."""
        if not self._news:
            return f"lotwise: working, {seconds} s" + "; Ctrl-C shows the best so far" * self._interruptible
        return f"lotwise: {seconds} s{self._news}" + "; Ctrl-C shows it" * self._interruptible

    def _write(self, text: str) -> None:
        try:
            self._stream.write(text)
            self._stream.flush()
        except OSError:
            self._ended.set()  # nobody reads it: the answer matters, not this
