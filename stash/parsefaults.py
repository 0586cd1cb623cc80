"""What may be wrong with a file as YAML: one function a fault, and the one that finds out which it is."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from stash.nodes import Node, Scalar, Source, fault_at, short, warning_at

if TYPE_CHECKING:
    import yaml

    from stash.faults import Fault

DEMO = "lotwise demo"
_NO_SPACE = re.compile(r"^(\s*(?:- )?)([A-Za-z][\w-]*):(?!//)(\S.*)$")
_KEY_AND_TEXT = re.compile(r"^(\s*(?:- )?[^:#'\"{\[]+: )(.*?)(\s+#.*)?$")
_QUOTE_IN_QUOTES = re.compile(r"(?:: |- |[{\[,]\s*)('[^']*'\w[^']*'?)")
_TEXT_AFTER_QUOTE = re.compile(r"(?:: |- |[{\[,]\s*)((\"|')[^\"']*\2\s*[^\s,}\]#][^,}\]#]*)")
_BEGINS_WITH_MEANING = re.compile(r"(?:: |- |[{\[,]\s*|^)([@`%*&!|>?\]},].*)$")


def at_event(source: Source, event: yaml.Event, message: str, hint: str) -> Fault:
    return source.fault(event.start_mark.line + 1, event.start_mark.column + 1, message, hint)


def alias(source: Source, event: yaml.Event) -> Fault:
    return at_event(
        source,
        event,
        f"a text that begins with '*' has a meaning of its own here: '*{short(event.anchor)}'",
        f'put it in quotes if it is the text you mean: "*{short(event.anchor)}"; else copy the lines it stands for',
    )


def anchor(source: Source, event: yaml.Event) -> Fault:
    return at_event(
        source,
        event,
        f"a text that begins with '&' has a meaning of its own here: '&{short(event.anchor)}'",
        f'put it in quotes if it is the text you mean: "&{short(event.anchor)}"; else leave it out',
    )


def tag(source: Source, event: yaml.Event) -> Fault:
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


def second_document(source: Source, event: yaml.Event) -> Fault:
    return at_event(
        source,
        event,
        "a second document begins here; a file holds one",
        "delete this line, or move what follows to a file of its own",
    )


def too_deep(source: Source, event: yaml.Event, most: int) -> Fault:
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


def unparsable(source: Source, error: yaml.YAMLError) -> Fault:
    """Find out, from the line the parser stopped at and those before it, what was meant; the first that fits is told."""
    spot = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if spot is None:
        return unreadable(source)
    start = getattr(error, "context_mark", None) or spot
    at, begun = (spot.line + 1, spot.column + 1), (start.line + 1, start.column + 1)
    context = f"{getattr(error, 'context', '')}"
    for fault in (
        _table(source),
        _tab(source, at),
        _no_space(source, at, begun),
        _quotes(source, at, begun, context),
        _meaning(source, at, begun),
        _colon_in_text(source, at),
        _brackets(source, at, begun, context),
        _no_colon(source, at, begun),
    ):
        if fault is not None:
            return fault
    return wrong_indent(source, at[0], _line_before(source, at[0]))


def _line_before(source: Source, line: int) -> int:
    """The nearest earlier line that holds more than a comment; 0 when there is none."""
    for number in range(line - 1, 0, -1):
        if (text := source.line(number).strip()) and not text.startswith("#"):
            return number
    return 0


def _table(source: Source) -> Fault | None:
    return looks_like_a_table(source) if is_table(source.text) else None


def is_table(text: str) -> bool:
    """Whether the first two lines look like rows of a spreadsheet: the same two or more commas, semicolons or tabs, no colon."""
    rows = [row for row in text.splitlines()[:10] if row.strip()][:2]
    return any(
        len(rows) == 2
        and rows[0].count(mark) == rows[1].count(mark) >= 2
        and ": " not in rows[0]
        and rows[0][:1] not in "[{"
        for mark in ",;\t"
    )


def looks_like_a_table(source: Source) -> Fault:
    return source.fault(
        1,
        1,
        "this looks like a table from a spreadsheet",
        "a stash is written as keys and values, one a line; compare with a file that 'lotwise demo' writes",
    )


def _tab(source: Source, at: tuple[int, int]) -> Fault | None:
    line = source.line(at[0])
    indent = line[: len(line) - len(line.lstrip())]
    return tab_indent(source, at[0], indent.index("\t") + 1) if "\t" in indent else None


def tab_indent(source: Source, line: int, column: int) -> Fault:
    return source.fault(
        line,
        column,
        f"line {line} starts with a tab; YAML wants spaces",
        "replace the tab by spaces, as many as the lines beside it have",
    )


def _no_space(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number in (at[0], begun[0], _line_before(source, at[0])):
        if found := _NO_SPACE.match(source.line(number)):
            return no_space_after_colon(source, number, len(found[1] + found[2]) + 2, f"{found[2]}: {found[3]}")
    return None


def no_space_after_colon(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(line, column, "a space is missing after the colon", f"write {short(better)}")


def _quotes(source: Source, at: tuple[int, int], begun: tuple[int, int], context: str) -> Fault | None:
    if "quoted scalar" in context and "\\" in source.line(at[0])[at[1] - 1 :][:2]:
        return backslash_in_quotes(source, *at)
    if "quoted scalar" in context:
        return quote_not_closed(source, *begun)
    line = source.line(at[0])
    if found := _QUOTE_IN_QUOTES.search(line):
        return quote_in_quotes(source, at[0], found.start(1) + 1, found[1].strip("'"))
    if found := _TEXT_AFTER_QUOTE.search(line):
        return text_after_quote(source, at[0], found.start(1) + 1, found[1].strip())
    return None


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


def _meaning(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number, column in (at, begun):
        for found in _BEGINS_WITH_MEANING.finditer(source.line(number)):
            if found.start(1) + 1 <= column <= found.end(1) + 1 and number == at[0]:
                return begins_with_meaning(source, number, found.start(1) + 1, found[1])
    return None


def begins_with_meaning(source: Source, line: int, column: int, text: str) -> Fault:
    return source.fault(
        line,
        column,
        f"a text that begins with '{text[0]}' has a meaning of its own here",
        f'put it in quotes: "{short(text.rstrip())}"',
    )


def _colon_in_text(source: Source, at: tuple[int, int]) -> Fault | None:
    found = _KEY_AND_TEXT.match(source.line(at[0]))
    if found is None or not re.search(r":(\s|$)", found[2]):
        return None
    return colon_in_text(source, at[0], len(found[1]) + 1, f'{found[1].strip()} "{found[2]}"')


def colon_in_text(source: Source, line: int, column: int, better: str) -> Fault:
    return source.fault(
        line, column, "a text that holds a colon and a space needs quotes", f"write {short(better, 80)}"
    )


def _brackets(source: Source, at: tuple[int, int], begun: tuple[int, int], context: str) -> Fault | None:
    if "flow" not in context:
        return None
    return bracket_not_closed(source, *begun) if at[0] != begun[0] else comma_missing(source, *at)


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


def _no_colon(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number in (begun[0], _line_before(source, at[0])):
        text = source.line(number).split(" #")[0].strip()
        if (
            text
            and number < at[0]
            and not re.search(r":(\s|$)", text)
            and not text.startswith(("- ", "-", "#", "---", "{", "["))
        ):
            return no_colon(source, number, text)
    return None


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
    return source.fault(
        line,
        here,
        f"line {line} does not fit the lines above: it starts at column {here}, line {other} ('{short(before.strip())}') at column {there}",
        "entries that belong together start at the same column, with spaces in front",
    )
