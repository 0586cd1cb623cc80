"""The model: the rules in reading order, and a program built by them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.columns import Columns, Fine, lay_out
from planner.program import Program, Row
from planner.rules.joins import few_joins
from planner.rules.making import copies_in_turn, one_size
from planner.rules.meeting import never_meet, one_direction, same_as
from planner.rules.serving import least_share, most_share, most_yarns, one_yarn, only_if_made, shared_out
from planner.rules.stock import (
    enough_pieces,
    least_piece,
    lot_holds,
    piece_holds,
    piece_taken,
    pieces_reach,
    taken_if_used,
)
from planner.rules.unlikeness import truly_different

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from planner.instance import Instance

RULES: tuple[Callable[[Columns], Iterator[Row]], ...] = (
    one_size,
    copies_in_turn,
    one_yarn,
    shared_out,
    least_share,
    most_share,
    most_yarns,
    only_if_made,
    never_meet,
    same_as,
    one_direction,
    lot_holds,
    pieces_reach,
    enough_pieces,
    least_piece,
    piece_taken,
    taken_if_used,
    piece_holds,
    few_joins,
    truly_different,
)


def build(instance: Instance, fine: Fine = frozenset(), *, found: bool = False, whole_cm: bool = False) -> Columns:
    """The program of an instance, with or without yarn still to be `found`.

    `fine` uses are modelled piece by piece; the others see a lot as a whole, which is never too strict. With
    `whole_cm` lengths keep to the grid; without, an aim may look better by less than the grid can show.
    """
    columns = lay_out(Program(), instance, fine, found=found, whole_cm=whole_cm)
    for rule in RULES:
        columns.program.add(rule(columns))
    return columns
