"""Finding out what was meant where a file cannot be read as YAML, from the line the parser stopped at."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from stash import linefaults as wrong
from stash.yamlfaults import looks_like_a_table, unreadable

if TYPE_CHECKING:
    import yaml

    from stash.faults import Fault
    from stash.nodes import Source

_NO_SPACE = re.compile(r"^(\s*(?:- )?)([A-Za-z][\w-]*):(?!//)(\S.*)$")
_KEY_AND_TEXT = re.compile(r"^(\s*(?:- )?[^:#'\"{\[]+: +)(.*?)(\s+#.*)?$")
_PAIRS = re.compile(r"\(?((?:[A-Za-z][\w-]*: [^,:()]+)(?:, [A-Za-z][\w-]*: [^,:()]+)+)\)?")
_BULLET = re.compile(r"^(\s*)(?:([*•·–—])\s+|-(?=[^\s-]))(.*)$")
_NAME_AND_BRACKET = re.compile(r"^(\s*(?:- )?)([A-Za-z][\w-]*) ([{\[].*)$")
_ODD_SPACE = re.compile(r"^ *([\xa0\u2000-\u200a\u202f\u205f\u3000])|\w:([\xa0\u2000-\u200a\u202f\u205f\u3000])")
_QUOTE_IN_QUOTES = re.compile(r"(?:: |- |[{\[,]\s*)('[^']*'\w[^']*'?)")
_TEXT_AFTER_QUOTE = re.compile(r"(?:: |- |[{\[,]\s*)((\"|')[^\"']*\2\s*[^\s,}\]#][^,}\]#]*)")
_LONG_NAME = re.compile(r"\s*(?:- )?([^\s:][^:]{1024,}):(?:\s|$)")
_BEGINS_WITH_MEANING = re.compile(r"(?:(?:: |- |[{\[,]\s*|^)(?=[@`%*&!|>?\]},])|: +(?=- ))(.*)$")


def unparsable(source: Source, error: yaml.YAMLError) -> Fault:
    """Find out, from the line the parser stopped at and those before it, what was meant; tell the first that fits."""
    spot = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if spot is None:
        return unreadable(source)
    start = getattr(error, "context_mark", None) or spot
    at, begun = _inside(source, spot), _inside(source, start)
    context = f"{getattr(error, 'context', '')}"
    for fault in (
        _table(source),
        _long_name(source, at, begun),
        _tab(source, at),
        _odd_space(source, at, begun),
        _no_space(source, at, begun),
        _quotes(source, at, begun, context),
        _meaning(source, at, begun),
        _colon_in_text(source, at),
        _list_mark(source, at, begun),
        _name_and_bracket(source, at),
        _brackets(source, at, begun, context),
        _no_colon(source, at, begun),
    ):
        if fault is not None:
            return fault
    return wrong.wrong_indent(source, at[0], _line_left(source, at[0]))


def _inside(source: Source, mark: yaml.Mark) -> tuple[int, int]:
    """Line and column of a mark; one behind the end of the file is moved to its last line's end."""
    last = _line_before(source, len(source.lines) + 1) or 1
    line = mark.line + 1
    return (line, mark.column + 1) if line <= last else (last, len(source.line(last).rstrip()) + 1)


def _line_before(source: Source, line: int) -> int:
    """The nearest earlier line that holds more than a comment; 0 when there is none."""
    for number in range(line - 1, 0, -1):
        if (text := source.line(number).strip()) and not text.startswith("#"):
            return number
    return 0


