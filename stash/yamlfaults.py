"""What may be wrong with a file as YAML: one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stash.nodes import Node, Scalar, Source, fault_at, short, warning_at

if TYPE_CHECKING:
    from stash.faults import Fault

Event = Any  # an event of the parser: where it starts, and the marks it carries
DEMO = "lotwise demo"


def at_event(source: Source, event: Event, message: str, hint: str) -> Fault:
    return source.fault(event.start_mark.line + 1, event.start_mark.column + 1, message, hint)


def alias(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        f"a text that begins with '*' has a meaning of its own here: '*{short(event.anchor)}'",
        f'put it in quotes if it is the text you mean: "*{short(event.anchor)}"; else copy the lines it stands for',
    )


def anchor(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        f"a text that begins with '&' has a meaning of its own here: '&{short(event.anchor)}'",
        f'put it in quotes if it is the text you mean: "&{short(event.anchor)}"; else leave it out',
    )


def tag(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        "a text that begins with '!' has a meaning of its own here",
        "put it in quotes if it is the text you mean; else leave the word with the '!' out",
    )


def merge_key(key: Scalar) -> Fault:
    return fault_at(key, "'<<' (take over the keys of another place) is not read here", "copy the lines it stands for")


def key_twice(key: Scalar, first: Scalar) -> Fault:
    return fault_at(
        key,
        f"'{short(key.text)}' is written twice here: first in line {first.line}, again in line {key.line}",
        "keep one of the two, or give one of them another name",
    )


def key_is_not_text(key: Node) -> Fault:
    return fault_at(key, "a list or a group of keys cannot be a name", "write a plain word before the colon")


def second_document(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        "a second document begins here; a file holds one",
        "delete this line, or move what follows to a file of its own",
    )


def too_deep(source: Source, event: Event, most: int) -> Fault:
    return at_event(
        source,
        event,
        f"this is nested more than {most} deep",
        "nothing here needs that: look for brackets or indents too many",
    )


def too_many_nodes(source: Source, node: Node, most: int) -> Fault:
    return source.fault(
        node.line,
        node.column,
        f"this file holds more than {most:,} entries",
        "split it into several files in the same folder",
    )


def hidden_in_text(node: Scalar) -> Fault:
    return fault_at(node, "this text holds a hidden character, written with a backslash", "write the text without it")


def bidi_in_text(node: Scalar) -> Fault:
    return warning_at(
        node,
        "this text holds a hidden sign that turns the direction of writing",
        "delete it if you did not mean it; it is shown as \\u202e and the like",
    )


def curly_quotes(node: Scalar) -> Fault:
    inner = node.text.strip("“”„‘’«»")
    return warning_at(
        node,
        "curly quotes are kept as part of the text",
        f'if they are not meant to show, use straight ones: "{short(inner)}"',
    )


def empty_file(source: Source) -> Fault:
    return source.fault(
        1,
        1,
        "this file is empty, or holds only comments",
        f"delete it, or fill it; '{DEMO}' writes a small workspace to look at",
    )


def unreadable(source: Source) -> Fault:
    return source.fault(1, 1, "this file cannot be read", f"compare it with a file that '{DEMO}' writes")


def looks_like_a_table(source: Source) -> Fault:
    return source.fault(
        1,
        1,
        "this looks like a table from a spreadsheet",
        "a stash is written as keys and values, one a line; compare with a file that 'lotwise demo' writes",
    )


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


def quote_closed_late(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        f"this quote is closed only in line {event.end_mark.line + 1}, so that the lines between are its text",
        "put the same quote at the end of the text, in this line",
    )


def decimal_comma(first: Node, then: Node, *, listed: bool = False) -> Fault:
    """`first` and `then` are the number's two halves, `listed` in a list, where they may be two entries after all."""
    halves = [getattr(half, "text", "") for half in (first, then)]
    otherwise = "; or a space behind the comma" if listed else ""
    return fault_at(
        first,
        f"a comma begins a new entry here, so '{short(','.join(halves))}' falls into two",
        f"write a point before decimals: {short('.'.join(halves))}{otherwise}",
    )


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
        f'put it in quotes: "{short(text.rstrip())}"',
    )


def colon_in_text(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(
        line, column, "a text that holds a colon and a space needs quotes", f"write {short(better, 80)}"
    )


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
    here, there = len(own) - len(own.lstrip()) + 1, len(before) - len(before.lstrip()) + 1
    lower = f"line {line} does not fit the lines above: it starts at column {here}"
    return source.fault(
        line,
        here,
        f"{lower}, line {other} ('{short(before.strip())}') at column {there}",
        "entries that belong together start at the same column, with spaces in front",
    )
