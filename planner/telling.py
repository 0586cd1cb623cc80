"""Saying something beside the answer. Where nobody can hear it, the exit code still tells."""

from __future__ import annotations

import os
import sys


def tell(text: str) -> None:
    """Say it on stderr, which may be full or closed."""
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(f"{text}\n")
        sys.stderr.flush()
    except OSError:
        point_at_nothing(2)


def point_at_nothing(stream: int) -> None:
    """Point stdout (1) or stderr (2) at nothing, so that leaving does not try the failed write once more."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, stream)
    os.close(nothing)
