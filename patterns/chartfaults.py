"""What can be wrong with a chart or a stripe sequence, one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stash.nearest import suggest
from stash.nodes import fault_at, short, warning_at

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stash.faults import Fault
    from stash.nodes import Mapping, Node, Scalar


def odd_symbol(key: Scalar) -> Fault:
    return fault_at(
        key,
        f"'{short(key.text)}' cannot be the symbol of a stitch",
        'a symbol is one character that can be seen and is no wider than a letter: {".": main, "x": motif}',
    )


def empty_legend(node: Mapping) -> Fault:
    return fault_at(node, "this legend has no symbols", 'write what each stands for: {".": main, "x": motif}')


def unknown_symbol(node: Node, symbol: str, legend: Iterable[str]) -> Fault:
    known = ", ".join(f"'{one}'" for one in list(legend)[:12])
    instead = "leave the blank out" if symbol.isspace() else f"put '{symbol}' in the legend"
    return fault_at(node, f"the legend has nothing for '{symbol}'", f"write one of {known}, or {instead}")


def unused_symbol(key: Scalar) -> Fault:
    return warning_at(
        key, f"no row of this chart has '{key.text}'", "take it out of the legend, or look for a slip in the rows"
    )


def empty_row(node: Node) -> Fault:
    return fault_at(node, "this row has no stitches", "write a symbol for each stitch, or leave the row out")


def unequal_row(node: Node, stitches: int, first: int) -> Fault:
    return fault_at(
        node,
        f"this row has {stitches} {'stitch' if stitches == 1 else 'stitches'}, the row written first {first}",
        "write a symbol for each stitch, and as many in every row",
    )


def chart_too_big(node: Node, what: str, most: int) -> Fault:
    return fault_at(
        node,
        f"this chart has more than {most} {what}",
        "write one repeat of it, and how many there are: repeat: 12 x 1",
    )


def odd_repeat(node: Node, text: str) -> Fault:
    return fault_at(
        node,
        f"'{short(text)}' does not say how many repeats there are",
        "write how many across x how many up, each from 1 to 1,000: 12 x 1",
    )


def odd_band(node: Node, text: str) -> Fault:
    return fault_at(
        node, f"'{short(text)}' is not a stripe", "write a need and how many rows it has, up to 10,000: main 20"
    )


def unknown_size(key: Scalar, sizes: Iterable[str]) -> Fault:
    return fault_at(key, f"this pattern has no size '{short(key.text)}'", suggest(key.text, sizes, "its sizes are"))


def no_chart(node: Node, what: str) -> Fault:
    example = (
        '{legend: {".": main, "x": motif}, rows: ["x..", ".x."]}'
        if what == "chart"
        else "{rows: [main 20, ochre 4], stitches: 96}"
    )
    return fault_at(node, f"this pattern has no {what} to count in", f"write it, beside needs: {what}: {example}")


def not_in_chart(node: Node, what: str, need: str) -> Fault:
    return fault_at(
        node,
        f"the {what} of this pattern {'have' if what == 'stripes' else 'has'} no stitch of '{short(need)}'",
        "write a length such as 120 m, or leave it out",
    )


def size_not_counted(node: Node, what: str, size: str) -> Fault:
    key = "stitches" if what == "stripes" else "repeat"
    return fault_at(
        node,
        f"nothing says how much of the {what} size '{short(size)}' has",
        f"write it for each size, under '{key}' in the {what}",
    )


def chart_needs_gauge(node: Node, what: str) -> Fault:
    return fault_at(
        node,
        f"stitches counted in the {what} become metres by the pattern's gauge, which is missing",
        "write gauge: {stitches: 22, rows: 30, over: 10 cm}",
    )


def chart_is_not_knitted(node: Node, craft: str) -> Fault:
    return fault_at(
        node,
        f"stitches become metres for knitting only; this is {craft}",
        "write a length, or a shape with a measured swatch: {width: 50 cm, length: 60 cm, swatch: ...}",
    )


def counted_in_floats(node: Node) -> Fault:
    return fault_at(
        node,
        "a chart counts its floats by itself, so 'stranded' would count them twice",
        "leave 'stitch' out; write floats: no where each patch has its own yarn",
    )


def long_float(row: Node, need: str, stitches: int) -> Fault:
    return warning_at(
        row,
        f"'{short(need)}' is carried behind {stitches} stitches of this row, more than 5, or than 2.5 cm",
        "catch it on the way as you knit; write floats: no where it is not carried",
    )
