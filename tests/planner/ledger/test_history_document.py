"""Each step of the ledger as a document says all that the step says."""

from datetime import date
from fractions import Fraction

import pytest

from planner.ledger.entries import Book, Entry, Finish, Release, Taking, Undo
from planner.show.ledgerdocument import entry_document
from stash.remains import Knitted
from stash.units import read_mass

TAKEN = Taking("hat", "main", "slate", "slate-1", 2, 1234, Fraction("5.5"))


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (
            Book("one", Fraction(95, 100), (TAKEN,)),
            {"does": "book", "plan": "one", "projects": ["hat"], "confidence": 0.95},
        ),
        (Book("one", Fraction(95, 100), (TAKEN,), used=True), {"does": "use"}),
        (
            Finish("hat", {"slate-1": read_mass("62.5 g")}, {"slate": Knitted(Fraction(50), Fraction(20), 0.02)}),
            {
                "does": "finish",
                "projects": ["hat"],
                "left_g": {"slate-1": 62.5},
                "knitted": {"slate": {"length_m": 50, "mass_g": 20}},
            },
        ),
        (Release("hat"), {"does": "release", "projects": ["hat"]}),
        (Undo(3), {"does": "undo", "undoes": 3}),
    ],
)
def test_a_step_is_told_whole(act, told):
    document = entry_document(Entry(7, date(2026, 11, 5), act, ""))
    assert told.items() <= document.items()
    assert (document["revision"], document["on"], document["why"]) == (7, "2026-11-05", None)


def test_what_was_taken_is_told_piece_by_piece():
    (take,) = entry_document(Entry(1, date(2026, 11, 5), Book("one", Fraction(95, 100), (TAKEN,)), "gift"))["takes"]
    assert take == {
        "project": "hat", "need": "main", "lot": "slate", "skein": "slate-1", "piece": 2, "take_m": 12.34, "take_g": 5.5,
    }  # fmt: skip
