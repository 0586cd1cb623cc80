"""Did you mean: the known word nearest to one that is not known."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The nearest known word, capitals aside; None when none is near."""
    folded: dict[str, str] = {}
    for one in known:
        folded.setdefault(one.casefold(), one)
    found = get_close_matches(word.casefold()[:80], folded, n=1, cutoff=0.6)
    return folded[found[0]] if found else None


def name_some(known: Iterable[str], most: int = 12) -> str:
    """The known words in their order, cut after `most` of them."""
    words = list(known)
    return ", ".join(words[:most]) + (f" and {len(words) - most} more" if len(words) > most else "")


def suggest(word: str, known: Iterable[str], what: str) -> str:
    """A hint for a word that is not known: the nearest, else what there is."""
    words = list(known)
    if (near := nearest(word, words)) is not None:
        return f"did you mean '{near}'?"
    return f"{what}: {name_some(words)}" if words else "none is written yet"
