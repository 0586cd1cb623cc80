"""Lengths, masses and shares as people write them; exact inside, with the unit always written out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cached_property
from typing import Literal
from unicodedata import numeric

System = Literal["metric", "imperial"]

INCH_M = Fraction("0.0254")
YARD_M = Fraction("0.9144")
POUND_G = Fraction("453.59237")
OUNCE_G = POUND_G / 16

LENGTH_UNITS: dict[str, Fraction] = {  # metres in one of them; international yard and pound of 1959, exact
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "km": Fraction(1000),
    "in": INCH_M,
    "ft": 12 * INCH_M,
    "yd": YARD_M,
}
MASS_UNITS: dict[str, Fraction] = {"g": Fraction(1), "kg": Fraction(1000), "oz": OUNCE_G, "lb": POUND_G}  # grams

MOST_DIGITS = 12
MOST_DECIMALS = 4

_SLIPS = {  # what people write instead of each unit
    "mm": "mms millimetre millimetres millimeter millimeters",
    "cm": "cms centimetre centimetres centimeter centimeters",
    "m": "mt mts mtr mtrs metre metres meter meters",
    "km": "kms kilometre kilometres kilometer kilometers",
    "in": "ins inch inches \" '' ″ ”",
    "ft": "foot feet ' ′ ’",
    "yd": "y yds yrd yrds yard yards",
    "g": "gm gms gr grs grm grms gramme grammes gram grams",
    "kg": "kgs kilo kilos kilogram kilograms",
    "oz": "ozs onz ounce ounces",
    "lb": "lbs pound pounds #",
}
_MEANT = {slip: unit for unit, slips in _SLIPS.items() for slip in slips.split()}

NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_NUMBER = re.compile(NUMBER)
_QUANTITY = re.compile(r"(.*?)\s*([^\W\d_]+\.?|[\"'″′”’#]{1,2})?", re.DOTALL)


class UnitError(ValueError):
    """A number, length, mass or share that cannot be read; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Quantity:
    """A length in metres or a mass in grams; `step` is the worth of the last digit written, in the same unit."""

    value: Fraction
    step: Fraction
    text: str

    @cached_property
    def assumed_scale(self) -> Fraction:
        """Of a mass: what the scale shows last where nobody says, the last digit written, never coarser than 1 g."""
        return min(self.step, Fraction(1))


def unit_meant(word: str) -> str | None:
    """Return the unit that a word or sign stands for ("yards", "gm", "Metre"), or None."""
    folded = word.lower().rstrip(".")
    return folded if folded in LENGTH_UNITS or folded in MASS_UNITS else _MEANT.get(folded)


def read_number(text: str) -> Fraction:
    """Return the plain decimal number in `text`, exactly.

    One form only: ASCII digits, then perhaps a point and more digits; at most 12 digits and 4 decimals.
    Raises UnitError.
    """
    text = text.strip(" ")
    if not _NUMBER.fullmatch(text):
        raise _not_a_number(text)
    whole, _, decimals = text.partition(".")
    if len(whole) + len(decimals) > MOST_DIGITS:
        raise UnitError(f"a number of {len(whole) + len(decimals)} digits is too long", "write 12 digits at most")
    if len(decimals) > MOST_DECIMALS:
        rounded = f"{whole}.{decimals[:MOST_DECIMALS]}"
        rounded = rounded if re.search("[1-9]", rounded) else "0.0001"
        raise UnitError(f"'{text}' has {len(decimals)} decimals", f"write 4 at most, for example {rounded}")
    return Fraction(text)


def read_length(text: str) -> Quantity:
    """Return a length such as "210 yd" in metres. Raises UnitError."""
    return _read_quantity(text, LENGTH_UNITS, MASS_UNITS, ("a length", "a mass", "m"))


def read_mass(text: str) -> Quantity:
    """Return a mass such as "118 g" in grams. Raises UnitError."""
    return _read_quantity(text, MASS_UNITS, LENGTH_UNITS, ("a mass", "a length", "g"))


