"""What is said where several lots make one need, or several strands one yarn."""

import pytest

from patterns.read import read_pattern
from planner.plan import PlannedNeed, PlannedProject, YarnRun
from planner.show.gathering import gathering_notes
from planner.show.swatches import Screen
from stash.read import read_stash

# L* of night 21, slate 43, iron 43, fog 85; slate and iron lie 0.4 apart. 100 tex are 1000 m/100g.
STASH = read_stash(
    [
        (
            "stash.yaml",
            b"""\
lots:
  night: {fibre: wool, colour: "#232f55", count: 100 tex, skeins: {i1: 50 g}}
  slate: {fibre: wool, colour: "#5b6770", count: 100 tex, skeins: {s1: 50 g}}
  iron: {fibre: wool, colour: "#5c6871", count: 100 tex, skeins: {n1: 50 g}}
  fog: {fibre: wool, colour: "#d0d4d8", count: 100 tex, skeins: {f1: 50 g}}
""",
        )
    ]
).stash
PATTERN = read_pattern(
    "patterns/x.yaml",
    b"""\
yarn: {count: 700 m/100g, within: 50%}
marl: yes
order: [first, middle, last]
needs:
  rows: {lots: alternate 2, match: any}
  body: {lots: by-part, match: any}
  first: {}
  middle: {}
  last: {}
sizes: {M: {rows: 40 m, body: {front: 10 m, back: 10 m}, first: 9 m, middle: 9 m, last: 9 m}}
""",
)[0]


def notes(*needs, units="metric"):
    project = PlannedProject("x", "x", "M", needs)
    return list(gathering_notes(project, PATTERN, STASH, Screen(units)))


def need(name, *runs):
    made = tuple(YarnRun(lots, cm, part, ()) for lots, cm, part in runs)
    return PlannedNeed(name, sum(run.length_cm for run in made), made)


def test_alternate_rows_have_a_rhythm_and_a_rest():
    """30 m and 14 m for 40 m: two rows in three take 26.7 m and 13.3 m."""
    assert notes(need("rows", ({"slate": 1}, 3000, None), ({"iron": 1}, 1400, None))) == [
        (
            "rows: knit 2 rows of slate then 1 row of iron, over and over; kept to the end it leaves 3 m of slate and 1 m "
            "of iron of what is wound off"
        )
    ]


def test_one_yarn_alone_needs_no_rhythm():
    assert notes(need("rows", ({"slate": 1}, 4400, None))) == []


@pytest.mark.parametrize(("other", "seen"), [("iron", "hardly seen"), ("fog", "clearly seen")])
def test_parts_from_two_lots_say_where_the_change_hides(other, seen):
    (note,) = notes(need("body", ({"slate": 1}, 1100, "front"), ({other: 1}, 1100, "back")))
    assert f"({seen}); change where a part begins" in note


def test_held_together_says_what_comes_of_it():
    assert notes(need("first", ({"slate": 2}, 990, None))) == [
        "slate held double comes to 500 m/100g as wool, fingering: swatch before you trust it"
    ]
    (marl,) = notes(need("first", ({"slate": 1, "fog": 1}, 990, None)))
    assert "slate with fog comes to 500 m/100g as wool, fingering, and looks " in marl


@pytest.mark.parametrize(
    ("lots", "expected"),
    [
        (("night", "slate", "fog"), "lighter (L* first 20, middle 43, last 85), in steps of 23 and 42: uneven steps"),
        (("fog", "slate", "night"), "darker (L* first 85, middle 43, last 20), in steps of 42 and 23: uneven steps"),
    ],
)
def test_a_fade_shows_its_steps(lots, expected):
    names = ("first", "middle", "last")
    (note,) = notes(*(need(name, ({lot: 1}, 990, None)) for name, lot in zip(names, lots, strict=True)))
    assert note.startswith(f"the fade grows {expected}")


def test_what_two_needs_have_in_common_is_said_once():
    both = [need(name, ({"slate": 2}, 990, None)) for name in ("first", "last")]
    assert len([note for note in notes(*both) if note.startswith("slate held double")]) == 1
