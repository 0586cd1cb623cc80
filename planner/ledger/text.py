"""An entry of the ledger as the lines that are added to its file, and the seal that tells whether they were changed."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.ledger.entries import Book, Finish, Release
from stash.quoting import quoted
from stash.units import show_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.ledger.entries import Act, Entry, Taking

HEAD = """\
# What is set aside and what is used. lotwise adds entries at the end and changes none;
# please change none either: each is sealed. README.md tells what the lines mean.
entries:
"""
_SEAL = "    seal: "


def added(before: bytes, entry: Entry, seal: str) -> bytes:
    """The ledger's bytes with one more entry; `seal`: that of the entry before, "" for the first."""
    lines = list(_lines(entry))
    text = "".join(f"{line}\n" for line in [*lines, f"{_SEAL}{seal_of(seal, lines)}"])
    if not before:
        return (HEAD + text).encode()
    return before + (b"" if before.endswith(b"\n") else b"\n") + text.encode()


def seal_of(before: str, lines: Sequence[str]) -> str:
    """The seal of an entry's lines: 16 hex digits of SHA-256 over the seal before and the lines."""
    return hashlib.sha256("\n".join([before, *lines]).encode()).hexdigest()[:16]


def without_seal(lines: Sequence[str]) -> list[str]:
    """An entry's lines as they were sealed."""
    return [line for line in lines if not line.startswith(_SEAL)]


def _lines(entry: Entry) -> Iterator[str]:
    yield f"  - revision: {entry.revision}"
    yield f"    on: {entry.on.isoformat()}"
    yield from (f"    {line}" for line in _act(entry.act))
    if entry.why:
        yield f"    why: {quoted(entry.why)}"


def _act(act: Act) -> Iterator[str]:
    if isinstance(act, Book):
        yield f"does: {'use' if act.used else 'book'}"
        yield f"plan: {quoted(act.plan)}"
        yield f"confidence: {_plain(100 * act.confidence)}%"
        yield "takes:"
        yield from (f"  - {_taking(take)}" for take in act.takes)
    elif isinstance(act, Finish):
        yield "does: finish"
        yield f"project: {quoted(act.project)}"
        if act.left:
            yield "left:"
            yield from (f"  {quoted(skein)}: {mass.text}" for skein, mass in act.left.items())
        if act.knitted:
            yield "knitted:"
            yield from (
                f"  {quoted(lot)}: {{metres: {show_number(one.metres, 2)} m, grams: {show_number(one.grams, 2)} g, "
                f"unsure: {_plain(100 * Fraction(one.relative_u))}%}}"
                for lot, one in act.knitted.items()
            )
    elif isinstance(act, Release):
        yield "does: release"
        yield f"project: {quoted(act.project)}"
    else:
        yield "does: undo"
        yield f"undoes: {act.revision}"


def _taking(take: Taking) -> str:
    words = {
        "project": quoted(take.project),
        "need": quoted(take.need),
        "lot": quoted(take.lot),
        "skein": quoted(take.skein),
        "piece": str(take.piece),
        "metres": f"{take.cm // 100}.{take.cm % 100:02d} m",
        "grams": f"{show_number(take.grams, 2)} g",
    }
    return "{" + ", ".join(f"{key}: {value}" for key, value in words.items()) + "}"


def _plain(number: Fraction) -> str:
    return show_number(number, 4).rstrip("0").rstrip(".")
