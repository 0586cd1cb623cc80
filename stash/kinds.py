"""The kinds of value a stash or a pattern is written with: quantities, numbers, fibre, colour, names."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from stash import fieldfaults as wrong
from stash import forms, spellings
from stash.colour import Colour, colour_from_lab, read_colour
from stash.fibre import read_blend, read_fibre_or_family
from stash.fields import Field, Kind, Record, RefusedError, as_scalar, as_text, refuse, text_kind, value_kind
from stash.nodes import Mapping, Node, Scalar, Sequence, Unread, fault_at, is_decimals, short
from stash.stitches import STITCHES, read_stitch
from stash.units import LENGTH_UNITS, MASS_UNITS, Quantity, UnitError, read_length, read_mass, read_number, read_share
from stash.yamlfaults import decimal_comma

if TYPE_CHECKING:
    from collections.abc import Callable

    from stash.faults import Fault

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
DEVICES = re.compile(r"con|prn|aux|nul|com[0-9]|lpt[0-9]", re.IGNORECASE)  # no file may be called so on Windows
NAMES = forms.free_form(f"^{ID.pattern}$")
MOST_GRAMS = Fraction(100_000)
MOST_METRES = Fraction(1_000_000)

TEXT = text_kind("a short text")
NOTE = text_kind("a note")
BLEND = value_kind("a blend such as 80% wool, 20% polyamide", read_blend, spellings.BLEND)
STITCH = value_kind(f"a stitch: {', '.join(STITCHES)}", read_stitch, spellings.STITCH)
FIBRE = value_kind("a fibre or a family of fibres", read_fibre_or_family, spellings.FIBRE)


def _quantity_kind(
    name: str, convert: Callable[[str], Quantity], most: Fraction, bounds: str, form: str
) -> Kind[Quantity]:
    """A length or a mass, zero allowed; what no household holds is refused."""

    def weigh(text: str) -> tuple[Quantity, bool]:
        quantity = convert(text)
        return quantity, quantity.value > most

    plain = value_kind(name, weigh, forms.text_form(form))

    def read(node: Node, faults: list[Fault]) -> Quantity:
        quantity, too_much = plain.read(node, faults)
        if too_much:
            refuse(faults, wrong.out_of_bounds(node, "this", bounds))
        return quantity

    return Kind(name, read, form=plain.form)


def above_zero(of: Kind[Quantity], form: str) -> Kind[Quantity]:
    def read(node: Node, faults: list[Fault]) -> Quantity:
        quantity = of.read(node, faults)
        if not quantity.value:
            refuse(faults, wrong.not_above_zero(node))
        return quantity

    return Kind(of.name, read, form=forms.text_form(form))


LENGTH = _quantity_kind("a length such as 210 m", read_length, MOST_METRES, "within 1,000 km", forms.LENGTH)
MASS = _quantity_kind("a mass such as 118 g", read_mass, MOST_GRAMS, "within 100 kg", forms.MASS)
SOME_LENGTH = above_zero(LENGTH, forms.SOME_LENGTH)
SOME_MASS = above_zero(MASS, forms.SOME_MASS)


def read_day(text: str) -> date:
    """A day as 2026-11-05, the one form there is (ISO 8601). Raises UnitError."""
    wrong = UnitError(f"'{short(text)}' is not a day", "write it as year-month-day, such as 2026-11-05")
    if not _DAY.fullmatch(text):
        raise wrong
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise wrong from None


DATE = value_kind("a day such as 2026-11-05", read_day, forms.text_form(_DAY.pattern))


def _share(text: str) -> Fraction:
    """A share; one such as 0.95 is not taken for 0.95%."""
    try:
        return read_share(text)
    except UnitError as error:
        if not re.fullmatch(r"0?\.[0-9]{1,4}", text.strip(" ")):
            raise
        percent = float(Fraction(text.strip(" ")) * 100)
        raise UnitError(str(error), f"write {percent:g}%") from None


def share_kind(low: Fraction, high: Fraction) -> Kind[Fraction]:
    """A share such as 10%, as a fraction of 1, between two shares, both allowed."""
    name, bounds = "a share such as 10%", f"between {float(low * 100):g}% and {float(high * 100):g}%"
    plain = value_kind(name, _share, forms.text_form(forms.SHARE))

    def read(node: Node, faults: list[Fault]) -> Fraction:
        share = plain.read(node, faults)
        if not low <= share <= high:
            refuse(faults, wrong.out_of_bounds(node, "this share", bounds))
        return share

    return Kind(name, read, form=plain.form)


SHARE = share_kind(Fraction(0), Fraction(1))


def number_kind(name: str, low: Fraction | None, high: Fraction) -> Kind[Fraction]:
    """A plain number up to `high`, from `low` on; `low` None: above 0."""
    bounds = f"above 0, up to {float(high):,.0f}" if low is None else f"between {float(low):g} and {float(high):g}"

    def weigh(text: str) -> tuple[Fraction, bool]:
        number = read_number(text)
        return number, number > high or (number <= 0 if low is None else number < low)

    plain = value_kind(name, weigh, forms.number_form(low, high))

    def read(node: Node, faults: list[Fault]) -> Fraction:
        number, outside = plain.read(node, faults)
        if outside:
            refuse(faults, wrong.out_of_bounds(node, name, bounds))
        return number

    return Kind(name, read, form=plain.form)


def whole_kind(name: str, low: int, high: int) -> Kind[int]:
    plain = value_kind(name, read_number, forms.whole_form(low, high))

    def read(node: Node, faults: list[Fault]) -> int:
        number = plain.read(node, faults)
        if number.denominator != 1 or not low <= number.numerator <= high:
            refuse(faults, wrong.not_whole(node, name, f"from {low} to {high}"))
        return int(number)

    return Kind(name, read, form=plain.form)


def _signed(text: str) -> float:
    """A number that may stand below zero, as the a and b of Lab do."""
    return -float(read_number(text[1:])) if text.startswith("-") else float(read_number(text))


_LAB_PART = value_kind("a number", _signed, forms.signed_form(-150, 150))


def _lab(node: Node, faults: list[Fault]) -> Colour:
    if isinstance(node, Sequence):
        refuse_decimals(node, faults)
    if not isinstance(node, Sequence) or len(node.items) != 3:
        refuse(faults, lab_needs_three(node))
    parts = [_LAB_PART.read(item, faults) for item in node.items]
    if not (0 <= parts[0] <= 100 and all(-150 <= part <= 150 for part in parts[1:])):
        refuse(
            faults, wrong.out_of_bounds(node, "L of a Lab colour", "between 0 and 100, a and b between -150 and 150")
        )
    return colour_from_lab(parts[0], parts[1], parts[2])


def lab_needs_three(node: Node) -> Fault:
    return fault_at(
        node, "a Lab colour has three numbers", "write {lab: [45.1, 12.0, -3.5]}: L, a and b as measured under D65"
    )


def not_lab(node: Node) -> Fault:
    return fault_at(
        node, "of colours in numbers only Lab is read", 'write {lab: [45.1, 12.0, -3.5]}, or the colour as "#5b6770"'
    )


def refuse_decimals(node: Sequence, faults: list[Fault]) -> None:
    """Refuse a list of numbers in which one was written with a decimal comma."""
    split = [pair for pair in pairwise(node.items) if is_decimals(*pair)]
    faults += [decimal_comma(*pair, listed=True) for pair in split]
    if split:
        raise RefusedError


_COLOUR = 'a colour such as "#5b6770" or navy'
_COLOUR_TEXT = value_kind(_COLOUR, read_colour, spellings.COLOUR)


def _colour(node: Node, faults: list[Fault]) -> Colour:
    if isinstance(node, Unread):
        raise RefusedError
    if isinstance(node, Mapping):
        if [key.text for key, _ in node.items] != ["lab"]:
            refuse(faults, not_lab(node))
        return _lab(node.items[0][1], faults)
    return _COLOUR_TEXT.read(node, faults)


LAB = Record(
    "a Lab colour",
    (
        Field(
            "lab",
            Kind("L, a and b", _lab, of=(_LAB_PART,), form={"type": "array", "minItems": 3, "maxItems": 3}),
            "L, a and b as measured under D65",
            required=True,
        ),
    ),
    "{lab: [45.1, 12.0, -3.5]}",
)
COLOUR = Kind(_COLOUR, _colour, record=LAB, form=spellings.COLOUR)


def read_id(key: Scalar, what: str, faults: list[Fault]) -> str:
    """An id as `[A-Za-z0-9][A-Za-z0-9_-]{0,63}`; `what` says what it names."""
    if not ID.fullmatch(key.text):
        refuse(faults, wrong.bad_id(key, key.text, what))
    return key.text


def id_kind(what: str) -> Kind[str]:
    def read(node: Node, faults: list[Fault]) -> str:
        return read_id(as_scalar(node, f"the name of a {what}", faults), what, faults)

    return Kind(f"the name of a {what}", read, form=NAMES)


def reference_kind(what: str) -> Kind[Scalar]:
    """A name of something else, kept with its place so that it can be looked up once all is read."""
    name = f"the name of a {what}"
    return Kind(name, lambda node, faults: as_scalar(node, name, faults), form=forms.free_form("."))


def length_or_mass(node: Node, faults: list[Fault]) -> tuple[Quantity, bool]:
    """A quantity and whether it is a mass; its unit tells, and of a misspelt one, the unit that is near."""
    text = as_text(node, "a mass such as 118 g or a length such as 210 m", faults)
    is_length = _is_length(text)
    return (LENGTH if is_length else MASS).read(node, faults), not is_length


LENGTH_OR_MASS = Kind("a mass or a length", length_or_mass, form=forms.text_form(f"{forms.LENGTH}|{forms.MASS}"))


@lru_cache(maxsize=4096)
def _is_length(text: str) -> bool:
    unit = text.strip(" ").lstrip("0123456789., ")
    if unit in LENGTH_UNITS or unit in MASS_UNITS:
        return unit in LENGTH_UNITS
    try:
        read_length(text)
    except UnitError as error:
        return error.hint.startswith("did you mean")
    return True
