"""What can be wrong with a shape that an amount is estimated from, one function a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stash.nodes import fault_at

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.nodes import Node, Sequence


def no_shape_in_list(node: Sequence) -> Fault:
    return fault_at(
        node,
        "there is no amount in this list",
        "write the amounts that add up: [chart, 40 m], or [{width: 50 cm, length: 60 cm}]",
    )


def list_in_list(node: Sequence) -> Fault:
    return fault_at(node, "a list of amounts holds no other list", "write all that adds up in one: [chart, 40 m, 12 m]")


def swatch_and_stitch(node: Node, key: str) -> Fault:
    return fault_at(
        node, f"a swatch is worked in the stitch itself, so '{key}' has no meaning beside it", "leave it out"
    )


def stitch_and_factor(node: Node) -> Fault:
    return fault_at(
        node,
        "a stitch has its factor, so 'stitch-factor' has no meaning beside 'stitch'",
        "keep 'stitch' alone, or 'stitch-factor' alone for a stitch that has no name here",
    )
