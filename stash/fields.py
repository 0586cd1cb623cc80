"""Fields as values: a record is a table of them, each with a name, a kind and a line about it, read from a node.

A reader appends what is wrong to the list it is given; where no value comes of it, it raises RefusedError.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any, Generic, NoReturn, TypeVar

from stash import fieldfaults as wrong
from stash import forms
from stash.nodes import Mapping, Node, Scalar, Sequence, Unread, place_of
from stash.textfaults import HIDDEN

if TYPE_CHECKING:
    from collections.abc import Callable

    from stash.faults import Fault
    from stash.forms import Form

T = TypeVar("T")
MOST_TEXT = 200


class RefusedError(Exception):
    """No value came of a node; why is in the list of faults already."""


@dataclass(frozen=True)
class Kind(Generic[T]):
    """What may stand in a field. `words`: all it may be; `record`: its keys; `of`: the kinds it holds or may be.

    `form` says what it looks like, for editors: of a list or of entries what is round the kinds they hold, else of one
    more thing it may be.
    """

    name: str
    read: Callable[[Node, list[Fault]], T]
    words: tuple[str, ...] = ()
    record: Record | None = None
    of: tuple[Kind[Any], ...] = ()
    form: Form | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Field:
    """One key of a record; `default` stands where it is left out."""

    name: str
    kind: Kind[Any]
    about: str
    required: bool = False
    default: Any = None


@dataclass(frozen=True)
class Record:
    """The keys something is written with; `name` says what it is, `example` one way to write it."""

    name: str
    fields: tuple[Field, ...]
    example: str
    index: dict[str, Field] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "index", {one.name: one for one in self.fields})

    @cached_property
    def required(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.fields if one.required)

    @cached_property
    def defaults(self) -> dict[str, Any]:
        return {one.name: one.default for one in self.fields if not one.required}


def refuse(faults: list[Fault], fault: Fault) -> NoReturn:
    faults.append(fault)
    raise RefusedError


def attempt(read: Callable[[], T]) -> T | None:
    """The value, or None where it was refused."""
    try:
        return read()
    except RefusedError:
        return None


def read_record(node: Node, record: Record, faults: list[Fault]) -> dict[str, Any]:
    """Every key's value, defaults filled in; refused, after all keys were looked at, if any is wrong or missing."""
    values, refused = read_fields(node, record, faults)
    if refused:
        raise RefusedError
    return values


def read_fields(node: Node, record: Record, faults: list[Fault]) -> tuple[dict[str, Any], set[str]]:
    """Every key's value, and the keys that are wrong, missing or unknown: these have their default, else None.

    For records that others point at or that hold much: what is right in them is looked at all the same, so that all
    faults show in one run. So is what stands under a key that is misspelt: the record is refused for it, but nothing
    is told missing on top.
    """
    mapping = as_mapping(node, record, faults)
    values, refused = dict(record.defaults), set[str]()
    index = record.index
    for key, value in mapping.items:
        name = key.text
        if name not in index:
            refused.add(name)
            meant = wrong.key_meant(key, record)
            faults.append(wrong.unknown_key(key, value, record, meant))
            if meant is None or meant in refused or any(other.text == meant for other, _ in mapping.items):
                continue
            name = meant
            refused.add(name)
        known = index[name]
        values[name] = known.default
        if wrong.nothing_told(key, value):
            faults += [wrong.key_without_colon(key, None)] if name == key.text else []  # else told already
            refused.add(name)
            continue
        try:
            values[name] = known.kind.read(value, faults)
        except RefusedError:
            refused.add(name)
    for name in record.required:
        if name not in values:
            faults.append(wrong.missing_key(node, record.index[name], record))
            values[name] = None
            refused.add(name)
    return values, refused


def as_mapping(node: Node, record: Record, faults: list[Fault]) -> Mapping:
    if isinstance(node, Mapping):
        return node
    if isinstance(node, Unread):
        raise RefusedError
    if isinstance(node, Scalar) and (better := wrong.colon_without_space(node)) and wrong.key_meant(node, record):
        refuse(faults, wrong.key_without_space(node, better))
    refuse(faults, wrong.not_a_record(node, record))


def as_text(node: Node, name: str, faults: list[Fault]) -> str:
    return as_scalar(node, name, faults).text


def as_scalar(node: Node, name: str, faults: list[Fault]) -> Scalar:
    """A node that should be a text, by the name of `name`; empty ones are refused."""
    if isinstance(node, Scalar):
        if node.text == "" and not node.quoted:
            refuse(faults, wrong.nothing_written(node, name))
        return node
    if isinstance(node, Unread):
        raise RefusedError
    refuse(faults, wrong.not_one_value(node, name))