def _line_beside(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> int:
    """The nearest earlier line that starts where the entries begun there start, else the line before."""
    for number in range(at[0] - 1, begun[0] - 1, -1):
        line = source.line(number)
        if line.strip() and not line.lstrip().startswith("#") and _column(line) == begun[1]:
            return number
    return _line_before(source, at[0])


def _line_left(source: Source, line: int) -> int:
    """Of the entries that line leaves, by starting further left, the outermost; else the line before."""
    here = _column(source.line(line))
    found = before = _line_before(source, line)
    least = _column(source.line(before))
    while before > 0 and least > here:
        before = _line_before(source, before)
        if here < (column := _column(source.line(before))) < least:
            found = before
        least = min(least, column)
    return found


def _column(line: str) -> int:
    return len(line) - len(line.lstrip()) + 1


def _table(source: Source) -> Fault | None:
    return looks_like_a_table(source) if is_table(source.text) else None


def is_table(text: str) -> bool:
    """Whether the first two lines look like rows of a spreadsheet: as many commas, semicolons or tabs, two or more."""
    rows = [row for row in text.splitlines()[:10] if row.strip() and not row.startswith("#")][:2]
    return any(
        len(rows) == 2
        and rows[0].count(mark) == rows[1].count(mark) >= 2
        and ": " not in rows[0]
        and rows[0][:1] not in "[{"
        for mark in ",;\t"
    )


def _tab(source: Source, at: tuple[int, int]) -> Fault | None:
    line = source.line(at[0])
    indent = line[: len(line) - len(line.lstrip())]
    return wrong.tab_indent(source, at[0], indent.index("\t") + 1) if "\t" in indent else None


def _odd_space(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number in range(min(at[0], begun[0], _line_before(source, at[0])), at[0] + 1):
        if found := _ODD_SPACE.search(source.line(number)):
            place = found.start(1) if found[1] else found.start(2)
            return wrong.odd_space(source, number, place + 1, found[1] or found[2])
    return None


def _no_space(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number in (at[0], begun[0], _line_before(source, at[0])):
        if found := _NO_SPACE.match(source.line(number)):
            return wrong.no_space_after_colon(source, number, len(found[1] + found[2]) + 2, f"{found[2]}: {found[3]}")
    return None


def _quotes(source: Source, at: tuple[int, int], begun: tuple[int, int], context: str) -> Fault | None:
    if "quoted scalar" in context and "\\" in source.line(at[0])[at[1] - 1 :][:2]:
        return wrong.backslash_in_quotes(source, *at)
    if "quoted scalar" in context:
        return wrong.quote_not_closed(source, *begun)
    line = source.line(at[0])
    if found := _QUOTE_IN_QUOTES.search(line):
        return wrong.quote_in_quotes(source, at[0], found.start(1) + 1, found[1].strip("'"))
    if found := _TEXT_AFTER_QUOTE.search(line):
        return wrong.text_after_quote(source, at[0], found.start(1) + 1, found[1].strip())
    return None


def _long_name(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    """The parser gives up on a name of more than 1024 characters (YAML 1.2, 7.4.2)."""
    for line, _ in (at, begun):
        if found := _LONG_NAME.match(source.line(line)):
            return wrong.long_name(source, line, found.start(1) + 1, len(found[1]))
    return None


def _meaning(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number, column in (at, begun):
        for found in _BEGINS_WITH_MEANING.finditer(source.line(number)):
            if found.start(1) + 1 <= column <= found.end(1) + 1 and number == at[0]:
                return wrong.begins_with_meaning(source, number, found.start(1) + 1, found[1])
    return None


def _colon_in_text(source: Source, at: tuple[int, int]) -> Fault | None:
    found = _KEY_AND_TEXT.match(source.line(at[0]))
    if found is None or found[2].startswith(("{", "[")) or not re.search(r":(\s|$)", found[2]):
        return None
    key = found[1].strip()
    if pairs := _PAIRS.fullmatch(found[2]):
        return wrong.pairs_without_braces(source, at[0], len(found[1]) + 1, f"{key} {{{pairs[1]}}}")
    if key.startswith("- ") and (pairs := _PAIRS.fullmatch(f"{key[2:]} {found[2]}")):
        return wrong.pairs_without_braces(source, at[0], _column(found[0]) + 2, f"- {{{pairs[1]}}}")
    return wrong.colon_in_text(source, at[0], len(found[1]) + 1, f'{key} "{found[2]}"')


def _list_mark(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    """A mark of another kind than '- ', or one that the entries beside it do not have, or have alone."""
    line = source.line(at[0])
    if found := _BULLET.match(line):
        return wrong.other_list_mark(source, at[0], len(found[1]) + 1, found[2] or "-", f"- {found[3]}")
    beside = _line_beside(source, at, begun)
    other = source.line(beside)
    alike = line.lstrip().startswith("- ") == other.lstrip().startswith("- ")
    return None if alike or _column(line) != _column(other) else wrong.list_mark_missing(source, at[0], beside)


def _name_and_bracket(source: Source, at: tuple[int, int]) -> Fault | None:
    found = _NAME_AND_BRACKET.match(source.line(at[0]))
    if found is None:
        return None
    column = len(found[1]) + len(found[2]) + 1
    return wrong.colon_before_bracket(source, at[0], column, f"{found[2]}: {found[3]}")


def _brackets(source: Source, at: tuple[int, int], begun: tuple[int, int], context: str) -> Fault | None:
    if "flow" not in context:
        return None
    if source.line(begun[0])[begun[1] - 1 : begun[1]] not in {"{", "["}:  # a bracket nothing follows
        begun = _last_bracket(source, at)
    open_to_the_end = at[0] != begun[0] or not source.line(at[0])[at[1] - 1 :].strip()
    return wrong.bracket_not_closed(source, *begun) if open_to_the_end else wrong.comma_missing(source, *at)


def _last_bracket(source: Source, at: tuple[int, int]) -> tuple[int, int]:
    above = ((number, source.line(number)) for number in range(at[0], 0, -1))
    ends = ((number, max(line.rfind("{"), line.rfind("["))) for number, line in above)
    return next(((number, column + 1) for number, column in ends if column >= 0), at)


def _no_colon(source: Source, at: tuple[int, int], begun: tuple[int, int]) -> Fault | None:
    for number in (begun[0], _line_before(source, at[0])):
        text = source.line(number).split(" #")[0].strip()
        if text == "..." and number < at[0]:
            return wrong.end_mark(source, number)
        if (
            text
            and number < at[0]
            and not re.search(r":(\s|$)", text)
            and not text.startswith(("- ", "-", "#", "---", "{", "["))
        ):
            return wrong.no_colon(source, number, text)
    return None