def read_share(text: str) -> Fraction:
    """Return a share such as "10%" as a fraction of 1; no upper bound is set here. Raises UnitError."""
    text = text.strip(" ")
    if not text.endswith("%"):
        try:
            read_number(text)
        except UnitError:
            raise UnitError(f"'{_short(text)}' is not a share", "write it with its sign, for example 10%") from None
        raise UnitError(f"'{text}' has no % sign", f"write {text}%")
    return read_number(text[:-1].rstrip(" ")) / 100


def show_length(metres: Fraction | float, units: System, digits: int = 0) -> str:
    """Return a length for a reader: "123 m" or "135 yd"."""
    if units == "metric":
        return f"{show_number(metres, digits)} m"
    return f"{show_number(Fraction(metres) / YARD_M, digits)} yd"


def show_mass(grams: Fraction | float, units: System, digits: int = 0) -> str:
    """Return a mass for a reader: "54 g" or "1.9 oz"; ounces carry one digit more than grams."""
    if units == "metric":
        return f"{show_number(grams, digits)} g"
    return f"{show_number(Fraction(grams) / OUNCE_G, digits + 1)} oz"


def show_count(tex: Fraction | float, units: System) -> str:
    """Return a count for a reader from tex (grams in 1000 m): "230 m/100g" or "71 yd/oz"."""
    if units == "metric":
        return f"{show_number(Fraction(100_000) / Fraction(tex), 0)} m/100g"
    return f"{show_number(OUNCE_G * 1000 / YARD_M / Fraction(tex), 0)} yd/oz"


def show_number(value: Fraction | float, digits: int) -> str:
    """Return `value` with `digits` decimals, halves rounded to even, never "-0"."""
    scaled = round(Fraction(value) * 10**digits)
    sign, (whole, rest) = "-" if scaled < 0 else "", divmod(abs(scaled), 10**digits)
    return f"{sign}{whole}" + (f".{rest:0{digits}d}" if digits else "")


def _read_quantity(
    text: str, units: dict[str, Fraction], others: dict[str, Fraction], kinds: tuple[str, str, str]
) -> Quantity:
    kind, other_kind, usual = kinds
    stripped = text.strip(" ")
    found = _QUANTITY.fullmatch(stripped)
    number, unit = found.groups() if found else (stripped, None)
    told = bool(number) and any(sign.isnumeric() for sign in number)  # no digit in "nan", ".nan", "some of it"
    if not told or (unit and _plain_digits(stripped) is not None):  # "0x1F" ends in no unit
        raise UnitError(f"'{_short(stripped)}' is not {kind}", f"write {kind} with its unit, for example 120 {usual}")
    if _plain_digits(number) is None and (better := _one_quantity(stripped, units)) is not None:
        raise UnitError(f"'{_short(stripped)}' is more than {kind}", better)
    try:
        value = read_number(number)
    except UnitError as error:
        shown = unit if unit in units or unit in others else usual
        raise UnitError(str(error), error.hint + (f" {shown}" if unit and error.hint[-1:].isdigit() else "")) from None
    if unit in units:
        step = Fraction(1, 10 ** len(number.partition(".")[2]))
        return Quantity(value * units[unit], step * units[unit], stripped)
    if not unit:
        raise UnitError(f"'{number}' has no unit", f"write the unit too, for example {number} {usual}")
    if unit in others:
        raise UnitError(f"'{stripped}' is {other_kind}; {kind} is wanted here", f"write it in {_listed(units)}")
    raise _unknown_unit(number, unit, units)


