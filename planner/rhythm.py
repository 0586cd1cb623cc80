"""Alternate rows: the smallest whole rhythm in which several working yarns carry a need together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

MOST_ROWS = 12  # of one repeat: longer is not a rhythm that can be kept in mind


@dataclass(frozen=True)
class Rhythm:
    """Rows of each yarn in one repeat; `left_cm`: what of each one's planned length is then left, when kept exactly."""

    rows: tuple[int, ...]
    left_cm: tuple[int, ...]


def rhythm(planned_cm: Sequence[int], need_cm: Fraction) -> Rhythm | None:
    """The shortest repeat in which no yarn gives more than is planned of it; of such, the nearest to what is planned.

    `planned_cm`: the length of each yarn, reserve included; `need_cm`: what all rows together take, without it. None
    where no repeat of up to 12 rows does it.
    """
    whole = sum(planned_cm)
    for total in range(len(planned_cm), MOST_ROWS + 1):
        fitting = [
            rows
            for rows in _split(total, len(planned_cm))
            if all(need_cm * n <= planned * total for n, planned in zip(rows, planned_cm, strict=True))
        ]
        if fitting:
            rows = min(
                fitting,
                key=lambda rows: max(
                    abs(Fraction(n, total) - Fraction(planned, whole))
                    for n, planned in zip(rows, planned_cm, strict=True)
                ),
            )
            left = (int(p - need_cm * n / total) for n, p in zip(rows, planned_cm, strict=True))
            return Rhythm(rows, tuple(left))
    return None


def _split(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    """Every way to share out rows so that each yarn has one at least."""
    if parts == 1:
        yield (total,)
        return
    for first in range(1, total - parts + 2):
        for rest in _split(total - first, parts - 1):
            yield (first, *rest)
