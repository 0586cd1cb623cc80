"""Reading ledger.yaml: each entry as it was written and sealed, in its turn; anything else is refused in its place."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any

from planner.ledger import faults as wrong
from planner.ledger.entries import Book, Entry, Finish, Ledger, LedgerRead, Release, Taking, Undo
from planner.ledger.text import seal_of, without_seal
from stash.fields import (
    Field,
    Kind,
    Record,
    attempt,
    choice_kind,
    entries_kind,
    list_kind,
    node_kind,
    read_record,
    record_kind,
    refuse,
    text_kind,
)
from stash.kinds import DATE, LENGTH, MASS, NAMES, NOTE, share_kind, whole_kind
from stash.nodes import Mapping, Node, Scalar, Sequence, place_of
from stash.read import top_of
from stash.remains import Knitted
from stash.skeins import MOST_PIECES
from stash.source import read_source
from stash.textfaults import MOST_BYTES as MOST_BYTES_BY_HAND

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.nodes import Source

    Act = Book | Finish | Release | Undo

ROOM = 10  # times as large as a file that is written by hand
MOST_BYTES = ROOM * MOST_BYTES_BY_HAND
MOST_REVISIONS = 1_000_000
_NAME = text_kind("a name")
_REVISION = whole_kind("a revision", 1, MOST_REVISIONS)
TAKING = Record(
    "a taking",
    (
        Field("project", _NAME, "the project it is taken for", required=True),
        Field("need", _NAME, "the need of the project", required=True),
        Field("lot", _NAME, "the lot it is of", required=True),
        Field("skein", _NAME, "the skein it is of", required=True),
        Field("piece", whole_kind("a piece", 1, MOST_PIECES), "which piece of the skein", required=True),
        Field("metres", LENGTH, "metres that are sure to be in it", required=True),
        Field("grams", MASS, "what it weighs", required=True),
    ),
    "{project: tern-hat, need: main, lot: slate, skein: slate-1, piece: 1, metres: 52.31 m, grams: 23.10 g}",
)
KNITTED = Record(
    "what was knitted",
    (
        Field("metres", LENGTH, "metres knitted, by the pattern", required=True),
        Field("grams", MASS, "grams that went", required=True),
        Field("unsure", share_kind(Fraction(0), Fraction(10)), "how far the metres may be off", required=True),
    ),
    "{metres: 512.30 m, grams: 231.00 g, unsure: 5%}",
)
_ALL = (
    Field("revision", _REVISION, "its number", required=True),
    Field("on", DATE, "the day it was written", required=True),
    Field("does", choice_kind("what it does", {}), "book, use, finish, release or undo", required=True),
    Field("why", NOTE, "what it was for", default=""),
    Field("seal", _NAME, "tells whether the entry is as it was written", required=True),
)
_PROJECT = Field("project", _NAME, "the project", required=True)
_BOOK = (
    Field("plan", _NAME, "the plan it is by", required=True),
    Field("confidence", share_kind(Fraction(1, 2), Fraction(999, 1000)), "how sure the metres are", required=True),
    Field("takes", list_kind(record_kind(TAKING)), "what is taken", required=True),
)
_FINISH = (
    _PROJECT,
    Field("left", entries_kind("skeins weighed", MASS, names=NAMES), "what whole skeins weigh now"),
    Field(
        "knitted",
        entries_kind("lots knitted", record_kind(KNITTED), names=NAMES),
        "metres knitted of a lot, and the grams that went",
    ),
)


def _of(does: str, *fields: Field) -> Record:
    kind = choice_kind("what it does", {does: does})
    return Record(
        f"an entry that does '{does}'",
        tuple(one if one.name != "does" else Field("does", kind, one.about, required=True) for one in (*_ALL, *fields)),
        f"does: {does}",
    )


ENTRIES = {
    "book": _of("book", *_BOOK),
    "use": _of("use", *_BOOK),
    "finish": _of("finish", *_FINISH),
    "release": _of("release", _PROJECT),
    "undo": _of("undo", Field("undoes", _REVISION, "the revision that no longer counts", required=True)),
}
FILE = Record(
    "a ledger",
    (Field("entries", Kind("a list of entries", node_kind("a list of entries").read), "what was done", required=True),),
    "entries:",
)
KINDS_OF_RECORD = (FILE, TAKING, KNITTED, *ENTRIES.values())


def read_ledger(name: str, data: bytes) -> LedgerRead:
    """Read a ledger from its bytes; `name` is as shown. Refused at the first entry that is not as it was sealed."""
    root, faults = read_source(name, data, room=ROOM)
    if root is None:
        return LedgerRead(None, tuple(faults))
    ledger = attempt(partial(_read_file, root, faults))
    return LedgerRead(ledger, tuple(faults))


def _read_file(root: Node, faults: list[Fault]) -> Ledger:
    values = read_record(top_of(root, "a ledger", "entries:\n  - revision: 1", faults), FILE, faults)
    nodes: tuple[Node, ...] = getattr(values["entries"], "items", ())
    if not isinstance(values["entries"], Sequence):
        refuse(faults, wrong.changed_by_hand(values["entries"], 1))
    entries: list[Entry] = []
    seal = ""
    for number, node in enumerate(nodes, start=1):
        ends = nodes[number].line - 1 if number < len(nodes) else None
        entry, seal = _read_entry(node, number, (seal, ends), faults)
        entries.append(entry)
    return Ledger(tuple(entries), seal)


def _read_entry(node: Node, number: int, before: tuple[str, int | None], faults: list[Fault]) -> tuple[Entry, str]:
    """An entry and its seal; `before`: the seal before it, and the line it ends with."""
    fields = {key.text: value for key, value in node.items} if isinstance(node, Mapping) else {}
    does = fields.get("does")
    if not isinstance(does, Scalar) or does.text not in ENTRIES:
        refuse(faults, wrong.does_what(does or node, does.text if isinstance(does, Scalar) else ""))
    values = read_record(node, ENTRIES[does.text], faults)
    if values["revision"] != number:
        refuse(faults, wrong.out_of_turn(node, values["revision"], number))
    seal = seal_of(before[0], without_seal(_lines(node.source, node.line, before[1])))
    if values["seal"] != seal:
        refuse(faults, wrong.changed_by_hand(node, number))
    act = _act(does.text, values, fields, faults)
    return Entry(number, values["on"], act, values["why"], place_of(node), node.source.line(node.line)), seal


def _lines(source: Source, first: int, last: int | None) -> list[str]:
    """The lines of an entry; empty ones at the end of the file are nobody's."""
    lines = source.lines[first - 1 : last]
    while last is None and lines and not lines[-1]:
        lines.pop()
    return lines


