"""Every rule that keeps two yarns apart says why in words of its own."""

from fractions import Fraction

import pytest

from patterns.read import read_pattern
from planner import pairs
from planner.clashes import WORDS, why_apart
from planner.pairs import Meeting
from planner.reasons import Length, Thickness, because
from planner.yarns import WorkingYarn
from stash.read import read_stash

# L* of ink 25, slate 43, fog 85, snow 95 (rounded), red 53; slate and iron look alike.
STASH = b"""\
lots:
  ink: {fibre: wool, colour: "#232f55", count: dk, bleeds: yes, skeins: {i1: 50 g}}
  slate: {fibre: wool, colour: "#5b6770", count: dk, skeins: {s1: 50 g}}
  iron: {fibre: acrylic, colour: "#5c6871", count: dk, skeins: {n1: 50 g}}
  fog: {fibre: wool, colour: "#d0d4d8", count: dk, skeins: {f1: 50 g}}
  tweed: {fibre: "55% wool, 45% acrylic", colour: "#5b6770", count: dk, skeins: {t1: 50 g}}
"""
PATTERN = b"""\
yarn: dk
order: [first, last]
needs:
  main: {lots: alternate 2}
  motif: {colour: {against: main}}
  trim: {colour: {not: main}}
  tip: {colour: {lighter-than: main}}
  toe: {colour: {darker-than: main}}
  first: {}
  last: {}
sizes: {M: {main: 9 m, motif: 9 m, trim: 9 m, tip: 9 m, toe: 9 m, first: 9 m, last: 9 m}}
"""
LOTS = read_stash([("stash.yaml", STASH)]).stash.lots
NEEDS = read_pattern("patterns/x.yaml", PATTERN)[0].needs


def told(own, one, mate, other, *, wash="any", order=()):
    meeting = Meeting(NEEDS[one], NEEDS[other], wash, False, order)
    reason = why_apart(meeting, *(WorkingYarn(((LOTS[lot], 1),)) for lot in (own, mate)))
    return None if reason is None else reason.said()


@pytest.mark.parametrize(
    ("own", "one", "mate", "other", "order", "words"),
    [
        ("slate", "trim", "slate", "main", (), "it serves main, and trim may not share a lot with that"),
        ("slate", "first", "slate", "last", ("first", "last"), "it serves last, and a fade takes no lot twice"),
        ("slate", "motif", "tweed", "main", (), "it is 0 lighter or darker than tweed (main), and 20 is asked"),
        ("slate", "tip", "fog", "main", (), "it is 42 darker than fog (main), and 5 lighter is asked"),
        ("fog", "toe", "slate", "main", (), "it is 42 lighter than slate (main), and 5 darker is asked"),
        ("fog", "main", "slate", "tip", (), "it is 42 lighter than slate (tip), and 5 darker is asked"),
        (
            *("tweed", "first", "slate", "last", ("first", "last")),
            "it is 0 lighter or darker than slate (last), and the fade asks 5 there",
        ),
        ("fog", "motif", "ink", "main", (), "ink (main) bleeds, and this is pale enough to show it"),
        ("ink", "motif", "fog", "main", (), "it bleeds, and fog (main) is pale enough to show it"),
        ("iron", "first", "slate", "last", (), "slate felts in the wash and it does not"),
        ("slate", "first", "iron", "last", (), "it felts in the wash and iron does not"),
        ("tweed", "main", "slate", "main", (), "its blend is too unlike that of slate"),
        ("fog", "main", "slate", "main", (), "its colour is 35 away from slate, 5 is allowed"),
        ("slate", "main", "slate", "main", (), None),
    ],
)
def test_a_yarn_kept_apart_is_told_why(own, one, mate, other, order, words):
    assert told(own, one, mate, other, order=order) == words


def test_no_rule_lacks_its_words():
    assert set(WORDS) == set(pairs.PAIR_RULES)


def test_quantities_are_told_in_the_units_asked():
    reason = because("reaches ", Length(Fraction(100)), " at ", Thickness(230))
    assert reason.said() == "reaches 100 m at 230 m/100g"
    assert reason.said("imperial") == "reaches 109 yd at 71 yd/oz"
