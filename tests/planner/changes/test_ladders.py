"""What the steps of each kind of change are, and how they are written."""

import shutil
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

import planner
from patterns.needs import ColourRule, FibreRule, LotRule
from patterns.read import read_pattern
from planner.asking import ask
from planner.changes.alterations import Wish
from planner.changes.rules import rule_ladders
from planner.changes.wish import wish_ladders
from planner.changes.yarn import fibre_text, yarn_ladders
from planner.shortfall import shortfall
from planner.workspace import load_workspace
from stash.colour import read_colour

DEMO = Path(planner.__file__).parent / "demo"
PATTERN = """yarn: {yarn}
needs:
  main: {main}
  motif: {{lots: one}}
sizes:
  one: {{main: {{body: 100 m, sleeve: 40 m}}, motif: 20 m}}
"""


def pattern_of(main, yarn="dk"):
    pattern, faults = read_pattern("patterns/cap.yaml", PATTERN.format(main=main, yarn=yarn).encode())
    assert [fault for fault in faults if not fault.warning] == []
    return pattern


def steps(main, kind, yarn="dk"):
    pattern = pattern_of(main, yarn)
    need = pattern.needs["main"]
    ladders = [*yarn_ladders(pattern, need), *rule_ladders(pattern, need, "one")]
    return next((ladder for ladder in ladders if ladder.kind == kind), None), pattern


def written(ladder):
    return [edit.text for rung in ladder.rungs for edit in rung.edits]


@pytest.mark.parametrize(
    ("main", "kind", "first", "last"),
    [
        ("{lots: one}", "alternate", "lots: alternate 2", "lots: alternate 4"),
        ("{lots: one}", "by part", "lots: by-part", "lots: by-part"),
        ("{lots: alternate 3}", "alternate", "lots: alternate 4", "lots: alternate 4"),
        ("{lots: any 2}", "any", "lots: any 3", "lots: any 5"),
        ("{lots: by-part, match: 7.5}", "match", "match: 8", "match: any"),
        ('{colour: {near: "#8a1c1c", within: 8}}', "colour", "within: 9", "within: 100"),
        ("{colour: {against: motif}}", "contrast", "lightness: 19", "lightness: 0"),
        ("{colour: {against: motif, darker-than: motif}}", "contrast", "lightness: 5", "lightness: 0"),
        ("{strands: 1}", "more strands", "strands: 1-2", "strands: 1-3"),
        ("{strands: 2-3}", "fewer strands", "strands: 1-3", "strands: 1-3"),
        ("{strands: 1-2}", "marl", "marl: yes", "marl: yes"),
        ("{fibre: {avoid: [mohair]}}", "fibre", "fibre: {}", "fibre: {}"),
    ],
)
def test_steps_go_from_the_smallest_to_the_widest(main, kind, first, last):
    ladder, _ = steps(main, kind)
    assert (written(ladder)[0], written(ladder)[-1]) == (first, last)


@pytest.mark.parametrize(
    ("yarn", "first"),
    [
        ("dk", "yarn: {class: dk, within: 6%}"),
        ("{class: 3, within: 12%}", "yarn: {class: 3, within: 13%}"),
        ("230 m/100g", "yarn: {count: 230 m/100g, within: 11%}"),
        ("{count: Nm 2/9, within: 7%}", "yarn: {count: Nm 2/9, within: 8%}"),
    ],
)
def test_a_wider_thickness_is_read_back_as_the_range_that_was_tried(yarn, first):
    ladder, pattern = steps("{lots: one}", "thickness", yarn)
    assert written(ladder)[0] == first
    wish = Wish(None, pattern, None)
    tried = ladder.rungs[0].alter(wish).pattern.needs["main"].yarn
    read = pattern_of("{lots: one}", first.removeprefix("yarn: ")).needs["main"].yarn
    assert (tried.low, tried.high) == (read.low, read.high)


def test_a_need_already_free_of_a_rule_has_no_steps_for_it():
    for kind in ("match", "colour", "contrast", "fibre"):
        assert steps("{lots: any}", kind)[0] is None


def test_a_largest_share_beside_what_is_allowed_becomes_the_whole():
    # to leave it out would forbid the fibre altogether
    pattern = pattern_of("{fibre: {allow: [animal], at-most: {polyamide: 25%}}}")
    ladders = [ladder for ladder in yarn_ladders(pattern, pattern.needs["main"]) if ladder.kind == "fibre"]
    assert [written(ladder) for ladder in ladders] == [
        ["fibre: {at-most: {polyamide: 25%}}"],
        ["fibre: {allow: [animal], at-most: {polyamide: 100%}}"],
    ]


@pytest.mark.parametrize("avoid", [frozenset(), frozenset(["mohair", "silk"])])
@pytest.mark.parametrize("allow", [None, frozenset(["animal", "cotton"])])
def test_a_fibre_rule_is_read_back_as_it_was(allow, avoid):
    rule = FibreRule(allow, {"wool": Fraction(1, 2)}, {"polyamide": Fraction(125, 1000)}, avoid)
    assert pattern_of(f"{{fibre: {fibre_text(rule)}}}").needs["main"].fibre == rule


def test_steps_alter_a_copy_and_leave_the_rest():
    pattern = pattern_of('{lots: one, colour: {near: "#8a1c1c"}}')
    wish = Wish(None, pattern, None)
    for ladder in rule_ladders(pattern, pattern.needs["main"], "one"):
        altered = ladder.rungs[-1].alter(wish)
        assert altered.pattern.needs["motif"] is pattern.needs["motif"]
        assert altered.pattern.needs["main"] != pattern.needs["main"]
    assert pattern.needs["main"].lots == LotRule("one", 1, None)
    assert pattern.needs["main"].colour == ColourRule(near=read_colour("#8a1c1c"))


def test_only_sizes_not_asked_already_are_tried_nearest_first():
    workspace = load_workspace(DEMO)
    (vest,) = ask(workspace, ("heather-vest",), every_size=False)
    wish = Wish(vest, workspace.patterns["gull-vest"], workspace.stash)
    (sizes,) = [one for one in wish_ladders(workspace, wish, set(), Fraction(95, 100)) if one.kind == "size"]
    assert written(sizes) == ["size: S", "size: L"]
    nameless = replace(vest, name="gull-vest:M")  # and there is one more without a name, in size M
    (sizes,) = [
        one
        for one in wish_ladders(workspace, replace(wish, project=nameless), set(), Fraction(95, 100))
        if one.kind == "size"
    ]
    assert written(sizes) == ["size: S", "size: L"]


def test_as_few_lots_as_will_do_are_let_in(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")
    workspace = load_workspace(tmp_path / "demo")
    (answer,) = shortfall(workspace, ask(workspace, ("moss-vest",), every_size=False), Fraction(95, 100))
    (let,) = [change for change in answer.changes if change.change.startswith("let ")]
    assert let.change == "let slate serve main too"
    assert [edit.text for edit in let.edits] == ["only: [moss, slate]"]


def test_only_lots_that_suit_a_need_are_measured_again():
    workspace = load_workspace(DEMO)
    (vest,) = ask(workspace, ("heather-vest",), every_size=False)
    wish = Wish(vest, workspace.patterns["gull-vest"], workspace.stash)
    ladders = list(wish_ladders(workspace, wish, {"heather", "rust"}, Fraction(95, 100)))
    measured = [ladder for ladder in ladders if ladder.kind == "measure"]
    assert len(measured) == 2
    assert ["heather" in measured[0].rungs[0].what.said(), "rust" in measured[1].rungs[0].what.said()] == [True, True]
