"""How the count of a lot is written: a label, a class, or a sample that was measured."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stash import readfaults as wrong
from stash.count import Count, count_fault, count_from_sample, count_from_turns, count_from_wraps, read_count
from stash.fieldfaults import bad_value
from stash.fields import Field, Record, RefusedError, as_text, choice_kind, read_record, refuse
from stash.kinds import SOME_LENGTH, SOME_MASS, number_kind
from stash.nodes import Mapping, Node

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.fibre import Blend
    from stash.units import Quantity

COARSEST_ASSUMED = Fraction(1)  # grams: a scale is never assumed to be coarser

SAMPLE = Record(
    "a count",
    (
        Field("turns", number_kind("the number of turns", None, Fraction(100_000)), "how many turns were wound"),
        Field("around", SOME_LENGTH, "the way once round the swift or niddy-noddy"),
        Field("length", SOME_LENGTH, "the length of a sample laid out"),
        Field("mass", SOME_MASS, "what the sample weighs"),
        Field("wraps", number_kind("the number of wraps", None, Fraction(1000)), "wraps in an inch"),
        Field("scale", SOME_MASS, "the resolution of the scale used"),
        Field(
            "weighed",
            choice_kind("how it was weighed", {"apart": True}),
            "apart: on another day or in another room than the skeins",
        ),
    ),
    "{turns: 120, around: 1.5 m, mass: 42 g}",
)
FORMS = ({"turns", "around", "mass"}, {"length", "mass"}, {"wraps"})
SAMPLE_NAME = "a count such as 420 m/100g, or {turns: 120, around: 1.5 m, mass: 42 g}"


def scale_of(quantity: Quantity, *stated: Quantity | None) -> Fraction:
    """Grams the scale shows last: the nearest that is stated, else the last digit written, never coarser than 1 g."""
    for scale in stated:
        if scale is not None:
            return scale.value
    return min(quantity.step, COARSEST_ASSUMED)


def read_lot_count(node: Node, blend: Blend, scales: tuple[Quantity | None, ...], faults: list[Fault]) -> Count:
    """The count of a lot of this blend; `scales` are those stated for the lot and the file, nearest first."""
    if isinstance(node, Mapping):
        count = _measured(node, blend, scales, faults)
    else:
        text = as_text(node, SAMPLE_NAME, faults)
        try:
            count = read_count(text, blend)
        except ValueError as error:
            refuse(faults, bad_value(node, error, SAMPLE_NAME))
    if (told := count_fault(count)) is not None:
        faults.append(wrong.odd_count(node, *told))
        if not told[2]:
            raise RefusedError
    return count


def _measured(node: Mapping, blend: Blend, scales: tuple[Quantity | None, ...], faults: list[Fault]) -> Count:
    values = read_record(node, SAMPLE, faults)
    given = {key.text for key, _ in node.items} - {"scale", "weighed"}
    if given not in FORMS:
        refuse(faults, wrong.count_form(node, given))
    apart = bool(values["weighed"])
    if given == {"wraps"}:
        return count_from_wraps(values["wraps"], blend, text=f"{node_text(node, 'wraps')} wraps in an inch")
    mass: Quantity = values["mass"]
    scale = scale_of(mass, values["scale"], *scales)
    if scale > mass.value:
        refuse(faults, wrong.lighter_than_scale(node))
    if given == {"length", "mass"}:
        length: Quantity = values["length"]
        return count_from_sample(length.value, mass.value, scale, apart=apart, text=f"{mass.text} in {length.text}")
    around: Quantity = values["around"]
    turns: Any = values["turns"]
    text = f"{node_text(node, 'turns')} turns of {around.text}, {mass.text}"
    return count_from_turns(turns, around.value, mass.value, scale, apart=apart, text=text)


def node_text(node: Mapping, name: str) -> str:
    """The user's own text under a key."""
    return next((getattr(value, "text", "") for key, value in node.items if key.text == name), "")