def text_kind(name: str) -> Kind[str]:
    """Free text of one line, at most 200 characters."""

    def read(node: Node, faults: list[Fault]) -> str:
        scalar = as_scalar(node, name, faults)
        text = scalar.text
        if not scalar.quoted and text in {"null", "Null", "NULL", "~"}:
            refuse(faults, wrong.null_as_text(scalar))
        if len(text) > MOST_TEXT:
            refuse(faults, wrong.text_too_long(node, len(text)))
        if any(end in text for end in "\n\r\t") or HIDDEN.search(text):
            refuse(faults, wrong.text_of_many_lines(node))
        return text

    return Kind(name, read, form=forms.free_form(r"^[^\n\r\t]*$", maxLength=MOST_TEXT))


def value_kind(name: str, convert: Callable[[str], T], form: Form) -> Kind[T]:
    """A value that `convert` makes of a text; it raises a ValueError that says what is wrong, with `.hint`."""

    @lru_cache(maxsize=4096)  # a stash says the same many times over, right or wrong
    def told(text: str) -> tuple[T, None] | tuple[None, ValueError]:
        try:
            return convert(text), None
        except ValueError as error:
            return None, error.with_traceback(None)

    def read(node: Node, faults: list[Fault]) -> T:
        value, error = told(as_text(node, name, faults))
        if error is not None:
            refuse_value(node, error, name, faults)
        return value  # type: ignore[return-value]  # no error, so it is one

    return Kind(name, read, form=form)


def refuse_value(node: Node, error: ValueError, name: str, faults: list[Fault]) -> NoReturn:
    """Refuse a value; that its quotes are curly is then not told a second time."""
    if wrong.in_curly(node):
        faults[:] = [fault for fault in faults if not (fault.warning and fault.place == place_of(node))]
    refuse(faults, wrong.bad_value(node, error, name))


def choice_kind(name: str, words: dict[str, T]) -> Kind[T]:
    """One of a few words, each with its value."""

    def read(node: Node, faults: list[Fault]) -> T:
        text = as_text(node, name, faults)
        if text not in words:
            refuse(faults, wrong.not_a_choice(node, text, name, tuple(words)))
        return words[text]

    return Kind(name, read, words=tuple(words), form=forms.choice_form(words))


YES_NO = choice_kind("yes or no", {"yes": True, "no": False, "true": True, "false": False})


def list_kind(of: Kind[T], *, single: bool = False) -> Kind[tuple[T, ...]]:
    """A list; with `single`, one value may stand without the brackets."""

    def read(node: Node, faults: list[Fault]) -> tuple[T, ...]:
        if not isinstance(node, Sequence):
            if single and isinstance(node, Scalar):
                return (of.read(node, faults),)
            if isinstance(node, Unread):
                raise RefusedError
            refuse(faults, wrong.not_a_list(node, of.name))
        if not node.items:
            refuse(faults, wrong.empty_list(node, of.name))
        return all_of(of.read, node.items, faults)

    listed = Kind(f"a list, each {of.name}", read, of=(of,), form=forms.FULL_LIST)
    return Kind(listed.name, read, of=(of, listed)) if single else listed


def all_of(read: Callable[[Node, list[Fault]], T], nodes: tuple[Node, ...], faults: list[Fault]) -> tuple[T, ...]:
    """Every node's value; refused, after all were looked at, if one is."""
    values: list[T] = []
    whole = True
    for node in nodes:
        try:
            values.append(read(node, faults))
        except RefusedError:
            whole = False
    if not whole:
        raise RefusedError
    return tuple(values)


def record_kind(record: Record) -> Kind[dict[str, Any]]:
    return Kind(record.name, lambda node, faults: read_record(node, record, faults), record=record)


def entries_kind(name: str, *of: Kind[Any], names: Form) -> Kind[Mapping]:
    """Names chosen by the user, each with one of a few kinds under it; read further by whoever knows what it is.

    `names` says what a name looks like.
    """

    def read(node: Node, faults: list[Fault]) -> Mapping:
        if isinstance(node, Unread):
            raise RefusedError
        if not isinstance(node, Mapping):
            if isinstance(node, Scalar) and (better := wrong.colon_without_space(node)):
                refuse(faults, wrong.key_without_space(node, better))
            refuse(faults, wrong.not_entries(node, name))
        return node

    return Kind(name, read, of=of, form=forms.names_form(names))


def node_kind(name: str, *of: Kind[Any], form: Form | None = None) -> Kind[Node]:
    """The node itself, to be read once more is known; `of` says what it may be."""

    def read(node: Node, faults: list[Fault]) -> Node:
        if isinstance(node, Unread):
            raise RefusedError
        if isinstance(node, Scalar):
            as_text(node, name, faults)
        return node

    return Kind(name, read, of=of, form=form)
