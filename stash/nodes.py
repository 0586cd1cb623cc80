"""What a YAML file becomes before its fields are typed: text, maps and lists that know their place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from stash.faults import Fault, Place

LINE_BREAK = re.compile("\r\n|\r|\n")


@dataclass(frozen=True)
class Source:
    """One file's text; `file` is its name as shown to the user."""

    file: str
    text: str

    @cached_property
    def lines(self) -> list[str]:
        return LINE_BREAK.split(self.text)

    def line(self, number: int) -> str:
        """The line with this number, counted from 1; empty beyond the end."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""

    def fault(self, line: int, column: int, message: str, hint: str) -> Fault:
        return Fault(Place(self.file, line, column), message, hint, self.line(line))

    def warning(self, line: int, column: int, message: str, hint: str) -> Fault:
        return Fault(Place(self.file, line, column), message, hint, self.line(line), warning=True)


class Scalar(NamedTuple):
    """A stretch of text; `quoted` unless it was written bare. Lines and columns count from 1."""

    text: str
    quoted: bool
    source: Source
    line: int
    column: int


class Mapping(NamedTuple):
    """Keys and what stands under them, in file order; each key once."""

    items: tuple[tuple[Scalar, Node], ...]
    source: Source
    line: int
    column: int


class Sequence(NamedTuple):
    """A list, in file order."""

    items: tuple[Node, ...]
    source: Source
    line: int
    column: int


class Unread(NamedTuple):
    """Stands where something was refused already, so that it is not refused twice."""

    source: Source
    line: int
    column: int


Node = Scalar | Mapping | Sequence | Unread


def place_of(node: Node) -> Place:
    return Place(node.source.file, node.line, node.column)


def fault_at(node: Node, message: str, hint: str) -> Fault:
    return node.source.fault(node.line, node.column, message, hint)


def warning_at(node: Node, message: str, hint: str) -> Fault:
    return node.source.warning(node.line, node.column, message, hint)


def is_decimals(first: Node, then: Node) -> bool:
    """Whether between brackets a number written with a decimal comma, '12,4 m', fell into two: '12' and '4 m'."""
    if not isinstance(first, Scalar) or not isinstance(then, Scalar) or first.quoted or then.quoted:
        return False
    close = first.line == then.line and first.column + len(first.text) + 1 == then.column
    return close and first.text[-1:].isdigit() and then.text[:1].isdigit()


def short(text: str, most: int = 40) -> str:
    """The text, cut to `most` characters, for use inside a message."""
    return text if len(text) <= most else text[: most - 1] + "…"
