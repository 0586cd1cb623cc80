"""Which entries of the ledger still count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger.entries import Undo

if TYPE_CHECKING:
    from planner.ledger.entries import Ledger


def undone(ledger: Ledger) -> dict[int, int]:
    """Revisions that no longer count, each with the one that took it back."""
    return {entry.act.revision: entry.revision for entry in ledger.entries if isinstance(entry.act, Undo)}
