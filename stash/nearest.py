"""Did you mean: the known word nearest to one that is not known."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

MOST_SEARCHED = 40  # names that stand nowhere, for which the nearest is looked for
NEAR = 0.7  # how alike, of 1, a word must be to be offered
# What people write instead of the words of a file: what each may mean, the first that is known there.
_SAID = {
    "colour": "color colours colors shade farbe couleur kleur",
    "fibre": "fiber fibres fibers material composition content faser",
    "mass": "weight weigh grams gramms gewicht",
    "yarn": "weight class",
    "length": "height metres meters metrage yards yardage laenge",
    "wraps": "wpi wrap",
    "turns": "rounds winds wound",
    "around": "round circumference",
    "lots": "yarns stash",
    "skeins": "balls hanks cakes",
    "donors": "garments sources",
    "garment": "type item",
    "make": "pattern project",
    "size": "sizes",
    "copies": "qty quantity number count times",
    "want": "wish priority",
    "pullover": "jumper sweater jersey guernsey",
    "vest": "waistcoat slipover",
    "yes": "ja oui si y",
    "no": "nein non nee n",
    "note": "notes comment comments remark",
    "knitting": "knit knitted knits",
    "crochet": "crocheted",
    "avoid": "not without exclude",
    "without": "not avoid except",
}


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The nearest known word, capitals aside, or one that means the same; None when there is none."""
    folded: dict[str, str] = {}
    for one in known:
        folded.setdefault(one.casefold(), one)
    asked = word.casefold()[:80]
    if asked in folded:
        return folded[asked]
    meant = next((one for one, said in _SAID.items() if asked in said.split() and one in folded), None)
    if meant is not None:
        return folded[meant]
    found = get_close_matches(asked, folded, n=1, cutoff=NEAR)
    return folded[found[0]] if found else None


def name_some(known: Iterable[str], most: int = 12) -> str:
    """The known words in their order, cut after `most` of them."""
    words = list(known)
    return ", ".join(words[:most]) + (f" and {len(words) - most} more" if len(words) > most else "")


def suggest(word: str, known: Iterable[str], what: str, *, search: bool = True) -> str:
    """A hint for a word that is not known: the nearest, else what there is; without `search` only what there is.

    To look for the nearest takes time with the number of words, so one who tells thousands of faults stops at some.
    """
    words = list(known)
    if search and (near := nearest(word, words)) is not None:
        return f"did you mean '{near}'?"
    return f"{what}: {name_some(words)}" if words else "none is written yet"
