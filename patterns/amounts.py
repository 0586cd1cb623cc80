"""How much yarn a need takes: a length, balls as printed patterns state them, or an estimate from a shape.

Metres of working yarn, exact, without reserve; uncertainties are relative and standard (JCGM 100).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from patterns import faults as wrong
from patterns.needs import Amount
from stash.fabric import Gauge, metres_per_square_metre
from stash.fieldfaults import bad_value
from stash.fields import Field, Record, RefusedError, as_text, node_kind, read_record, record_kind, refuse
from stash.kinds import SOME_LENGTH, number_kind
from stash.nodes import Mapping, Node, Scalar, Sequence
from stash.units import UnitError, read_number

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.units import Quantity

PRINTED_U = 0.05  # of a printed length; common practice, no source
SHAPE_U = 0.10  # of an estimate from gauge; common practice, no source
FACTOR_U = 0.15  # with a factor for other stitches; common practice, no source
SWATCH_U = 0.03  # of an estimate from a weighed or measured swatch; common practice, no source
HALF_BALL = Fraction(1, 2)
FEW_BALLS = 3

_BALLS = re.compile(r"([0-9.,]+) balls? of (.+)")
_STITCHES = number_kind("the number of stitches", None, Fraction(1000))
_ROWS = number_kind("the number of rows", None, Fraction(1000))
WIDTH = node_kind("a width, or two of them", SOME_LENGTH)

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


def read_gauge(node: Node, faults: list[Fault]) -> Gauge:
    values = read_record(node, GAUGE, faults)
    over: Quantity | None = values["over"]
    centimetres = Fraction(10) if over is None else over.value * 100
    rows: Fraction | None = values["rows"]
    return Gauge(values["stitches"] / centimetres, None if rows is None else rows / centimetres)


def read_parts(node: Node, gauge: Gauge | None, craft: str, faults: list[Fault]) -> dict[str | None, Amount]:
    """What a need takes in one size: part -> amount, or None -> amount where it is not divided.

    A group of keys with any key of a shape is a shape, so no part goes by the name of one.
    """
    if not isinstance(node, Mapping) or _is_shape(node):
        return {None: read_amount(node, gauge, craft, faults)}
    parts: dict[str | None, Amount] = {}
    for key, value in node.items:
        try:
            parts[read_name(key, "part", faults)] = _read_part(value, gauge, craft, faults)
        except RefusedError:
            continue
    if not node.items:
        refuse(faults, wrong.odd_amount(node, "{}"))
    if len(parts) < len(node.items):
        raise RefusedError
    return parts


def _read_part(node: Node, gauge: Gauge | None, craft: str, faults: list[Fault]) -> Amount:
    if isinstance(node, Mapping) and not _is_shape(node):
        refuse(faults, wrong.part_in_part(node))
    return read_amount(node, gauge, craft, faults)


def _is_shape(node: Mapping) -> bool:
    return any(key.text in SHAPE.index for key, _ in node.items)


def read_name(key: Scalar, what: str, faults: list[Fault]) -> str:
    """The name of a need, a part or a size: free text, but '#' tells copies apart."""
    text = key.text
    if not text.strip() or len(text) > 200 or "#" in text or not text.isprintable():
        refuse(faults, wrong.odd_name(key, what))
    return text


def read_amount(node: Node, gauge: Gauge | None, craft: str, faults: list[Fault]) -> Amount:
    if isinstance(node, Mapping):
        return _from_shape(read_record(node, SHAPE, faults), node, gauge, craft, faults)
    text = as_text(node, AMOUNT, faults)
    if found := _BALLS.fullmatch(" ".join(text.split())):
        return _from_balls(node, found[1], found[2], faults)
    if "ball" in text:
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


def _from_shape(values: dict[str, Any], node: Node, gauge: Gauge | None, craft: str, faults: list[Fault]) -> Amount:
    area = _mean_width(values["width"], faults) * values["length"].value * values["times"]
    swatch: dict[str, Any] | None = values["swatch"]
    factor: Fraction | None = values["stitch-factor"]
    if swatch is not None:
        if factor is not None:
            refuse(faults, wrong.swatch_and_factor(node))
        return Amount(area * swatch["length"].value / (swatch["width"].value * swatch["height"].value), SWATCH_U)
    if craft != "knitting":
        refuse(faults, wrong.shape_is_not_knitted(node, craft))
    if gauge is None or gauge.rows is None:
        refuse(faults, wrong.shape_needs_gauge(node))
    metres = area * metres_per_square_metre(gauge) * (factor or 1)
    return Amount(metres, SHAPE_U if factor is None else FACTOR_U)


def _mean_width(node: Node, faults: list[Fault]) -> Fraction:
    if not isinstance(node, Sequence):
        return SOME_LENGTH.read(node, faults).value
    if len(node.items) != 2:
        refuse(faults, wrong.width_of_many(node))
    widths = [SOME_LENGTH.read(item, faults).value for item in node.items]
    return sum(widths, Fraction(0)) / 2
