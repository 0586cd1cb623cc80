"""Python's search for cycles, put off while much is made that stays and has none: it takes as long as the making."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


SELDOM = 50_000  # things made and not yet gone


@contextmanager
def without_collecting() -> Iterator[None]:
    """Put it off, unless it is off already."""
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()


@contextmanager
def seldom_collecting() -> Iterator[None]:
    """Search more seldom, unless it is seldom already, and not through what is there now."""
    before = gc.get_threshold()
    if not 0 < before[0] < SELDOM:
        yield
        return
    gc.freeze()
    gc.set_threshold(SELDOM, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()
