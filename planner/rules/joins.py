"""Joins: where one piece ends and the next is taken up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.columns import fewest_pieces
from planner.program import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns, Use


def few_joins(columns: Columns) -> Iterator[Row]:
    """`joins`: pieces minus strands, summed over a need's working yarns, are capped.

    For every need with a cap: sum over uses of (pieces - strands) <= joins.
    """
    for name, _, sized, uses in columns.needs():
        if sized.need.joins is not None:
            terms = tuple(term for use in uses for term in joins_of(columns, use))
            if terms:
                yield Row(f"few_joins_{name}", terms, "<=", sized.need.joins)


def joins_of(columns: Columns, use: Use) -> Iterator[tuple[int, float]]:
    """Terms that add up to the joins of a use: exact where it is modelled piece by piece, else the fewest."""
    for lot, strands in use.yarn.lots if use.yarn else ():
        if (use.key, lot.id) in columns.fine:
            cuts = columns.cuts_by_use.get(use.key, ())
            yield from ((cut.taken, 1.0) for cut in cuts if cut.piece.lot == lot.id)
            yield (use.used, -float(strands))
        elif fewest := fewest_pieces(columns.instance, lot.id, use) - 1:
            yield (use.used, float(strands * fewest))
