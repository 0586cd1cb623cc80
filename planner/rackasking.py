"""What `rack` and `prep` ask about a garment, and the garment the answers make."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.prompting import Question, gather
from stash.colour import read_colour
from stash.donors import MOST_COLOURS, MOST_FLAWS, MOST_PLIES, MOST_PRICE, MOST_STITCHES
from stash.fabric import Gauge
from stash.fibre import read_blend
from stash.garment import FELTED, KINDS, ONE_SIZE, SIZES, Garment, read_panel
from stash.nearest import nearest
from stash.samples import scale_of
from stash.stitches import STITCHES, read_stitch
from stash.units import UnitError, read_length, read_mass, read_number, read_share

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from stash.units import Quantity

Given = dict[str, str | list[str] | None]

LEAD = (
    "Tell what you see of the garment. Lay it flat and unstretched to count and to\n"
    "measure; Enter alone skips what you do not know or takes what is in brackets."
)
_YES_NO = {"yes": True, "no": False}
_ALSO_CALLED = {"jumper": "pullover", "sweater": "pullover", "waistcoat": "vest", "throw": "blanket"}
_UNSURE = {"linked": "linked", "cut": "cut", "unknown": None}


def ask_garment(given: Given, base: Garment | None = None) -> Garment:
    """The garment by its flags, or by prompts; on top of `base`, a donor as its file has it, only flags count.

    Raises AskError for a flag that is wrong or missing.
    """
    if base is None:
        return garment_of(gather(QUESTIONS, given, lead=LEAD), Garment())
    return garment_of(only_given(QUESTIONS, given), base)


def only_given(questions: Sequence[Question], given: Given) -> dict[str, Any]:
    """Flag -> value, for the flags that are given and no others; nothing is asked."""
    told = [replace(one, default="", when=lambda _: True) for one in questions if given.get(one.flag)]
    return gather(told, given) if told else {}


def garment_of(values: Mapping[str, Any], base: Garment) -> Garment:
    """The garment that answers, by flag, make on top of `base`; what was left out stays as it is there."""
    plain = {
        name: values[flag]
        for name, flag in _FIELDS.items()
        if flag in values and values[flag] is not None and values[flag] != ()
    }
    mass: Quantity | None = values.get("--mass")
    if mass is not None:
        plain |= {"mass_g": mass.value, "scale_g": scale_of(mass, values.get("--scale"))}
    elif values.get("--scale") is not None:
        plain["scale_g"] = values["--scale"].value
    garment = replace(base, **plain, **_gauge(values, base))
    if garment.mass_g is not None and garment.scale_g > garment.mass_g:
        raise AskError("the garment is lighter than one step of the scale", "look at the units of --mass and --scale")
    return garment


def _gauge(values: Mapping[str, Any], base: Garment) -> dict[str, Any]:
    over: Quantity | None = values.get("--over")
    over_m = base.over_m if over is None else over.value
    stitches: Fraction | None = values.get("--stitches")
    rows: Fraction | None = values.get("--rows")
    if stitches is None and base.gauge is None:
        if rows is not None:
            raise AskError("--rows needs --stitches beside it", "count the stitches too")
        return {"over_m": over_m}
    before = base.gauge
    across = before.stitches if stitches is None and before is not None else (stitches or 0) / (over_m * 100)
    up = (None if before is None or stitches is not None else before.rows) if rows is None else rows / (over_m * 100)
    return {"over_m": over_m, "gauge": Gauge(Fraction(across), up)}


_FIELDS = {
    "kind": "--kind",
    "size": "--size",
    "blend": "--fibre",
    "stitch": "--stitch",
    "panels": "--panel",
    "seams": "--seams",
    "felted": "--felted",
    "pilled": "--pilled",
    "holes": "--holes",
    "stains": "--stains",
    "smell": "--smell",
    "moths": "--moths",
    "colours": "--colours",
    "main_share": "--main-share",
    "fancy": "--fancy",
    "plies": "--plies",
    "colour": "--colour",
    "price": "--price",
}


def choice(words: Mapping[str, Any], also: Mapping[str, str] | None = None) -> Callable[[str], Any]:
    """Return the reader of one of a few words, each with its value; `also`: other names for some of them."""

    def read(text: str) -> Any:
        word = text.strip()
        word = (also or {}).get(word, word)
        if word not in words:
            near = nearest(word, words)
            hint = f"did you mean {near}?" if near else f"write one of {', '.join(words)}"
            raise UnitError(f"'{word[:40]}' is not one of the answers", hint)
        return words[word]

    return read


def _whole(low: int, high: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        number = read_number(text)
        if number.denominator != 1 or not low <= number <= high:
            raise UnitError(f"{text.strip()} is not a whole number from {low} to {high}", f"write one such as {low}")
        return int(number)

    return read


def _number(most: Fraction, *, zero: bool) -> Callable[[str], Fraction]:
    def read(text: str) -> Fraction:
        number = read_number(text)
        if number > most or (number == 0 and not zero):
            bounds = f"{'from 0' if zero else 'above 0'} up to {int(most):,}"
            raise UnitError(f"{text.strip()} is out of bounds", f"write a number {bounds}")
        return number

    return read


def some(read: Callable[[str], Quantity], most: int = 100_000) -> Callable[[str], Quantity]:
    """Return the reader of a length or a mass above zero and up to `most` metres or grams."""

    def read_some(text: str) -> Quantity:
        quantity = read(text)
        if quantity.value <= 0:
            raise UnitError("this must be above 0", "measure it again")
        if quantity.value > most:
            raise UnitError(f"{quantity.text} is more than can be", "look for a digit or a unit too many")
        return quantity

    return read_some


def _share(text: str) -> Fraction:
    share = read_share(text)
    if not 0 < share <= 1:
        raise UnitError(f"{text.strip()} is out of bounds", "write a share above 0% and up to 100%")
    return share


def _same(words: Sequence[str]) -> dict[str, str]:
    return {word: word for word in words}


def _yes_no(flag: str, words: str) -> Question:
    return Question(flag, f"{words} yes or no?", choice(_YES_NO), "no")


QUESTIONS: tuple[Question, ...] = (
    Question("--kind", f"What is it: {', '.join(KINDS)}?", choice(_same(tuple(KINDS)), _ALSO_CALLED), ""),
    Question(
        "--size",
        f"Which size: {', '.join(SIZES)}?",
        choice(_same(tuple(SIZES))),
        "",
        when=lambda values: values["--kind"] is not None and values["--kind"] not in ONE_SIZE,
    ),
    Question("--fibre", "What does the label say, such as 80% wool, 20% polyamide?", read_blend, "unknown"),
    Question("--mass", "What does it weigh, such as 486 g?", some(read_mass), ""),
    Question(
        "--scale",
        "In what steps does the scale show it, such as 1 g?",
        some(read_mass),
        "",
        when=lambda values: values["--mass"] is not None,
    ),
    Question("--over", "Over what length will you count stitches and rows?", some(read_length, most=100), "10 cm"),
    Question("--stitches", "How many stitches across it?", _number(MOST_STITCHES, zero=False)),
    Question("--rows", "How many rows up it?", _number(MOST_STITCHES, zero=False), ""),
    Question("--stitch", f"Mostly in which stitch: {', '.join(STITCHES)}?", read_stitch, "plain"),
    Question(
        "--panel",
        "A panel, width x length, such as 2 x 52 cm x 60 cm or 2 x 20-38 cm x 45 cm?",
        read_panel,
        many=True,
        needed=lambda values: values["--kind"] is None and values["--mass"] is None,
    ),
    Question(
        "--seams", "Seams: linked (whole edges chained), cut (overlocked) or unknown?", choice(_UNSURE), "unknown"
    ),
    Question("--felted", "Felted: no, slightly or felted?", choice(_same(FELTED)), "no"),
    _yes_no("--pilled", "Pilled or worn thin,"),
    Question("--holes", "How many holes?", _whole(0, MOST_FLAWS), "0"),
    Question("--stains", "How many stains?", _whole(0, MOST_FLAWS), "0"),
    _yes_no("--smell", "Does it smell,"),
    _yes_no("--moths", "Any sign of moths,"),
    Question("--colours", "How many colours?", _whole(1, MOST_COLOURS), "1"),
    Question(
        "--main-share",
        "What share of it is the main colour, such as 60%?",
        _share,
        "",
        when=lambda values: values["--colours"] > 1,
    ),
    _yes_no("--fancy", "Fancy yarn (looped, hairy, knotted),"),
    Question("--plies", "How many strands run side by side in it?", _whole(1, MOST_PLIES), "1"),
    Question("--colour", 'Its main colour, such as "#5b6770" or navy?', read_colour, ""),
    Question("--price", "What does it cost, a plain number?", _number(MOST_PRICE, zero=True), ""),
)
