"""Python's search for cycles, put off while much is made that stays and has none: it takes as long as the making."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


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
