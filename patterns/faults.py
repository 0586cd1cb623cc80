"""What may be wrong in a pattern beyond single fields: one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stash.faults import Fault, Place
from stash.nearest import suggest
from stash.nodes import Mapping, Node, Scalar, fault_at, short, warning_at

if TYPE_CHECKING:
    from collections.abc import Iterable


def unknown_need(node: Node, name: str, needs: Iterable[str], *, search: bool = True) -> Fault:
    hint = suggest(name, needs, "its needs are", search=search)
    return fault_at(node, f"this pattern has no need '{short(name)}'", hint)


def need_points_at_itself(node: Node, name: str) -> Fault:
    return fault_at(node, f"need '{short(name)}' cannot be compared with itself", "name another need of this pattern")


def no_needs(node: Node) -> Fault:
    return fault_at(node, "this pattern has no needs", "write at least one: needs: {main: {lots: one}}")


def no_sizes(node: Node) -> Fault:
    return fault_at(node, "this pattern has no sizes", "write at least one: sizes: {one: {main: 180 m}}")


def size_without_needs(node: Node, size: str) -> Fault:
    return fault_at(node, f"size '{short(size)}' needs no yarn", f"write what it needs: {short(size)}: {{main: 180 m}}")


def need_without_amount(key: Scalar) -> Fault:
    return warning_at(
        key,
        f"no size says how much of '{short(key.text)}' it needs",
        "write its length under each size it arises in, or leave the need out",
    )


def need_without_yarn(key: Scalar) -> Fault:
    return fault_at(
        key,
        f"nothing says how thick a yarn '{short(key.text)}' wants",
        "write it for the whole pattern (yarn: dk), or under the need",
    )


def odd_name(key: Scalar, what: str) -> Fault:
    return fault_at(
        key,
        f"'{short(key.text)}' cannot be the name of a {what}",
        "a name has 1 to 200 characters in one line, and no '#'",
    )


def pattern_file_name(file: str, stem: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        f"a pattern goes by its file's name, and '{short(stem)}' cannot be the name of a pattern",
        "rename the file: letters a-z, digits, '-' and '_', such as skerry-pullover.yaml",
    )


def odd_lot_rule(node: Node, text: str) -> Fault:
    return fault_at(
        node,
        f"'{short(text)}' is not a rule for lots",
        "write one of: one; by-part; alternate 2; any; any 3",
    )


def alternate_too_few(node: Node) -> Fault:
    return fault_at(node, "to alternate takes two lots or more", "write alternate 2, or one")


def match_without_use(node: Node, rule: str) -> Fault:
    return fault_at(
        node,
        f"'match' says how alike several lots are; under '{rule}' it has no meaning",
        "leave it out, or write lots: by-part or lots: alternate 2",
    )


def odd_strands(node: Node, text: str) -> Fault:
    return fault_at(
        node, f"'{short(text)}' is not a number of strands", "write 1, 2, or from-to with the smaller first: 1-2"
    )


def odd_class(node: Node, text: str) -> Fault:
    return fault_at(
        node,
        f"'{short(text)}' is not a weight class",
        "write a class such as dk or 3, or {count: 230 m/100g, within: 12%}",
    )


def yarn_form(node: Mapping) -> Fault:
    return fault_at(
        node,
        "a yarn is told by its class or by its count, one of the two",
        "write {class: dk, within: 10%} or {count: 230 m/100g, within: 12%}",
    )


def colour_rule_is_text(node: Node) -> Fault:
    return fault_at(
        node,
        "a colour rule is 'any', or keys and values",
        'write {near: "#8a1c1c", within: 8} or {against: main, lightness: 25}',
    )


def within_without_near(node: Node) -> Fault:
    return fault_at(node, "'within' says how near, but not to what", 'write {near: "#8a1c1c", within: 8}')


def lightness_without_need(node: Node) -> Fault:
    return fault_at(
        node,
        "'lightness' says how far apart, but not from what",
        "write {against: main, lightness: 25}, or lighter-than, or darker-than",
    )


def both_lighter_and_darker(node: Node, name: str) -> Fault:
    return fault_at(node, f"nothing is both lighter and darker than '{short(name)}'", "keep one of the two")


def same_and_not(node: Node, name: str) -> Fault:
    return fault_at(
        node, f"this is to be the same yarn as '{short(name)}' and to share no lot with it", "keep one of the two"
    )


def same_and_different(key: Scalar, name: str, other: str) -> Fault:
    return warning_at(
        key,
        f"'{short(name)}' and '{short(other)}' are to be the same yarn and to differ: no yarn can do both",
        "take one of the two rules out, be it under the one or under the other",
    )


def lighter_all_round(key: Scalar, names: list[str]) -> Fault:
    than = " than ".join(f"'{short(name)}'" for name in [*names, names[0]])
    return warning_at(
        key,
        f"each is to be lighter than the next, all round: {than}; no yarns can do that",
        "turn one of these rules round",
    )


def too_much_yarn(node: Node, most: str) -> Fault:
    return fault_at(node, f"this comes to more than {most} of yarn", "look for a digit or a unit too many")


def least_shares_over_all(node: Node, total: str) -> Fault:
    return fault_at(
        node, f"the least shares asked for add up to {total}, more than all of a yarn", "lower one under 'at-least'"
    )


def at_least_and_avoid(node: Node, fibre: str) -> Fault:
    return fault_at(
        node, f"'{fibre}' is to be in it at least so much, and to be avoided", "take it out under one of the two"
    )


def order_twice(node: Node, name: str) -> Fault:
    return fault_at(node, f"'{short(name)}' stands twice in this order", "name each need once")


def at_least_above_at_most(node: Node, fibre: str) -> Fault:
    return fault_at(
        node, f"'{fibre}' is to be at least more than it is to be at most", "lower 'at-least' or raise 'at-most'"
    )


def fibre_twice(key: Scalar, fibre: str) -> Fault:
    return fault_at(key, f"'{short(key.text)}' and another key here both mean {fibre}", "write it once")


def odd_amount(node: Node, text: str) -> Fault:
    return fault_at(
        node,
        f"'{short(text)}' is not an amount of yarn",
        "write a length such as 120 m, or balls such as 7 balls of 115 m",
    )


def few_balls(node: Node) -> Fault:
    return warning_at(
        node,
        "so few balls say little: the last one may be hardly begun",
        "half a ball less is counted; write the length itself if you know it",
    )


def shape_needs_gauge(node: Node) -> Fault:
    return fault_at(
        node,
        "a shape is estimated from the pattern's gauge, which gives no rows or is missing",
        "write gauge: {stitches: 22, rows: 30, over: 10 cm}, or measure a swatch's yarn: "
        "swatch: {length: 31 m, width: 20 cm, height: 20 cm}",
    )


def shape_is_not_knitted(node: Node, craft: str) -> Fault:
    return fault_at(
        node,
        f"a shape is estimated for knitting only; this is {craft}",
        "work a swatch and measure its yarn: swatch: {length: 31 m, width: 20 cm, height: 20 cm}",
    )


def width_of_many(node: Node) -> Fault:
    return fault_at(
        node, "a width is one length, or two: at the lower and at the upper edge", "write 50 cm, or [20 cm, 38 cm]"
    )


def part_in_part(node: Node) -> Fault:
    return fault_at(
        node, "a part cannot be divided again", "write one amount for each part: {body: 560 m, left sleeve: 150 m}"
    )