def _act(does: str, values: dict[str, Any], fields: dict[str, Node], faults: list[Fault]) -> Act:
    if does in {"book", "use"}:
        nodes = fields["takes"].items if isinstance(fields["takes"], Sequence) else ()
        takes = tuple(_taking(one, node) for one, node in zip(values["takes"], nodes, strict=True))
        return Book(values["plan"], values["confidence"], takes, used=does == "use")
    if does == "finish":
        return Finish(values["project"], _each(values["left"], MASS, faults), _knitted(values["knitted"], faults))
    return Release(values["project"]) if does == "release" else Undo(values["undoes"])


def _taking(values: dict[str, Any], node: Node) -> Taking:
    return Taking(
        values["project"],
        values["need"],
        values["lot"],
        values["skein"],
        values["piece"],
        int(100 * values["metres"].value),
        values["grams"].value,
        place_of(node),
        node.source.line(node.line),
    )


def _each(entries: Mapping | None, kind: Kind[Any], faults: list[Fault]) -> dict[str, Any]:
    return {} if entries is None else {key.text: kind.read(value, faults) for key, value in entries.items}


def _knitted(entries: Mapping | None, faults: list[Fault]) -> dict[str, Knitted]:
    told = _each(entries, record_kind(KNITTED), faults)
    return {lot: Knitted(one["metres"].value, one["grams"].value, float(one["unsure"])) for lot, one in told.items()}
