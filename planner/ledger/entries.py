"""The ledger as plain data: what was set aside, used, given back and undone, revision by revision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date
    from fractions import Fraction

    from stash.faults import Fault, Place
    from stash.remains import Knitted
    from stash.units import Quantity

FILE = "ledger.yaml"


@dataclass(frozen=True)
class Taking:
    """Yarn of one piece for a need of a project: guarded centimetres, and the grams they weigh (for people)."""

    project: str
    need: str
    lot: str
    skein: str
    piece: int
    cm: int
    grams: Fraction
    place: Place | None = None
    own_line: str = ""


@dataclass(frozen=True)
class Book:
    """Yarn is set aside by a plan, or used at once; lengths as sure as `confidence`."""

    plan: str
    confidence: Fraction
    takes: tuple[Taking, ...]
    used: bool = False

    @property
    def projects(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(take.project for take in self.takes))


@dataclass(frozen=True)
class Finish:
    """What was set aside for a project is used. `left`: what whole skeins weigh now; `knitted`: by lot."""

    project: str
    left: Mapping[str, Quantity]
    knitted: Mapping[str, Knitted]


@dataclass(frozen=True)
class Release:
    """What was set aside for a project is free again."""

    project: str


@dataclass(frozen=True)
class Undo:
    """The revision that no longer counts."""

    revision: int


Act = Book | Finish | Release | Undo


@dataclass(frozen=True)
class Entry:
    """One revision; `on` is the day by the clock at hand and orders nothing."""

    revision: int
    on: date
    act: Act
    why: str
    place: Place | None = None
    own_line: str = ""


@dataclass(frozen=True)
class Ledger:
    """All entries in order, and the seal of the last; "" where there is none."""

    entries: tuple[Entry, ...] = ()
    seal: str = ""


@dataclass(frozen=True)
class LedgerRead:
    """What came of the file; `ledger` None where it is refused."""

    ledger: Ledger | None
    faults: tuple[Fault, ...]
