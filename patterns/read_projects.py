"""Reading projects.yaml: what someone would like to make, each copy a project of its own."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any

from patterns import projectfaults as wrong
from patterns.amounts import NAMES
from patterns.projects import Pin, Project, ProjectList
from patterns.read import RESERVE_KIND
from stash import forms
from stash.fields import (
    YES_NO,
    Field,
    Record,
    RefusedError,
    attempt,
    choice_kind,
    entries_kind,
    list_kind,
    node_kind,
    read_fields,
    read_record,
    record_kind,
    refuse,
)
from stash.kinds import ID, NOTE, id_kind, number_kind, reference_kind, share_kind, whole_kind
from stash.nearest import MOST_SEARCHED
from stash.nodes import Node, Scalar, Sequence, place_of
from stash.read import top_of
from stash.source import read_source

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from patterns.needs import Pattern
    from stash.faults import Fault

CONFIDENCE = Fraction(95, 100)
MOST_COPIES = 200
CONFIDENCE_KIND = share_kind(Fraction(1, 2), Fraction(999, 1000))

_LOTS = list_kind(reference_kind("lot"), single=True)
PIN = Record(
    "a choice of lots",
    (
        Field("only", _LOTS, "the only lots it may be made from"),
        Field("without", _LOTS, "lots it must not be made from", default=()),
    ),
    "{only: [ochre]}",
)
PROJECT = Record(
    "a project",
    (
        Field("make", reference_kind("pattern"), "the pattern, by its file's name", required=True),
        Field(
            "size", list_kind(reference_kind("size"), single=True), "one size or several to choose from; left out: any"
        ),
        Field("id", id_kind("project"), "a name of its own"),
        Field("want", number_kind("'want'", None, Fraction(10_000)), "how much it is wanted", default=Fraction(1)),
        Field("must", YES_NO, "whether it goes before all that is not a must", default=False),
        Field("copies", whole_kind("the number of copies", 1, MOST_COPIES), "how many of them at most", default=1),
        Field("reserve", RESERVE_KIND, "yarn kept back beyond the need (default: its pattern's)"),
        Field(
            "bleed-risk",
            choice_kind("'accept'", {"accept": True}),
            "accept: dye that may run is no hindrance",
            default=False,
        ),
        Field(
            "needs",
            entries_kind("needs with lots to choose from", record_kind(PIN), names=NAMES),
            "lots a need must keep to or do without",
        ),
        Field("note", NOTE, "anything you want to remember; not read further"),
    ),
    "{make: skerry, size: M, want: 3}",
)
FILE = Record(
    "projects.yaml",
    (
        Field("confidence", CONFIDENCE_KIND, "how sure the yarn must reach (default 95%)", default=CONFIDENCE),
        Field(
            "projects",
            node_kind("a list of projects", record_kind(PROJECT), form=forms.LIST),
            "what you would like to make",
            required=True,
        ),
        Field("note", NOTE, "anything you want to remember; not read further"),
    ),
    "projects: [{make: skerry, size: M}]",
)
FILE_SAMPLE = """\
confidence: 95%
projects:
  - {make: skerry, size: M, want: 3}
  - {make: tern-hat}"""
_LISTED = list_kind(node_kind("a project"))
KINDS_OF_RECORD = (FILE, PROJECT, PIN)


@dataclass
class _Reading:
    """What the list is read against, and what was read so far."""

    patterns: Mapping[str, Pattern | None] | None  # a pattern that is None: named, but refused for a fault of its own
    lot_ids: Collection[str] | None
    faults: list[Fault]
    projects: list[Project] = field(default_factory=list)
    ids: dict[str, Scalar] = field(default_factory=dict)
    names: dict[str, Node] = field(default_factory=dict)
    asked: dict[tuple[str, str], Node] = field(default_factory=dict)  # (pattern, size) asked without an id
    missed: int = 0  # names of patterns and lots that stand nowhere

    @cached_property
    def good_lots(self) -> list[str]:
        """The lots that may be offered in place of one that stands nowhere."""
        return sorted(one for one in self.lot_ids or () if ID.fullmatch(one))

    def search(self) -> bool:
        """Whether the nearest is looked for to one more name that stands nowhere."""
        self.missed += 1
        return self.missed <= MOST_SEARCHED


def read_projects(
    file: tuple[str, bytes], patterns: Mapping[str, Pattern | None] | None, lot_ids: Collection[str] | None
) -> tuple[ProjectList, list[Fault]]:
    """Read projects.yaml, (name, bytes), against the patterns and lots there are.

    Each copy is a project of its own. A project goes by its id, else by PATTERN:SIZE where one size is asked, else by
    PATTERN. A pattern's size may be asked without an id once only, alone, in a list of sizes or by asking any size.
    A pattern that is None was refused itself; what a project says of its sizes and needs is then not looked at.
    `patterns` or `lot_ids` None: they could not be read, so that none can be missed.
    """
    root, faults = read_source(*file)
    reading = _Reading(patterns, lot_ids, faults)
    found = None if root is None else attempt(partial(_read_file, root, reading))
    return ProjectList(found or CONFIDENCE, tuple(reading.projects)), faults


def _read_file(root: Node, reading: _Reading) -> Fraction:
    values, _ = read_fields(top_of(root, "projects.yaml", FILE_SAMPLE, reading.faults), FILE, reading.faults)
    listed: Node | None = values["projects"]
    if listed is not None and (not isinstance(listed, Sequence) or listed.items):
        for node in _LISTED.read(listed, reading.faults):
            attempt(partial(_read_project, node, reading))
    confidence: Fraction = values["confidence"]
    return confidence


def _read_project(node: Node, reading: _Reading) -> None:
    faults = reading.faults
    values, refused = read_fields(node, PROJECT, faults)
    make: Scalar | None = values["make"]
    if make is None or reading.patterns is None:
        return
    if make.text not in reading.patterns:
        refuse(faults, wrong.unknown_pattern(make, reading.patterns, search=reading.search()))
    pattern = reading.patterns[make.text]
    if values["id"] is not None:
        _claim_id(node, reading, reading.patterns)
    if pattern is None:
        return
    sizes = _read_sizes(values["size"], pattern, faults)
    pins = _read_pins(values["needs"], pattern, reading)
    name = values["id"] or (f"{pattern.id}:{sizes[0]}" if values["size"] and len(sizes) == 1 else pattern.id)
    if refused:
        return
    if values["id"] is None:
        _claim_sizes(node, pattern.id, sizes, name, reading)
    reserve: Fraction | None = values["reserve"]
    one = Project(
        name,
        pattern.id,
        sizes,
        pattern.reserve if reserve is None else reserve,
        values["want"],
        values["must"],
        values["bleed-risk"],
        pins,
        place_of(node),
    )
    reading.projects += _copies(one, values["copies"])


def _copies(one: Project, number: int) -> list[Project]:
    """The first bare, then NAME#2, NAME#3."""
    return [one, *(replace(one, name=f"{one.name}#{copy}") for copy in range(2, number + 1))]


