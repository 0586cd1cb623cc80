"""How the count of a lot is written: a label, a class, or a sample that was measured."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stash import readfaults as wrong
from stash import spellings
from stash.count import Count, count_fault, count_from_wraps, read_count
from stash.fieldfaults import bad_value, empty_list
from stash.fields import (
    Field,
    Record,
    RefusedError,
    all_of,
    as_text,
    choice_kind,
    list_kind,
    node_kind,
    read_record,
    record_kind,
    refuse,
)
from stash.kinds import MASS, SOME_LENGTH, SOME_MASS, number_kind
from stash.measuring import Reading, pool, sample_of
from stash.nodes import Mapping, Node, Sequence

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.fibre import Blend
    from stash.measuring import Sample
    from stash.units import Quantity

    Scales = tuple[Quantity | None, ...]

SAMPLE = Record(
    "a count",
    (
        Field("turns", number_kind("the number of turns", None, Fraction(100_000)), "how many turns were wound"),
        Field("around", SOME_LENGTH, "the way once round the swift or niddy-noddy"),
        Field("length", SOME_LENGTH, "the length of a sample laid out"),
        Field("mass", SOME_MASS, "what the sample weighs"),
        Field("before", SOME_MASS, "by difference: what the scale showed before the sample was wound off"),
        Field("after", MASS, "and after"),
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
LENGTHS = ({"turns", "around"}, {"length"})
WEIGHINGS = ({"mass"}, {"before", "after"})
WRAPS = {"wraps"}
SAMPLE_NAME = "a count such as 420 m/100g, or {turns: 120, around: 1.5 m, mass: 42 g}"

_SAMPLE_KIND = record_kind(SAMPLE)
COUNT_KIND = node_kind(SAMPLE_NAME, _SAMPLE_KIND, list_kind(_SAMPLE_KIND), form=spellings.COUNT)


def scale_of(quantity: Quantity, *stated: Quantity | None) -> Fraction:
    """Grams the scale shows last: the nearest that is stated, else the last digit written, never coarser than 1 g."""
    for scale in stated:
        if scale is not None:
            return scale.value
    return quantity.assumed_scale


def read_lot_count(node: Node, blend: Blend, scales: Scales, faults: list[Fault]) -> Count:
    """The count of a lot of this blend; `scales` are those stated for the lot and the file, nearest first."""
    if isinstance(node, Mapping):
        count = _measured(node, blend, scales, faults)
    elif isinstance(node, Sequence):
        count = _pooled(node, scales, faults)
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


def _measured(node: Mapping, blend: Blend, scales: Scales, faults: list[Fault]) -> Count:
    values = read_record(node, SAMPLE, faults)
    if _given(node) == WRAPS:
        return count_from_wraps(values["wraps"], blend, text=f"{node_text(node, 'wraps')} wraps in an inch")
    return pool([_sample(node, values, scales, faults)]).count()


def _pooled(node: Sequence, scales: Scales, faults: list[Fault]) -> Count:
    """Several samples of one lot, taken together; that they disagree is a warning, and widens what is unsure."""

    def read(item: Node, faults: list[Fault]) -> Sample:
        values = read_record(item, SAMPLE, faults)
        if not isinstance(item, Mapping) or _given(item) == WRAPS:
            refuse(faults, wrong.wraps_among_samples(item))
        return _sample(item, values, scales, faults)

    if not node.items:
        refuse(faults, empty_list(node, "samples"))
    pooled = pool(all_of(read, node.items, faults))
    if pooled.scatter is not None and not pooled.scatter.agree:
        faults.append(wrong.samples_disagree(node, len(node.items), pooled.scatter.chance, pooled.scatter.odd))
    return pooled.count()


def _sample(node: Mapping, values: dict[str, Any], scales: Scales, faults: list[Fault]) -> Sample:
    given = _given(node)
    if not any(given == long | heavy for long in LENGTHS for heavy in WEIGHINGS):
        refuse(faults, wrong.count_form(node, given))
    weighings = tuple(values[name] for name in ("mass", "before", "after") if name in given)
    reading = Reading(values["turns"], values["around"] or values["length"], weighings)
    if reading.mass_g <= 0:
        refuse(faults, wrong.not_lighter_after(node, *weighings))
    steps = tuple(scale_of(one, values["scale"], *scales) for one in weighings)
    if max(steps) > reading.mass_g:
        refuse(faults, wrong.lighter_than_scale(node))
    return sample_of(reading, steps, apart=bool(values["weighed"]))


def _given(node: Mapping) -> set[str]:
    """The keys that tell which form a sample has."""
    return {key.text for key, _ in node.items} - {"scale", "weighed"}


def node_text(node: Mapping, name: str) -> str:
    """The user's own text under a key."""
    return next((getattr(value, "text", "") for key, value in node.items if key.text == name), "")
