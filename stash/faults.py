"""Faults as values: what is wrong in a file, where, and what to write instead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Place(NamedTuple):
    """A place in a file; line and column count from 1."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong, or worth a warning, in a file the user wrote."""

    place: Place
    message: str
    hint: str
    own_line: str = ""
    warning: bool = False


class FaultyFilesError(Exception):
    """Raised when files hold faults, so that no command runs on them."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(f"{len(faults)} faults")
        self.faults = faults
