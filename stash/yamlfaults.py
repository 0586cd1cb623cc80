"""What may be wrong with a file as YAML: one function a fault."""

from __future__ import annotations

import re
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


def keys_twice(keys: list[Scalar], first: Scalar) -> Fault:
    names = ", ".join(f"'{short(key.text)}'" for key in keys[:6]) + (" and more" if len(keys) > 6 else "")
    return fault_at(
        keys[0],
        f"{names} are written twice here: first from line {first.line}, again from line {keys[0].line}",
        "the name of what begins here may be missing in the line above; else keep one of each two",
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


def quote_closed_late(source: Source, event: Event) -> Fault:
    return at_event(
        source,
        event,
        f"this quote is closed only in line {event.end_mark.line + 1}, so that the lines between are its text",
        "put the same quote at the end of the text, in this line",
    )


def _pointed(whole: str, decimals: str) -> str:
    """A number that a comma cut in two, with a point; of comma and point in one number the last parts the decimals."""
    return whole + decimals if "." in decimals else f"{whole.replace('.', '')}.{decimals}"


def decimal_comma(first: Node, then: Node, *, listed: bool = False) -> Fault:
    """`first` and `then` are the number's two halves, `listed` in a list, where they may be two entries after all."""
    halves = [getattr(half, "text", "") for half in (first, then)]
    otherwise = "; or a space behind the comma" if listed else ""
    if re.fullmatch(r"[0-9]{3}( .*)?", halves[1]):
        otherwise = f", or {short(''.join(halves))} if thousands were meant" + otherwise
    return fault_at(
        first,
        f"a comma begins a new entry here, so '{short(','.join(halves))}' falls into two",
        f"write a point before decimals: {short(_pointed(*halves))}{otherwise}",
    )
