"""What may be wrong in a list of projects beyond single fields: one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stash.nearest import suggest
from stash.nodes import Node, Scalar, fault_at, short

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stash.faults import Fault


def unknown_pattern(node: Scalar, patterns: Iterable[str], *, search: bool = True) -> Fault:
    hint = suggest(node.text, patterns, "the patterns are", search=search)
    return fault_at(node, f"there is no pattern '{short(node.text)}'", hint)


def unknown_size(node: Scalar, pattern: str, sizes: Iterable[str]) -> Fault:
    message = f"pattern '{pattern}' has no size '{short(node.text)}'"
    return fault_at(node, message, suggest(node.text, sizes, "its sizes are"))


def unknown_need(key: Scalar, pattern: str, needs: Iterable[str]) -> Fault:
    message = f"pattern '{pattern}' has no need '{short(key.text)}'"
    return fault_at(key, message, suggest(key.text, needs, "its needs are"))


def unknown_lot(node: Scalar, lots: Iterable[str], *, search: bool = True) -> Fault:
    hint = suggest(node.text, lots, "the lots are", search=search)
    return fault_at(node, f"there is no lot '{short(node.text)}'", hint)


def only_and_without(node: Node, lot: str) -> Fault:
    return fault_at(node, f"lot '{short(lot)}' stands under both 'only' and 'without'", "keep it under one of the two")


def size_in_list_twice(node: Scalar) -> Fault:
    return fault_at(node, f"size '{short(node.text)}' is asked twice in this list", "write each size once")


def id_is_a_pattern(node: Scalar) -> Fault:
    return fault_at(
        node, f"'{short(node.text)}' is the name of a pattern already", "give the project a name of its own"
    )


def id_twice(node: Scalar, first: Scalar) -> Fault:
    return fault_at(
        node,
        f"the name '{short(node.text)}' is taken already, by another project in line {first.line}",
        "give one of them another name; names that differ only in capitals count as one",
    )


def size_asked_twice(node: Node, pattern: str, size: str, first: Node) -> Fault:
    return fault_at(
        node,
        f"pattern '{pattern}' in size '{short(size)}' is asked twice: in line {first.line} and in line {node.line}",
        "give all but one of them an 'id', or write copies: 2 for two alike",
    )


def name_twice(node: Node, name: str, first: Node) -> Fault:
    return fault_at(
        node,
        f"two projects would go by the name '{short(name)}': in line {first.line} and in line {node.line}",
        "give one of them an 'id'",
    )
