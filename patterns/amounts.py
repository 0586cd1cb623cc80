"""How much yarn a need takes: a length, balls as printed patterns state them, a shape, or stitches counted.

Metres of working yarn, exact, without reserve; uncertainties are relative and standard (JCGM 100).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from patterns import faults as wrong
from patterns import shapefaults
from patterns.needs import Amount
from patterns.patches import Patch, Swatch, patch_amount, together
from stash import forms
from stash.fabric import Gauge
from stash.fieldfaults import bad_value, not_above_zero
from stash.fields import (
    Field,
    Record,
    RefusedError,
    all_of,
    as_text,
    entries_kind,
    list_kind,
    node_kind,
    read_record,
    record_kind,
    refuse,
)
from stash.kinds import LENGTH, SOME_LENGTH, STITCH, number_kind, refuse_decimals, share_kind
from stash.nodes import Mapping, Node, Scalar, Sequence
from stash.units import NUMBER, UnitError, read_number

if TYPE_CHECKING:
    from collections.abc import Callable

    from stash.faults import Fault
    from stash.units import Quantity

    Count = Callable[[str, Node, list[Fault]], Amount]

PRINTED_U = 0.05  # of a printed length; common practice, no source
HALF_BALL = Fraction(1, 2)
FEW_BALLS = 3

_BALLS = re.compile(r"([0-9.,]+) balls? of (.+)")
_JOINERS = dict.fromkeys(map(ord, "\u200c\u200d"))  # they belong to some scripts' words and to emoji
_STITCHES = number_kind("the number of stitches", None, Fraction(1000))
_ROWS = number_kind("the number of rows", None, Fraction(1000))
WIDTH = node_kind("a width, or two of them", SOME_LENGTH, list_kind(LENGTH))

GAUGE = Record(
    "a gauge",
    (
        Field("stitches", _STITCHES, "how many stitches", required=True),
        Field("rows", _ROWS, "how many rows"),
        Field("over", SOME_LENGTH, "over what length (default 10 cm)"),
    ),
    "{stitches: 22, rows: 30, over: 10 cm}",
)
SWATCH = Record(
    "a swatch",
    (
        Field("length", SOME_LENGTH, "how much yarn went into it", required=True),
        Field("width", SOME_LENGTH, "how wide it is, relaxed", required=True),
        Field("height", SOME_LENGTH, "how high it is, relaxed", required=True),
    ),
    "{length: 31 m, width: 20 cm, height: 20 cm}",
)
SHAPE = Record(
    "a shape",
    (
        Field("width", WIDTH, "how wide it is; two widths for one that widens: [20 cm, 38 cm]", required=True),
        Field("length", SOME_LENGTH, "how long it is", required=True),
        Field("times", number_kind("how many times", None, Fraction(1000)), "how many of them", default=Fraction(1)),
        Field("share", share_kind(Fraction(1, 10_000), Fraction(1)), "the share of its yarn that this need has"),
        Field("stitch", STITCH, "the stitch, if it is not plain"),
        Field(
            "stitch-factor",
            number_kind("the factor for the stitch", None, Fraction(10)),
            "how much more yarn the stitch takes than plain knitting",
        ),
        Field("swatch", record_kind(SWATCH), "a swatch worked in the stitch, whose yarn was measured"),
    ),
    "{width: 50 cm, length: 60 cm, times: 2}",
)
AMOUNT = "an amount such as 120 m, 7 balls of 115 m, or a shape"
CHART, STRIPES = "chart", "stripes"  # what their stitches take
SHAPES_NAME = "a shape such as {width: 50 cm, length: 60 cm}"
_ONE = node_kind(
    AMOUNT,
    record_kind(SHAPE),
    form=forms.text_form(f"{CHART}|{STRIPES}|(?:{NUMBER} +balls? +of +)?{forms.SOME_LENGTH}"),
)
_SUM = list_kind(_ONE)
NAMES = forms.free_form(r"^[^#\n]*[^#\s][^#\n]*$", maxLength=200)  # of needs, parts and sizes
_PARTS = entries_kind("parts", _ONE, _SUM, names={"allOf": [NAMES, {"not": {"enum": list(SHAPE.index)}}]})
AMOUNT_KIND = node_kind(AMOUNT, _ONE, _SUM, _PARTS)


def read_gauge(node: Node, faults: list[Fault]) -> Gauge:
    values = read_record(node, GAUGE, faults)
    over: Quantity | None = values["over"]
    centimetres = Fraction(10) if over is None else over.value * 100
    rows: Fraction | None = values["rows"]
    return Gauge(values["stitches"] / centimetres, None if rows is None else rows / centimetres)


def read_parts(
    node: Node, gauge: Gauge | None, craft: str, count: Count, faults: list[Fault]
) -> dict[str | None, Amount]:
    """What a need takes in one size: part -> amount, or None -> amount where it is not divided.

    A group of keys with any key of a shape is a shape, so no part goes by the name of one. `count` gives what is
    counted in `chart` or in `stripes`.
    """
    if not isinstance(node, Mapping) or _is_shape(node):
        return {None: read_amount(node, gauge, craft, count, faults)}
    parts: dict[str | None, Amount] = {}
    for key, value in node.items:
        try:
            parts[read_name(key, "part", faults)] = _read_part(value, gauge, craft, count, faults)
        except RefusedError:
            continue
    if not node.items:
        refuse(faults, wrong.odd_amount(node, "{}"))
    if len(parts) < len(node.items):
        raise RefusedError
    return parts


def _read_part(node: Node, gauge: Gauge | None, craft: str, count: Count, faults: list[Fault]) -> Amount:
    if isinstance(node, Mapping) and not _is_shape(node):
        refuse(faults, wrong.part_in_part(node))
    return read_amount(node, gauge, craft, count, faults)


def _is_shape(node: Mapping) -> bool:
    return any(key.text in SHAPE.index for key, _ in node.items)


def read_name(key: Scalar, what: str, faults: list[Fault]) -> str:
    """The name of a need, a part or a size: free text, but '#' tells copies apart."""
    text = key.text
    if not text.strip() or len(text) > 200 or "#" in text or not text.translate(_JOINERS).isprintable():
        refuse(faults, wrong.odd_name(key, what))
    return text


def read_amount(node: Node, gauge: Gauge | None, craft: str, count: Count, faults: list[Fault]) -> Amount:
    if isinstance(node, Mapping):
        return _from_shape(node, gauge, craft, faults)
    if isinstance(node, Sequence):
        return _from_list(node, gauge, craft, count, faults)
    text = as_text(node, AMOUNT, faults)
    if text in {CHART, STRIPES}:
        return count(text, node, faults)
    if found := _BALLS.fullmatch(" ".join(text.split())):
        return _from_balls(node, found[1], found[2], faults)
    if re.search(r"balls?|skeins?|hanks?|[0-9] ?[x×] ?[0-9]+ ?k?m", text):
        refuse(faults, wrong.odd_amount(node, text))
    return Amount(SOME_LENGTH.read(node, faults).value, PRINTED_U)


def _from_balls(node: Node, number: str, length: str, faults: list[Fault]) -> Amount:
    """Balls as a printed pattern states them: the last one half used, by at most half a ball more or less."""
    try:
        balls = read_number(number)
    except UnitError as error:
        refuse(faults, bad_value(node, error, AMOUNT))
    if not isinstance(node, Scalar) or balls <= HALF_BALL or balls > 1000:
        refuse(faults, wrong.odd_amount(node, f"{number} balls"))
    if balls < FEW_BALLS:
        faults.append(wrong.few_balls(node))
    one = SOME_LENGTH.read(Scalar(length, node.quoted, node.source, node.line, node.column), faults)
    likely = balls - HALF_BALL
    return Amount(likely * one.value, float(HALF_BALL / likely) / math.sqrt(3))


def _from_list(node: Sequence, gauge: Gauge | None, craft: str, count: Count, faults: list[Fault]) -> Amount:
    """Several amounts, which add up."""
    if not node.items:
        refuse(faults, shapefaults.no_shape_in_list(node))
    refuse_decimals(node, faults)

    def read(item: Node, faults: list[Fault]) -> Amount:
        if isinstance(item, Sequence):
            refuse(faults, shapefaults.list_in_list(item))
        return read_amount(item, gauge, craft, count, faults)

    return together(all_of(read, node.items, faults))


def _from_shape(node: Mapping, gauge: Gauge | None, craft: str, faults: list[Fault]) -> Amount:
    values = read_record(node, SHAPE, faults)
    lower, upper = _widths(values["width"], faults)
    told = [key for key in ("stitch", "stitch-factor") if values[key] is not None]
    swatch: dict[str, Any] | None = values["swatch"]
    if swatch is not None and told:
        refuse(faults, shapefaults.swatch_and_stitch(node, told[0]))
    if len(told) > 1:
        refuse(faults, shapefaults.stitch_and_factor(node))
    if swatch is None and craft != "knitting":
        refuse(faults, wrong.shape_is_not_knitted(node, craft))
    if swatch is None and (gauge is None or gauge.rows is None):
        refuse(faults, wrong.shape_needs_gauge(node))
    patch = Patch(
        lower,
        upper,
        values["length"].value,
        values["times"],
        Fraction(1) if values["share"] is None else values["share"],
        values["stitch"],
        values["stitch-factor"],
        None if swatch is None else Swatch(*(swatch[key].value for key in ("length", "width", "height"))),
    )
    return patch_amount(patch, gauge)


def _widths(node: Node, faults: list[Fault]) -> tuple[Fraction, Fraction]:
    """One width, or two, of which one may be 0: a triangle, or something round that closes."""
    if not isinstance(node, Sequence):
        width = SOME_LENGTH.read(node, faults).value
        return width, width
    if len(node.items) != 2:
        refuse(faults, wrong.width_of_many(node))
    lower, upper = (LENGTH.read(item, faults).value for item in node.items)
    if not lower and not upper:
        refuse(faults, not_above_zero(node.items[1]))
    return lower, upper
