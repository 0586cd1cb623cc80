"""What the user counted on a scale against what the ledger leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import faults as wrong
from planner.ledger.free import owned
from stash.lengths import mass_g

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.ledger.standing import Standing
    from stash.faults import Fault
    from stash.lots import Stash


def counted_otherwise(stash: Stash, standing: Standing) -> Iterator[Fault]:
    """Skeins that were counted on some day and do not weigh what the file and the ledger leave of them, as warnings.

    Two weighings agree within the steps of both scales.
    """
    left = None
    for lot in stash.lots.values():
        for place, skein in enumerate(lot.skeins):
            if skein.counted is None:
                continue
            left = left or owned(stash, standing)
            now = left.lots[lot.id]
            expected = mass_g(now, now.skeins[place])
            if abs(expected - skein.counted.mass_g) > skein.scale_g + skein.counted.scale_g:
                yield wrong.counted_otherwise(skein, skein.counted, expected, mass_g(lot, skein) - expected)
