"""Forms: how values look as written, in the words of JSON Schema (draft 2020-12); for editors, which check as you type.

Nothing is read by them. Their patterns are made of the tables that the readers use, and keep to what Python's and
ECMA 262's regular expressions have in common.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from stash.units import LENGTH_UNITS, MASS_UNITS, NUMBER

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from fractions import Fraction

Form = dict[str, Any]

SHARE = rf"{NUMBER} *%"
SOME = "(?=[0.]*[1-9])"  # what follows is above 0
NOTHING: Form = {"enum": [None, ""]}
LIST: Form = {"type": "array"}
FULL_LIST: Form = {"type": "array", "minItems": 1}


def text_form(pattern: str) -> Form:
    """A text that `pattern` matches from end to end, spaces round it aside."""
    return {"type": "string", "pattern": f"^ *(?:{pattern}) *$"}


def free_form(pattern: str, **limits: int) -> Form:
    """Any text; editors take 12, no and 0.5 for something else, though here they are texts as all others."""
    return {"type": ["string", "number", "boolean"], "pattern": pattern, **limits}


def words_form(words: Iterable[str], gap: str = " +") -> Form:
    """One of some words, in capitals or not; the list of them is for editors to offer."""
    listed = list(words)
    return {"anyOf": [{"enum": listed}, text_form(one_of(listed, gap))]}


def choice_form(words: Iterable[str]) -> Form:
    """One of a few words, capitals minded; yes and no are what YAML 1.1 turns into true and false."""
    listed: list[Any] = list(words)
    return {"enum": listed + [value for word, value in (("yes", True), ("no", False)) if word in listed]}


def number_form(low: Fraction | None, high: Fraction) -> Form:
    """A plain number from `low` on, or above 0, as a number or as text."""
    least = {"exclusiveMinimum": 0} if low is None else {"minimum": _plain(low)}
    text = text_form(f"{SOME if low is None else ''}{NUMBER}")
    return {"anyOf": [{"type": "number", **least, "maximum": _plain(high)}, text]}


def signed_form(low: int, high: int) -> Form:
    return {"anyOf": [{"type": "number", "minimum": low, "maximum": high}, text_form(f"-?{NUMBER}")]}


def whole_form(low: int, high: int) -> Form:
    return {"anyOf": [{"type": "integer", "minimum": low, "maximum": high}, text_form(r"[0-9]+(?:\.0+)?")]}


def names_form(names: Mapping[str, Any]) -> Form:
    """Entries under names of the user's own; `names` says what a name may be."""
    return {"type": "object", "propertyNames": dict(names)}


def quantity(units: Iterable[str], *, some: bool = False) -> str:
    """A pattern for a number and a unit; with `some`, above zero."""
    return rf"{SOME if some else ''}{NUMBER}\s*(?:{'|'.join(units)})"


def any_case(word: str, gap: str = " +") -> str:
    """A pattern for a word whatever its capitals; `gap` stands for what may part two words of it."""
    return gap.join("".join(_sign(sign) for sign in part) for part in re.split("[ -]", word))


def one_of(words: Iterable[str], gap: str = " +") -> str:
    return "|".join(any_case(word, gap) for word in words)


def _sign(sign: str) -> str:
    if sign == "'":
        return "['’]"
    if sign.isalpha() and sign.lower() != sign.upper():
        return f"[{sign.lower()}{sign.upper()}]"
    return f"\\{sign}" if sign in ".*+?^${}()|[]\\/" else sign


def _plain(value: Fraction) -> int | float:
    return int(value) if value.denominator == 1 else float(value)


LENGTH = quantity(LENGTH_UNITS)
MASS = quantity(MASS_UNITS)
SOME_LENGTH = quantity(LENGTH_UNITS, some=True)
SOME_MASS = quantity(MASS_UNITS, some=True)
