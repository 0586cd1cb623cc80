"""Faults as text: place, message, the user's own line with a caret under the column, and a hint."""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stash.faults import Fault

MOST_SHOWN = 20
MOST_COLUMNS = 120  # of the user's own line
_ACTED_ON = {"Cc", "Cf", "Cs", "Zl", "Zp"}  # a terminal acts on these instead of showing them (CWE-150)
_JOINERS = "\u200c\u200d"  # they belong to some scripts' words and to emoji


def show_faults(faults: Sequence[Fault]) -> str:
    """The faults as text, the first 20 of them, then how many more there are; ends with a line end."""
    shown = [_show(fault) for fault in faults[:MOST_SHOWN]]
    if len(faults) > MOST_SHOWN:
        shown.append(f"and {len(faults) - MOST_SHOWN} more\n")
    return "\n".join(shown)


def safe_text(text: str) -> str:
    """Foreign text for a terminal: control and direction characters become visible, as escapes with a backslash."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_safe(character) for character in text)


def width(text: str) -> int:
    """Columns a text takes on a terminal: two for wide characters, none for combining marks."""
    return len(text) if text.isascii() else sum(_width(character) for character in text)


def _show(fault: Fault) -> str:
    place = fault.place
    word = "warning" if fault.warning else "error"
    lines = [f"{safe_text(place.file)}:{place.line}:{place.column}: {word}: {safe_text(fault.message)}"]
    if fault.own_line.strip():
        own, caret = _excerpt(fault.own_line, place.column)
        lines += [f"    {own}", f"    {' ' * caret}^"]
    hint = "\n      ".join(safe_text(line) for line in fault.hint.split("\n"))
    return "\n".join([*lines, "", f"hint: {hint}", ""])


def _excerpt(own_line: str, column: int) -> tuple[str, int]:
    """The line, at most 120 columns of it round the fault, and how far from its left the caret stands."""
    at = min(column - 1, len(own_line))
    first, before = at, 0
    while first > 0 and before < MOST_COLUMNS // 2:
        first -= 1
        before += width(_safe(own_line[first]))
    last, whole = at, before
    while last < len(own_line) and whole < MOST_COLUMNS - 4:
        whole += width(_safe(own_line[last]))
        last += 1
    left, right = "…" if first else "", "…" if last < len(own_line.rstrip()) else ""
    return (left + safe_text(own_line[first:last]).rstrip() + right, before + len(left))


def _safe(character: str) -> str:
    if unicodedata.category(character) not in _ACTED_ON or character in _JOINERS:
        return character
    if character == "\t":
        return "\\t"
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _width(character: str) -> int:
    if unicodedata.combining(character) or character in _JOINERS or unicodedata.category(character) == "Me":
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
