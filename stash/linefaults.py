"""What may be wrong in the line at which a file cannot be read on: one function a fault."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from stash.nodes import Source, short
from stash.yamlfaults import DEMO

if TYPE_CHECKING:
    from stash.faults import Fault


def tab_indent(source: Source, line: int, column: int) -> Fault:
    return source.fault(
        line,
        column,
        f"line {line} starts with a tab; YAML wants spaces",
        "replace the tab by spaces, as many as the lines beside it have",
    )


def no_space_after_colon(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(line, column, "a space is missing after the colon", f"write {short(better)}")


def backslash_in_quotes(source: Source, line: int, column: int) -> Fault:
    return source.fault(
        line,
        column,
        "a backslash has a meaning of its own inside double quotes",
        "write two, \\\\, or use single quotes",
    )


def quote_not_closed(source: Source, line: int, column: int) -> Fault:
    return source.fault(line, column, "this quote is never closed", "put the same quote at the end of the text")


def quote_in_quotes(source: Source, line: int, column: int, inner: str) -> Fault:
    return source.fault(
        line,
        column,
        "the single quote inside the text ends it too early",
        f'use double quotes round it: "{short(inner)}"; or write it twice inside',
    )


def text_after_quote(source: Source, line: int, column: int, whole: str) -> Fault:
    inner = whole.replace('"', "'")
    return source.fault(
        line, column, "something stands after the closing quote", f'put the whole text in quotes: "{short(inner)}"'
    )


def begins_with_meaning(source: Source, line: int, column: int, text: str) -> Fault:
    return source.fault(
        line,
        column,
        f"a text that begins with '{text[0]}' has a meaning of its own here",
        f'put it in quotes: "{short(_up_to_bracket(source, line, column, text).rstrip())}"',
    )


def _up_to_bracket(source: Source, line: int, column: int, text: str) -> str:
    """The text, without what closes a bracket that was opened before it in its line."""
    opened = {sign for sign in source.line(line)[: column - 1] if sign in "{["}
    return text[0] + re.split(r"[,}\]]", text[1:], maxsplit=1)[0] if opened else text


def long_name(source: Source, line: int, column: int, length: int) -> Fault:
    return source.fault(line, column, f"this name has {length:,} characters; at most 200 are read", "shorten it")


def colon_in_text(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(
        line, column, "a text that holds a colon and a space needs quotes", f"write {short(better, 80)}"
    )


def pairs_without_braces(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(
        line,
        column,
        "several keys in one line need braces round them",
        f"write {short(better, 80)}, or each on a line of its own",
    )


def other_list_mark(source: Source, line: int, column: int, mark: str, better: str) -> Fault:
    message = "a space is missing behind the '-'" if mark == "-" else f"'{mark}' does not begin the entry of a list"
    return source.fault(line, column, message, f"write {short(better, 80)}")


def list_mark_missing(source: Source, line: int, other: int) -> Fault:
    own, before = source.line(line).lstrip(), source.line(other).strip()
    begins, does = ("begins", "does not") if own.startswith("- ") else ("does not begin", "does")
    return source.fault(
        line,
        len(source.line(line)) - len(own) + 1,
        f"line {line} {begins} with '- ', but line {other} above it ('{short(before)}') {does}",
        "entries of a list all begin with '- '; entries that each have a name have no '- ' before it",
    )


def colon_before_bracket(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(line, column, "no colon stands between the name and the bracket", f"write {short(better, 80)}")


def odd_space(source: Source, line: int, column: int, space: str) -> Fault:
    return source.fault(
        line,
        column,
        f"this space is not a plain one (U+{ord(space):04X}), so it does not count as a space",
        "delete it and type a plain space; it often comes with text copied from a page or a phone",
    )


def end_mark(source: Source, line: int) -> Fault:
    return source.fault(line, 1, "'...' ends a file; what follows is not read", "delete this line")


def bracket_not_closed(source: Source, line: int, column: int) -> Fault:
    bracket = source.line(line)[column - 1 : column]
    other = {"{": "}", "[": "]"}.get(bracket, "}")
    return source.fault(
        line,
        column,
        f"this '{bracket}' is not closed, or a comma is missing behind it",
        f"put a '{other}' where its list ends",
    )


def comma_missing(source: Source, line: int, column: int) -> Fault:
    return source.fault(
        line,
        column,
        "a comma is missing before this, or a closing bracket",
        "put a comma between two entries: {mass: 96 g, pieces: 3}",
    )


def no_colon(source: Source, line: int, text: str) -> Fault:
    own = source.line(line)
    return source.fault(
        line,
        len(own) - len(own.lstrip()) + 1,
        f"no colon stands in this line: '{short(text)}'",
        "write a name, a colon, a space, and what it is: mass: 118 g",
    )


def wrong_indent(source: Source, line: int, other: int) -> Fault:
    """Both lines are shown with the columns they start at."""
    own, before = source.line(line), source.line(other)
    if not other:
        return source.fault(line, 1, "this cannot be read", f"compare it with a file that '{DEMO}' writes")
    here, there = len(own) - len(own.lstrip()) + 1, len(before) - len(before.lstrip()) + 1
    if here == there:
        hint = "look in both lines for a colon, a quote or a bracket that is missing, or one too many"
        return source.fault(
            line, here, f"line {line} cannot be read behind line {other} ('{short(before.strip())}')", hint
        )
    lower = f"line {line} does not fit the lines above: it starts at column {here}"
    return source.fault(
        line,
        here,
        f"{lower}, line {other} ('{short(before.strip())}') at column {there}",
        "entries that belong together start at the same column, with spaces in front",
    )
