"""Ledgers to begin from, and their seals made anew, so that what was mutated in one is read and not only missed."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.ledger.entries import Book, Entry, Finish, Release, Taking, Undo
from planner.ledger.text import added, seal_of, without_seal
from stash.remains import Knitted
from stash.units import read_mass

if TYPE_CHECKING:
    from random import Random

    from planner.ledger.entries import Act

STASH = """\
lots:
  slate: {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 100 g, slate-2: {mass: 40 g, pieces: 2}}}
  fog: {fibre: wool, colour: "#d0d4d8", count: 230 m/100g, skeins: {fog-1: 30 g}}
"""
HAT = "yarn: dk\nstrands: 1\nneeds: {main: {lots: one}}\nsizes: {one: {main: 100 m}}\n"
SLATE = Taking("hat", "main", "slate", "slate-1", 1, 11030, Fraction("50.46"))
FOG = Taking("hat:one", "main", "fog", "fog-1", 1, 2030, Fraction("9.29"))
SURE = Fraction(95, 100)
ACTS: tuple[tuple[Act, ...], ...] = (
    (Book("november", SURE, (SLATE,)),),
    (Book("november", SURE, (SLATE, FOG)), Release("hat"), Book("december", SURE, (FOG,), used=True)),
    (Book("november", SURE, (SLATE,)), Finish("hat", {}, {}), Undo(2)),
    (Book("november", SURE, (SLATE,)), Finish("hat", {"slate-1": read_mass("52 g")}, {})),
    (
        Book("november", SURE, (SLATE,)),
        Finish("hat", {}, {"slate": Knitted(Fraction(100), Fraction(46), 0.05)}),
    ),
)
DASH = re.compile(r"^- ", re.MULTILINE)


def ledgers() -> tuple[bytes, ...]:
    found = []
    for acts in ACTS:
        data, seal = b"", ""
        for number, act in enumerate(acts, start=1):
            data = added(data, Entry(number, date(2026, 11, number), act, "for the fair"), seal)
            seal = data.decode().split()[-1]
        found.append(data)
    return tuple(found)


def sealed_anew(data: bytes, chance: Random) -> bytes:
    """The ledger with the seals that its entries now have: as a rule, for else all would be refused for their seals."""
    if chance.random() < 0.2:
        return data
    text = data.decode("utf-8", errors="surrogateescape")
    lines = [f"  {line}" if DASH.search(text) and at else line for at, line in enumerate(text.split("\n"))]
    starts = [at for at, line in enumerate(lines) if line.startswith("  - ")]
    seal = ""
    for start, end in pairwise([*starts, len(lines)]):
        own = lines[start:end]
        while end == len(lines) and own and not own[-1].strip():
            own.pop()
        seal = seal_of(seal, [line.encode("utf-8", errors="replace").decode() for line in without_seal(own)])
        for at in range(start, end):
            if lines[at].startswith("    seal: "):
                lines[at] = f"    seal: {seal}"
    return "\n".join(lines).encode("utf-8", errors="surrogateescape")
