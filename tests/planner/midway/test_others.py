"""What is still to be knitted is asked again at the rate found, with what is left."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from planner.midway.asking import ask_midway
from planner.midway.others import others
from planner.midway.reach import reach
from planner.workspace import load_workspace
from stash.lengths import mass_g

DEMO = load_workspace(Path(__file__).parents[3] / "planner" / "demo")
SURE = Fraction(95, 100)


def told(project, need="main", workspace=DEMO, **flags):
    return ask_midway(workspace, project, {"--need": need, **{f"--{k}": v for k, v in flags.items()}})


def body(left="96g", workspace=DEMO, began="276g", **flags):
    return told(
        "breakwater:M", part="body", rows="90 of 150", left=[f"slate={left}"], began=[f"slate={began}"],
        workspace=workspace, **flags,
    )  # fmt: skip


def asked(knitting, workspace=DEMO):
    found = reach(knitting, float(SURE))
    return found, {need.need: need for need in others(workspace, knitting, found, SURE)}


def without(*lots):
    kept = {name: lot for name, lot in DEMO.stash.lots.items() if name not in lots}
    return replace(DEMO, stash=replace(DEMO.stash, lots=kept))


def test_every_other_part_is_told_at_the_rate_found():
    found, needs = asked(body())
    ratio = found.ratios["main"][0]
    parts = {(name, part.part): (part.before_m, part.now_m) for name, need in needs.items() for part in need.parts}
    stated = {("main", "left sleeve"): 150, ("main", "right sleeve"): 150, ("motif", None): 120, ("edging", None): 45}
    assert {place: (metres, pytest.approx(metres * ratio)) for place, metres in stated.items()} == parts


def test_what_is_finished_is_not_asked_again():
    _, needs = asked(body(finished=["left sleeve", "edging"]))
    assert {n: [p.part for p in need.parts] for n, need in needs.items()} == {"main": ["right sleeve"], "motif": [None]}


def test_nothing_is_asked_where_nothing_is_left_to_knit():
    _, needs = asked(told("lantern-cowl", done="50%", left=["lichen=70g"]))
    assert needs == {}


def test_sleeves_are_enough_from_the_look_alike_and_not_without_it():
    # 143 g of slate were not begun and some of them go into the body: the sleeves want the rest and pewter
    _, needs = asked(body())
    assert {"enough"} == {need.verdict for need in needs.values()}
    alone = without("pewter")
    _, needs = asked(body(workspace=alone), alone)
    assert (needs["main"].verdict, needs["edging"].verdict) == ("short", "enough")
    assert needs["main"].short_cm > 0


def test_sleeves_stay_within_the_patterns_match_of_the_body():
    # cream has metres enough for both sleeves, and is nothing like slate
    alone = without("pewter")
    _, needs = asked(body(workspace=alone), alone)
    assert sum(mass_g(alone.stash.lots["cream"], skein) for skein in alone.stash.lots["cream"].skeins) > 200
    assert needs["main"].verdict == "short"


def test_the_motif_stands_out_from_the_yarn_on_the_needles():
    # no lot as dark or as light as the motif asks beside slate but these
    _, needs = asked(body(finished=["left sleeve", "right sleeve"]))
    assert needs["motif"].verdict == "enough"
    lightness = DEMO.stash.lots["slate"].colour.lightness
    far = {name for name, lot in DEMO.stash.lots.items() if abs(lot.colour.lightness - lightness) >= 25}
    alone = without(*far)
    _, needs = asked(body(workspace=alone, finished=["left sleeve", "right sleeve"]), alone)
    assert needs["motif"].verdict == "short"


def test_what_the_part_still_takes_is_not_promised_twice():
    # all 419 g of slate begun with and little more than the body's rest left: none of it serves the sleeves
    alone = without("pewter")
    _, needs = asked(body("130g", began="290g", workspace=alone), alone)
    assert needs["main"].short_cm > 0
    _, more = asked(body("110g", began="270g", workspace=alone), alone)
    assert more["main"].short_cm == pytest.approx(needs["main"].short_cm, rel=0.15)
