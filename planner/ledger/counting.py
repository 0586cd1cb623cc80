"""What the user counted on a scale against what the ledger leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import faults as wrong
from planner.ledger.free import owned
from stash.lengths import mass_g

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from planner.ledger.books import Books
    from stash.faults import Fault
    from stash.lots import Stash


def counted_otherwise(stash: Stash, books: Books) -> Iterator[Fault]:
    """Skeins that were counted on some day and do not weigh what the file and the ledger leave of them, as warnings.

    Two weighings agree within the steps of both scales. What was counted before the ledger took anything off is past.
    """
    left, standing = None, books.standing
    changed = _last_changed(books)
    for lot in stash.lots.values():
        for place, skein in enumerate(lot.skeins):
            if skein.counted is None or changed.get(skein.id, skein.counted.on) > skein.counted.on:
                continue
            left = left or owned(stash, standing)
            now = left.lots[lot.id]
            expected = mass_g(now, now.skeins[place])
            if abs(expected - skein.counted.mass_g) > skein.scale_g + skein.counted.scale_g:
                used = mass_g(lot, skein) - expected
                weighed = skein.id in standing.left
                yield wrong.counted_otherwise(skein, skein.counted, expected, used, weighed=weighed)


def _last_changed(books: Books) -> dict[str, date]:
    """The day of the last entry that used or weighed each skein."""
    days = {entry.revision: entry.on for entry in books.ledger.entries}
    found: dict[str, date] = {}
    told = [(held.taking.skein, held.revision) for held in books.standing.used]
    told += [(skein, weighings[-1][0]) for skein, weighings in books.standing.left.items()]
    for skein, revision in told:
        found[skein] = max(found.get(skein, days[revision]), days[revision])
    return found
