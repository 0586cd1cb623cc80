"""Stands in for a worker that a file puts an end to; a process of its own must find it by its module."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from multiprocessing.connection import Connection


def work(_kind: str, _seed: int, numbers: range, told: Connection) -> None:
    """End at file 3; of file 5 something is wrong."""
    for number in numbers:
        if number == 3:
            os._exit(1)
        told.send("odd" if number == 5 else None)