def _claim_id(node: Node, reading: _Reading, patterns: Iterable[str]) -> None:
    key = next((value for name, value in getattr(node, "items", ()) if name.text == "id"), None)
    if key is None:  # it stands under a misspelt key, which is told
        return
    if key.text.casefold() in {pattern.casefold() for pattern in patterns}:
        refuse(reading.faults, wrong.id_is_a_pattern(key))
    first = reading.ids.setdefault(key.text.casefold(), key)
    if first is not key:
        refuse(reading.faults, wrong.id_twice(key, first))


def _claim_sizes(node: Node, pattern: str, sizes: tuple[str, ...], name: str, reading: _Reading) -> None:
    for size in sizes:
        first = reading.asked.setdefault((pattern, size), node)
        if first is not node:
            refuse(reading.faults, wrong.size_asked_twice(node, pattern, size, first))
    first = reading.names.setdefault(name, node)
    if first is not node:
        refuse(reading.faults, wrong.name_twice(node, name, first))


def _read_sizes(asked: tuple[Scalar, ...] | None, pattern: Pattern, faults: list[Fault]) -> tuple[str, ...]:
    """The sizes asked, in the pattern's order; all of them when none is named."""
    if asked is None:
        return tuple(pattern.sizes)
    seen: set[str] = set()
    for one in asked:
        if one.text not in pattern.sizes:
            refuse(faults, wrong.unknown_size(one, pattern.id, pattern.sizes))
        if one.text in seen:
            refuse(faults, wrong.size_in_list_twice(one))
        seen.add(one.text)
    return tuple(size for size in pattern.sizes if size in seen)


def _read_pins(mapping: Any, pattern: Pattern, reading: _Reading) -> dict[str, Pin]:
    pins: dict[str, Pin] = {}
    for key, node in () if mapping is None else mapping.items:
        if key.text not in pattern.needs:
            reading.faults.append(wrong.unknown_need(key, pattern.id, pattern.needs))
            continue
        try:
            pins[key.text] = _read_pin(node, reading)
        except RefusedError:
            continue
    return pins


def _read_pin(node: Node, reading: _Reading) -> Pin:
    values = read_record(node, PIN, reading.faults)
    for lot in (*(values["only"] or ()), *values["without"]):
        if reading.lot_ids is not None and lot.text not in reading.lot_ids:
            reading.faults.append(wrong.unknown_lot(lot, reading.good_lots, search=reading.search()))
    without = frozenset(lot.text for lot in values["without"])
    if values["only"] is None:
        return Pin(None, without)
    only = frozenset(lot.text for lot in values["only"])
    for lot in sorted(only & without):
        reading.faults.append(wrong.only_and_without(node, lot))
    return Pin(only, without)
