"""The ledger as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.ledger.entries import Book, Finish, Release
from planner.ledger.history import undone
from planner.show.documents import figure, metres

if TYPE_CHECKING:
    from planner.ledger.books import Books
    from planner.ledger.entries import Entry, Taking

    Document = dict[str, Any]


def history_document(books: Books) -> Document:
    """What `history` answers."""
    gone = undone(books.ledger)
    return {
        "format": "lotwise/history-1",
        "set_aside": list(books.standing.aside),
        "entries": [{**entry_document(entry), "undone_by": gone.get(entry.revision)} for entry in books.ledger.entries],
    }


def entry_document(entry: Entry) -> Document:
    act = entry.act
    about: Document
    if isinstance(act, Book):
        about = {"does": "use" if act.used else "book", "plan": act.plan, "projects": list(act.projects)}
        about |= {"confidence": figure(act.confidence), "takes": [_take_document(take) for take in act.takes]}
    elif isinstance(act, Finish):
        about = {"does": "finish", "projects": [act.project]}
        about["left_g"] = {skein: figure(mass.value) for skein, mass in act.left.items()}
        about["knitted"] = {
            lot: {"length_m": figure(one.metres), "mass_g": figure(one.grams)} for lot, one in act.knitted.items()
        }
    elif isinstance(act, Release):
        about = {"does": "release", "projects": [act.project]}
    else:
        about = {"does": "undo", "undoes": act.revision}
    return {"revision": entry.revision, "on": entry.on.isoformat(), **about, "why": entry.why or None}


def _take_document(take: Taking) -> Document:
    return {
        "project": take.project,
        "need": take.need,
        "lot": take.lot,
        "skein": take.skein,
        "piece": take.piece,
        "take_m": metres(take.cm),
        "take_g": figure(take.grams),
    }
