"""What makes an option truly another one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pairs import LIMIT
from planner.program import Row
from stash.colour import difference

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns

NOTICED = 8.0  # CIEDE2000: clearly another colour; our own rule, no source
SEEN = 0.1  # of a need: less of another colour is a detail; our own rule, no source


def truly_different(columns: Columns) -> Iterator[Row]:
    """An option has clearly other colours in a tenth of a need at least than any option before it.

    For every option before and every making: sum over uses more than 8 from all its yarns there of length / planned
    >= 0.1 made.
    """
    for place, before in enumerate(columns.instance.before):
        for index, made in enumerate(columns.made):
            unlike = [
                use
                for use in columns.by_making[index]
                if use.yarn is not None
                and all(difference(use.yarn.colour, one) > NOTICED + LIMIT for one in before[use.sized.need.name])
            ]
            terms = (term for use in unlike for term in use.length_terms(1 / use.sized.planned_cm))
            yield Row(f"truly_different_{place:05d}_{index:05d}", (*terms, (made, -SEEN)), ">=", 0)
