"""Where a cut is worse than the choice it was made from, lot by lot."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.rules.joins import joins_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.columns import Columns, Key, Use

HALF = 0.5  # between a column that is 0 and one that is 1
CM = 1e-3  # what a choice's lengths may be off by, in cm, after the solver's rounding


def worse_lots(
    chosen: tuple[Columns, Sequence[float]],
    cut: tuple[Columns, Sequence[float]],
    thought: Mapping[Key, Use | None],
    *,
    skeins: bool,
) -> set[str]:
    """Lots that the choice took for better than they are: fewer joins, other lengths, or fewer `skeins` opened.

    `thought`: the use of the choice for every use of the cut.
    """
    whole, values = cut
    found: set[str] = set()
    for use in whole.uses:
        before = thought[use.key]
        if use.yarn and before and _worse(chosen, before, cut, use):
            found |= use.yarn.lot_ids
    if skeins:
        opened: dict[str, set[str]] = defaultdict(set)
        for one in whole.cuts:
            if values[one.taken] > HALF:
                opened[one.piece.lot].add(one.piece.skein)
        found |= {lot for lot, own in opened.items() if len(own) > _fewest_opened(*chosen, lot)}
    return found


def _worse(
    chosen: tuple[Columns, Sequence[float]], before: Use, cut: tuple[Columns, Sequence[float]], after: Use
) -> bool:
    """Whether the choice took a use for better than it is: with fewer joins, or with another length."""
    shifted = after.length is not None and abs(cut[1][after.length] - chosen[1][before.length or 0]) >= 1
    return shifted or _joins(*cut, after) > _joins(*chosen, before) + HALF


def _joins(columns: Columns, values: Sequence[float], use: Use) -> float:
    return sum(factor * values[column] for column, factor in joins_of(columns, use))


def _fewest_opened(columns: Columns, values: Sequence[float], lot: str) -> int:
    """Fewest skeins of a lot that a choice needs: those it cuts, and the longest of the others until all is held."""
    holds: dict[str, int] = defaultdict(int)
    for piece in columns.instance.stock[lot]:
        holds[piece.skein] += piece.length_cm
    missing = sum(strands * _length(values, use) for use, strands in columns.by_lot[lot])
    opened = {one.piece.skein for one in columns.cuts if one.piece.lot == lot and values[one.taken] > HALF}
    missing -= sum(holds[skein] for skein in opened)
    more = iter(sorted((length for skein, length in holds.items() if skein not in opened), reverse=True))
    count = len(opened)
    while missing > CM and (length := next(more, 0)):
        missing -= length
        count += 1
    return count


def _length(values: Sequence[float], use: Use) -> float:
    return sum(factor * values[column] for column, factor in use.length_terms())