def _one_quantity(text: str, units: dict[str, Fraction]) -> str | None:
    """What to write where a quantity stands among words, or where there are several; None where it stands alone."""
    found = re.findall(rf"(?<![\w.,])(?<!^[-+“])(?<!e[-+])({NUMBER}) ?({'|'.join(units)})(?!\w)", text)
    numbers = re.findall(r"[0-9]+(?:[.,'_ ][0-9]+)*", text)
    if not found or text == "".join(found[0]) or text == " ".join(found[0]):
        return None
    if len(found) == len(numbers) == 1:
        return f"write it alone: {' '.join(found[0])}"
    return "write one number and one unit, added up or multiplied already"


def _listed(units: dict[str, Fraction]) -> str:
    *first, last = units
    return f"{', '.join(first)} or {last}"


def _unknown_unit(number: str, unit: str, units: dict[str, Fraction]) -> UnitError:
    message = f"'{_short(unit)}' is not a unit known here"
    folded = unit.lower().rstrip(".")
    meant = folded if folded in units else _MEANT.get(folded)
    if meant is None:
        close = get_close_matches(folded, [*units, *_MEANT], n=1, cutoff=0.75)
        meant = _MEANT.get(close[0], close[0]) if close else None
    if meant in units:
        return UnitError(message, f"did you mean {number} {meant}?")
    return UnitError(message, f"write it in {_listed(units)}")


def _not_a_number(text: str) -> UnitError:
    """Return the fault that says what to write instead of `text`."""
    message = f"'{_short(text)}' is not a plain number"
    if not text:
        return UnitError("a number is missing", "write a number, for example 120")
    if re.fullmatch(r"-[0-9.]+", text):
        return UnitError(f"'{_short(text)}' is below zero", f"write it without the minus: {_short(text[1:])}")
    return UnitError(message, _what_to_write(text))


def _what_to_write(text: str) -> str:
    plain = _plain_digits(text)
    if plain is not None:
        return f"write {plain}"
    if re.fullmatch(r"[0-9]+,[0-9]+", text):
        hint = f"write {text.replace(',', '.')}"
        return f"{hint}, or {text.replace(',', '')} if thousands were meant" if re.search(r",[0-9]{3}$", text) else hint
    if ":" in text:
        return "write one plain number, for example 190, and its unit"
    if re.match("[0-9.]+ ?(?!e[0-9])[^\\W\\d_]+ ?[0-9]", text):
        return "write one number and one unit"
    return "write plain digits, with a point before decimals, for example 12.5"


_ONLY_MEANING = (  # what can have meant one plain number only; thousands are never guessed
    (r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]+", lambda text: text.replace(",", "")),
    (r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]+", lambda text: text.replace(".", "").replace(",", ".")),
    (r"[0-9]+([ _'][0-9]+)+", lambda text: re.sub("[ _']", "", text)),
    (r"\+[0-9]+(\.[0-9]+)?", lambda text: text[1:]),
    (r"\.[0-9]+", lambda text: f"0{text}"),
    (r"[0-9]+\.", lambda text: text[:-1]),
    (r"[0-9]+(\.[0-9]+)?[eE]\+?[0-9]", lambda text: _show_exact(Fraction(text))),
    (r"0x[0-9a-fA-F]+", lambda text: str(int(text, 16))),
    (r"0o[0-7]+", lambda text: str(int(text, 8))),
    (r"(?![0-9]+$)\d+", lambda text: str(int(text))),  # digits of another script
    (r"([0-9]+ )?[0-9]+/([1248]|5|10|16)", lambda text: _show_exact(sum(map(Fraction, text.split()), Fraction(0)))),
    (r"[0-9]* ?[¼½¾]", lambda text: _show_exact(Fraction(f"0{text[:-1].strip()}") + Fraction(numeric(text[-1])))),
)


def _plain_digits(text: str) -> str | None:
    """Return the plain digits that `text` can only have meant, if so."""
    if len(text) > MOST_DIGITS:
        return None
    return next((meant(text) for form, meant in _ONLY_MEANING if re.fullmatch(form, text)), None)


def _show_exact(value: Fraction) -> str:
    shown = show_number(value, MOST_DECIMALS)
    return shown.rstrip("0").rstrip(".")


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:37]}..."
