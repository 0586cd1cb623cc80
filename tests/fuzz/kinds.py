"""The kinds of files that are read: where to begin, how each is read, and what it must answer once it is accepted."""

from __future__ import annotations

import io
import tempfile
from contextlib import redirect_stderr
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from patterns.read import read_pattern
from patterns.read_projects import read_projects
from planner.commands.cover import answer_cover
from planner.commands.lots import answer_lots
from planner.commands.shared import Units
from planner.ledger.read import read_ledger
from stash.read import read_stash
from tests.fuzz.ledgers import HAT, STASH, sealed_anew
from tests.fuzz.seeds import patterns, seeds

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from random import Random

    from patterns.needs import Pattern
    from stash.faults import Fault

TINY_STASH = b"""\
lots:
  slate: {fibre: 100% wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 118 g, slate-2: 96 g}}
  ochre: {fibre: 100% wool, colour: "#c68a2b", count: 225 m/100g, skeins: {ochre-1: {mass: 96 g, pieces: 3}}}
  ecru: {fibre: "80% wool, 20% polyamide", colour: "#efe6d2", count: 420 m/100g, skeins: {ecru-1: {length: 210 yd}}}
"""
TINY_PATTERN = b"yarn: dk\nneeds: {main: {}}\nsizes: {S: {main: 150 m}, M: {main: 400 m}}\n"


@dataclass(frozen=True)
class Kind:
    """A kind of file.

    `seeds`: which files to begin from; `read`: the faults of a file's bytes; `beside`: the other files of a workspace
    in which such a file can be asked about; `mend`: what makes a mutated file one that is read to its end.
    """

    file: str
    seeds: str
    read: Callable[[str, bytes], Sequence[Fault]]
    beside: Callable[[bytes], dict[str, bytes]]
    mend: Callable[[bytes, Random], bytes] = lambda data, _: data

    def answer(self, data: bytes) -> None:
        """Ask of an accepted file, in a workspace, what is owned and what it covers. Raises what the commands raise."""
        with tempfile.TemporaryDirectory() as made, redirect_stderr(io.StringIO()):
            folder = Path(made)
            for name, text in {**self.beside(data), self.file: data}.items():
                (folder / name).parent.mkdir(exist_ok=True)
                (folder / name).write_bytes(text)
            for as_json in (False, True):
                answer_lots(folder, Units.IMPERIAL, None, as_json=as_json)
                answer_cover(folder, (), Units.METRIC, None, as_json=as_json)


def _read_stash(file: str, data: bytes) -> Sequence[Fault]:
    return read_stash([(file, data)]).faults


def _read_pattern(file: str, data: bytes) -> Sequence[Fault]:
    return read_pattern(file, data)[1]


def _read_projects(file: str, data: bytes) -> Sequence[Fault]:
    return read_projects((file, data), _patterns(), None)[1]


@cache
def _patterns() -> dict[str, Pattern | None]:
    return {name: read_pattern(f"patterns/{name}.yaml", data)[0] for name, data in patterns().items()} | {"cowl": None}


def _tiny(_: bytes) -> dict[str, bytes]:
    return {"stash.yaml": TINY_STASH, "patterns/tiny.yaml": TINY_PATTERN}


def _read_ledger(file: str, data: bytes) -> Sequence[Fault]:
    return read_ledger(file, data).faults


def _booked(_: bytes) -> dict[str, bytes]:
    """Beside what may be booked a pattern that never is, so that there is always something to ask about."""
    return {"stash.yaml": STASH.encode(), "patterns/hat.yaml": HAT.encode(), "patterns/tiny.yaml": TINY_PATTERN}


def _asked_for(data: bytes) -> dict[str, bytes]:
    """The demo's stash, and every pattern that the file names."""
    named = {f"patterns/{name}.yaml": text for name, text in patterns().items() if name.encode() in data}
    return {f"stash/{number}.yaml": text for number, text in enumerate(seeds("stash")[:4])} | _tiny(data) | named


KINDS = {
    "stash": Kind("stash/fuzzed.yaml", "stash", _read_stash, lambda data: {"patterns/tiny.yaml": TINY_PATTERN}),
    "pattern": Kind("patterns/fuzzed.yaml", "patterns", _read_pattern, _tiny),
    "projects": Kind("projects.yaml", "projects", _read_projects, _asked_for),
    "ledger": Kind("ledger.yaml", "ledger", _read_ledger, _booked, sealed_anew),
}
