"""What may be wrong with any field, whatever it means: one function a fault."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

from stash.nearest import name_some, nearest, suggest
from stash.nodes import Mapping, Node, Scalar, Sequence, fault_at, short
from stash.textfaults import CURLY

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.fields import Field, Record

_QUOTES = "'\""
_FIRST_WORD = re.compile(" ?= ?| ")
_COLON_INSIDE = re.compile(r"^([A-Za-z][\w-]*):(?!//)(\S.*)$", re.DOTALL)


def colon_without_space(node: Scalar) -> str | None:
    """'mass:48' as it should have been written, 'mass: 48'; None when that is not what happened."""
    found = None if node.quoted else _COLON_INSIDE.match(node.text)
    return f"{found[1]}: {short(found[2])}" if found else None


def key_without_space(node: Scalar, better: str) -> Fault:
    return fault_at(node, f"a space is missing after the colon in '{short(node.text)}'", f"write {better}")


def key_meant(key: Scalar, record: Record) -> str | None:
    """The key that was meant by one that is not known: misspelt, in other words, or with no space or colon."""
    if found := None if key.quoted else _COLON_INSIDE.match(key.text):
        return found[1] if found[1] in record.index else None
    first = _FIRST_WORD.split(key.text, maxsplit=1)[0]
    return first if first in record.index else nearest(key.text, record.index)


def unknown_key(key: Scalar, value: Node, record: Record, near: str | None) -> Fault:
    """`near`: the key that was meant."""
    if better := colon_without_space(key):
        return key_without_space(key, better)
    if nothing_told(key, value):
        return key_without_colon(key, near)
    hint = f"did you mean '{near}'?" if near else suggest(key.text, record.index, "its keys are", search=False)
    return fault_at(key, f"'{short(key.text)}' is not a key of {record.name}", hint)


def nothing_told(key: Scalar, value: Node) -> bool:
    """Whether no colon stands behind the key, as may be between braces."""
    if not isinstance(value, Scalar) or value.text or value.quoted or key.quoted:
        return False
    return not key.source.line(key.line)[key.column - 1 + len(key.text) :].lstrip(" ").startswith(":")


def key_without_colon(key: Scalar, near: str | None) -> Fault:
    rest = _FIRST_WORD.split(key.text, maxsplit=1)[-1] if near else ""
    better = f"write {near}: {short(rest)}; " if near and rest else ""
    return fault_at(
        key,
        f"no colon stands in '{short(key.text)}'",
        f"{better}between braces each entry is a name, a colon, a space, and what it is; a list of several stands in "
        "brackets: [90 m, 60 m]",
    )


def missing_key(node: Node, missing: Field, record: Record) -> Fault:
    return fault_at(node, f"{record.name} needs '{missing.name}': {missing.about}", f"for example: {record.example}")


def kind_of(node: Node) -> str:
    if isinstance(node, Mapping):
        return "a group of keys"
    return "a list" if isinstance(node, Sequence) else "a single text"


def not_a_record(node: Node, record: Record) -> Fault:
    if isinstance(node, Scalar) and not node.text:
        return nothing_written(node, record.name)
    return fault_at(
        node, f"{record.name} is written as keys and values; this is {kind_of(node)}", f"for example: {record.example}"
    )


def not_entries(node: Node, name: str) -> Fault:
    if isinstance(node, Scalar) and not node.text:
        return nothing_written(node, name)
    return fault_at(
        node,
        f"{name}, each under its own name, should stand here; this is {kind_of(node)}",
        "write each as a name, a colon, and what it is",
    )


def not_one_value(node: Node, name: str) -> Fault:
    return fault_at(
        node,
        f"{name} should stand here; this is {kind_of(node)}",
        "write one value, with no brackets and no keys under it",
    )


def not_a_list(node: Node, name: str) -> Fault:
    return fault_at(
        node,
        f"a list should stand here, each entry {name}; this is {kind_of(node)}",
        "write it in brackets, [one, two], or one a line, each behind '- '",
    )


def empty_list(node: Node, name: str) -> Fault:
    return fault_at(node, f"this list is empty; it should hold {name}", "fill it, or leave the key out")


def nothing_written(node: Scalar, name: str) -> Fault:
    """A '#' behind the key is told apart: it begins a comment, so that what follows it is not read."""
    after = node.source.line(node.line)[node.column - 1 :].lstrip(": ")
    if after.startswith("#"):
        text = after.rstrip()
        return fault_at(
            node,
            f"'#' begins a comment, so nothing is left here; {name} should stand here",
            f'put it in quotes: "{short(text.strip(_QUOTES))}"',
        )
    return fault_at(node, f"nothing is written here; {name} should stand here", "write it behind the colon")


def null_as_text(node: Scalar) -> Fault:
    return fault_at(
        node,
        f"'{node.text}' means 'nothing' in files like this one",
        f'if it is the name, put it in quotes: "{node.text}"; else leave the key out',
    )


def text_too_long(node: Node, length: int) -> Fault:
    return fault_at(node, f"this text has {length:,} characters; at most 200 are kept", "shorten it")


def text_of_many_lines(node: Node) -> Fault:
    return fault_at(node, "this text runs over a line end or holds a tab", "write it in one line")


def bad_value(node: Node, error: ValueError, name: str) -> Fault:
    if isinstance(node, Scalar) and in_curly(node):
        return fault_at(node, str(error), f"use straight quotes, or none: {short(node.text.strip(CURLY))}")
    return fault_at(node, str(error), getattr(error, "hint", "") or f"write {name}")


def in_curly(node: Node) -> bool:
    """Whether curly quotes became part of a text."""
    return isinstance(node, Scalar) and not node.quoted and node.text.startswith(tuple(CURLY))


def not_a_choice(node: Node, text: str, name: str, words: tuple[str, ...]) -> Fault:
    near = nearest(text, words)
    tail = f"did you mean '{near}'? " if near else ""
    otherwise = f"write one of: {name_some(words)}" if len(words) > 1 else f"write '{words[0]}', or leave the key out"
    return fault_at(node, f"'{short(text)}' is not {name}", f"{tail}{otherwise}")


def not_above_zero(node: Node) -> Fault:
    return fault_at(node, "this must be above 0", "measure it again, or leave it out")


def out_of_bounds(node: Node, name: str, bounds: str) -> Fault:
    return fault_at(node, f"{name} must lie {bounds}", "write one that does; look for a digit or a unit too many")


def not_whole(node: Node, name: str, bounds: str) -> Fault:
    return fault_at(node, f"{name} is a whole number {bounds}", "write plain digits, such as 3")


def bad_id(key: Node, text: str, what: str) -> Fault:
    message = f"'{short(text)}' cannot be the name of a {what}"
    if any(unicodedata.category(sign) in {"Zs", "Cf"} and sign != " " for sign in text):
        return fault_at(
            key, message, "a space or sign that does not show stands in it: delete it all and type it again"
        )
    return fault_at(
        key,
        message,
        "a name is plain letters, digits, '-' and '_', at most 64, a letter or digit first, such as slate-1",
    )
