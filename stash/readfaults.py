"""What may be wrong in a stash beyond single fields: one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stash.nearest import name_some, suggest
from stash.nodes import Mapping, Node, Scalar, fault_at, short, warning_at
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from stash.faults import Fault
    from stash.units import Quantity

_ORDINALS = {0: "1st", 1: "2nd", 2: "3rd"}


def odd_count(node: Node, message: str, hint: str, warning: bool) -> Fault:
    return (warning_at if warning else fault_at)(node, message, hint)


def count_form(node: Mapping, given: set[str]) -> Fault:
    have = name_some(sorted(given)) or "nothing"
    return fault_at(
        node,
        f"a count cannot be told from {have}",
        "write {turns: 120, around: 1.5 m, mass: 42 g}, or {length: 12.4 m, mass: 5.1 g}, or {wraps: 16}",
    )


def lighter_than_scale(node: Node) -> Fault:
    return fault_at(
        node, "the sample weighs less than the scale can show", "weigh a longer sample, or correct 'scale:'"
    )


def not_lighter_after(node: Node, before: Quantity, after: Quantity) -> Fault:
    return fault_at(
        node,
        f"the scale showed {before.text} before and {after.text} after: nothing was wound off",
        "write what it showed with the sample still there as before:, without it as after:",
    )


def wraps_among_samples(node: Node) -> Fault:
    return fault_at(
        node,
        "several samples are taken together only where each was measured and weighed",
        "leave the wraps out, or write them alone: {wraps: 16}",
    )


def samples_disagree(node: Node, many: int, chance: float, odd: int | None) -> Fault:
    often = "less than 1" if chance < 0.01 else f"about {100 * chance:.0f}"
    least = (
        "one of the two is off" if odd is None else f"the {_ORDINALS.get(odd, f'{odd + 1}th')} fits the others least"
    )
    return warning_at(
        node,
        f"the {many} samples disagree: of even yarn, {often} in 100 would lie so far apart; {least}",
        "measure again: the yarn may be uneven, two yarns mixed, or a sample miscounted; fewer metres count until then",
    )


def skein_without_quantity(node: Node, skein: str) -> Fault:
    return fault_at(
        node,
        f"skein '{skein}' has neither a mass nor a length",
        f"write {skein}: {{mass: 96 g, pieces: 3}}, or its length",
    )


def empty_skein(node: Node, skein: str) -> Fault:
    return warning_at(
        node, f"skein '{skein}' is 0: there is nothing in it to plan with", "measure it again, or leave it out"
    )


def pieces_of_none_or_many(node: Node, most: int) -> Fault:
    return fault_at(
        node, f"a skein is in 1 to {most} pieces", "write how many pieces it is in, or the length of each: [90 m, 60 m]"
    )


def pieces_miss_length(node: Node, total: Fraction, length: Quantity) -> Fault:
    added, stated = show_length(total, "metric", 1), show_length(length.value, "metric", 1)
    return fault_at(
        node,
        f"the pieces add up to {added}, the skein's length is {stated}",
        "measure again; the two may differ by 1 %",
    )


def mass_against_length(node: Node, skein: str, by_mass: Fraction, by_length: Fraction) -> Fault:
    weighed, measured = show_length(by_mass, "metric", 1), show_length(by_length, "metric", 1)
    return fault_at(
        node,
        f"skein '{skein}' is {weighed} by its mass and the lot's count, but {measured} as measured",
        "weigh and measure again, or leave out the one you trust less",
    )


def lot_without_skeins(node: Node, lot: str) -> Fault:
    return warning_at(
        node,
        f"lot '{lot}' has no skeins: there is nothing in it to plan with",
        "write one a line, such as slate-1: 118 g",
    )


def below_the_other(key: Scalar, name: str, kind: str) -> Fault:
    """`name` is what it stands below, `kind` what it is by its keys: of the two "donors" and "lots"."""
    return fault_at(
        key,
        f"'{short(key.text)}' stands below '{name}:', but is written as a {kind.removesuffix('s')}",
        f"{kind} stand below a line of their own that says '{kind}:', at the left edge; is it missing above this one?",
    )


def id_taken(key: Scalar, what: str, first: Scalar, first_what: str) -> Fault:
    where = f"line {first.line}" if first.source.file == key.source.file else f"{first.source.file}, line {first.line}"
    same = "is taken already" if first.text == key.text else f"differs from '{short(first.text)}' only in capitals"
    return fault_at(
        key,
        f"the name '{short(key.text)}' of this {what} {same}: by a {first_what} in {where}, here in line {key.line}",
        "give one of them another name, such as " + short(key.text, 60) + "-b",
    )


def unknown_donor(node: Scalar, donors: Iterable[str], *, search: bool = True) -> Fault:
    hint = suggest(node.text, donors, "the donors are", search=search)
    return fault_at(node, f"there is no donor '{short(node.text)}'", hint)


def heavier_than_donor(node: Node, donor: str, skeins_g: Fraction, donor_g: Fraction) -> Fault:
    weighed, whole = show_mass(skeins_g, "metric"), show_mass(donor_g, "metric")
    return warning_at(
        node,
        f"the skeins from donor '{donor}' weigh {weighed}, more than the garment's {whole}",
        "weigh again, or look for a lot that names the wrong donor",
    )


def not_a_file_of(node: Node, what: str, sample: str) -> Fault:
    return fault_at(
        node, f"{what} begins with keys at the left edge; this is something else", "for example:\n" + sample
    )
