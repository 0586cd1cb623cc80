"""How a skein is written: a mass, a length or both, and the pieces it is in."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from stash import readfaults as wrong
from stash.fieldfaults import key_without_colon, nothing_told
from stash.fields import (
    Field,
    Record,
    RefusedError,
    entries_kind,
    list_kind,
    node_kind,
    read_record,
    record_kind,
    refuse,
)
from stash.kinds import (
    DATE,
    LENGTH,
    LENGTH_OR_MASS,
    MASS,
    NAMES,
    SOME_LENGTH,
    length_or_mass,
    read_id,
    refuse_decimals,
    whole_kind,
)
from stash.lots import Counted, Skein
from stash.nodes import Mapping, Node, Scalar, Sequence, place_of
from stash.samples import scale_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from stash.faults import Fault
    from stash.units import Quantity

MOST_PIECES = 200
SLACK_M = Fraction(1, 10**6)  # limits are inclusive to it
PIECES_WITHIN = Fraction(1, 100)  # a list of pieces must meet the stated length so nearly

_PIECES = whole_kind("the number of pieces", 1, MOST_PIECES)
COUNTED = Record(
    "what was counted",
    (
        Field("mass", MASS, "what it weighed", required=True),
        Field("on", DATE, "the day it was weighed", required=True),
    ),
    "{mass: 34 g, on: 2026-11-05}",
)
SKEIN = Record(
    "a skein",
    (
        Field("mass", MASS, "what it weighs"),
        Field("length", LENGTH, "how long it is, measured"),
        Field(
            "pieces",
            node_kind("a number of pieces or a list of their lengths", _PIECES, list_kind(SOME_LENGTH)),
            "how many pieces it is in, or their lengths",
        ),
        Field(
            "counted",
            node_kind("what it weighed since, such as {mass: 34 g, on: 2026-11-05}", record_kind(COUNTED)),
            "what it weighed on a later day, held against the ledger",
        ),
    ),
    "{mass: 96 g, pieces: 3}",
)
SKEINS_KIND = entries_kind("skeins", LENGTH_OR_MASS, record_kind(SKEIN), names=NAMES)
_WHOLE: tuple[Fraction, ...] = (Fraction(1),)


def read_skeins(
    mapping: Mapping, scales: tuple[Quantity | None, ...], claim: Callable[[Scalar], None], faults: list[Fault]
) -> tuple[Skein, ...]:
    """All skeins of a lot. `scales`: stated for the lot and the file; `claim` refuses an id that is taken.

    Refused, after all were looked at, if one is.
    """
    found: list[Skein] = []
    for key, node in mapping.items:
        try:
            if nothing_told(key, node):
                refuse(faults, key_without_colon(key, None))
            claim(key)
            found.append(read_skein(key, node, scales, faults))
        except RefusedError:
            continue
    if len(found) < len(mapping.items):
        raise RefusedError
    return tuple(found)


def read_skein(key: Scalar, node: Node, scales: tuple[Quantity | None, ...], faults: list[Fault]) -> Skein:
    skein_id = read_id(key, "skein", faults)
    mass: Quantity | None = None
    length: Quantity | None = None
    shares, equal = _WHOLE, False
    counted: Counted | None = None
    if isinstance(node, Mapping):
        values = read_record(node, SKEIN, faults)
        mass, length = values["mass"], values["length"]
        if mass is None and length is None:
            refuse(faults, wrong.skein_without_quantity(node, skein_id))
        if values["pieces"] is not None:
            shares, equal = _read_pieces(values["pieces"], length, faults)
        if values["counted"] is not None:
            counted = _read_counted(values["counted"], scales, faults)
    else:
        quantity, is_mass = length_or_mass(node, faults)
        mass, length = (quantity, None) if is_mass else (None, quantity)
    if (mass is not None and not mass.value) or (length is not None and not length.value):
        faults.append(wrong.empty_skein(node, skein_id))
    return Skein(
        skein_id,
        None if mass is None else mass.value,
        None if length is None else length.value,
        Fraction(0) if mass is None else scale_of(mass, *scales),
        shares,
        equal,
        place_of(key),
        counted,
    )


def _read_counted(node: Node, scales: tuple[Quantity | None, ...], faults: list[Fault]) -> Counted:
    values = read_record(node, COUNTED, faults)
    mass: Quantity = values["mass"]
    return Counted(mass.value, scale_of(mass, *scales), values["on"], place_of(node), node.source.line(node.line))


@cache
def _equal(count: int) -> tuple[Fraction, ...]:
    return (Fraction(1, count),) * count


def _read_pieces(node: Node, length: Quantity | None, faults: list[Fault]) -> tuple[tuple[Fraction, ...], bool]:
    """The pieces' parts of the skein's length, and whether they were assumed to be equal."""
    if not isinstance(node, Sequence):
        count = _PIECES.read(node, faults)
        return _equal(count), count > 1
    if not 0 < len(node.items) <= MOST_PIECES:
        refuse(faults, wrong.pieces_of_none_or_many(node, MOST_PIECES))
    refuse_decimals(node, faults)
    pieces = [SOME_LENGTH.read(item, faults).value for item in node.items]
    total = sum(pieces, Fraction(0))
    if length is not None and abs(total - length.value) > PIECES_WITHIN * length.value + SLACK_M:
        refuse(faults, wrong.pieces_miss_length(node, total, length))
    return tuple(piece / total for piece in pieces), False
