"""Project names as people ask for them."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from patterns.needs import Pattern
from patterns.projects import Pin, Project, ProjectList
from planner.asking import AskError, ask, read_confidence, read_seconds, read_within
from planner.workspace import Workspace
from stash.faults import Place
from stash.lots import Stash

HERE = Place("patterns/any.yaml", 1, 1)
TENTH = Fraction(1, 10)


def pattern(name, *sizes):
    return Pattern(name, name, "knitting", "any", TENTH, (), {}, {size: {} for size in sizes}, HERE)


SKERRY, HAT, COWL = pattern("skerry", "S", "M"), pattern("tern-hat", "adult", "child"), pattern("cowl", "one")
UNLISTED = Workspace(
    Path(), Stash({}, {}), {p.id: p for p in (COWL, SKERRY, HAT)}, ProjectList(Fraction(19, 20), None), ()
)

M = Project("skerry:M", "skerry", ("M",), TENTH, want=Fraction(3))
HATS = Project("tern-hat", "tern-hat", ("adult", "child"), Fraction(8, 100), must=True)
FAIR = Project("for-the-fair", "skerry", ("S",), TENTH, pins={"motif": Pin(frozenset({"ochre"}))})
COWLS = tuple(Project(f"cowl:one{mark}", "cowl", ("one",), TENTH) for mark in ("", "#2", "#3"))
LISTED = replace(UNLISTED, projects=ProjectList(Fraction(9, 10), (M, HATS, FAIR, *COWLS)))


def names(projects):
    return [project.name for project in projects]


def test_without_names_everything_on_the_list_is_asked_in_its_order():
    assert ask(LISTED, (), every_size=True) == (M, HATS, FAIR, *COWLS)
    assert ask(LISTED, (), every_size=False) == (M, HATS, FAIR, *COWLS)


def test_an_empty_list_asks_nothing():
    assert ask(replace(UNLISTED, projects=ProjectList(TENTH, ())), (), every_size=True) == ()


def test_without_a_list_every_size_is_a_project_of_its_own():
    assert names(ask(UNLISTED, (), every_size=True)) == [
        "cowl:one",
        "skerry:S",
        "skerry:M",
        "tern-hat:adult",
        "tern-hat:child",
    ]


def test_without_a_list_each_pattern_is_one_project_in_any_size():
    asked = ask(UNLISTED, (), every_size=False)
    assert [(p.name, p.sizes) for p in asked] == [
        ("cowl:one", ("one",)),
        ("skerry", ("S", "M")),
        ("tern-hat", ("adult", "child")),
    ]
    assert {p.reserve for p in asked} == {TENTH}


def test_an_id_is_the_project_that_carries_it():
    assert ask(LISTED, ("for-the-fair",), every_size=True) == (FAIR,)


def test_a_copy_is_asked_by_its_mark_and_the_first_bare():
    assert ask(LISTED, ("cowl:one#3", "cowl:one"), every_size=False) == (COWLS[2], COWLS[0])


def test_a_pattern_is_every_listed_project_of_it():
    assert ask(LISTED, ("skerry",), every_size=False) == (M, FAIR)
    assert ask(LISTED, ("cowl",), every_size=False) == COWLS


def test_a_pattern_that_is_not_listed_is_asked_whole():
    listed = replace(UNLISTED, projects=ProjectList(TENTH, (M,)))
    assert names(ask(listed, ("tern-hat",), every_size=True)) == ["tern-hat:adult", "tern-hat:child"]
    assert names(ask(listed, ("tern-hat",), every_size=False)) == ["tern-hat"]


def test_pattern_and_size_work_without_being_listed():
    assert ask(UNLISTED, ("skerry:M",), every_size=False) == (Project("skerry:M", "skerry", ("M",), TENTH, place=HERE),)
    # the listed S has an id of its own, and so is another project
    (plain,) = ask(LISTED, ("skerry:S",), every_size=True)
    assert (plain.name, plain.sizes, dict(plain.pins)) == ("skerry:S", ("S",), {})


def test_pattern_and_size_of_a_listed_pattern_keep_what_the_list_says():
    (child,) = ask(LISTED, ("tern-hat:child",), every_size=True)
    assert child == replace(HATS, name="tern-hat:child", sizes=("child",))


def test_a_name_asked_twice_is_asked_once():
    assert ask(LISTED, ("skerry:M", "skerry", "skerry:M"), every_size=True) == (M, FAIR)


@pytest.mark.parametrize(
    ("name", "message", "hint"),
    [
        ("skery", "no project or pattern is called skery", "did you mean skerry"),
        ("Tern-Hat", "no project or pattern is called Tern-Hat", "did you mean tern-hat"),
        ("skerry:XL", "skerry has no such size: skerry:XL", "write one of skerry:S, skerry:M"),
        ("cowl:one#9", "cowl:one has no such copy: cowl:one#9", "write one of cowl:one, cowl:one#2"),
        ("", "a project's name is empty", "write its name, or none to ask all"),
        ("z" * 99, f"no project or pattern is called {'z' * 79}…", "the names are skerry:M, tern-hat"),
    ],
)
def test_an_unknown_name_is_told_with_what_to_write(name, message, hint):
    with pytest.raises(AskError) as caught:
        ask(LISTED, (name,), every_size=True)
    assert message == str(caught.value)
    assert caught.value.hint.startswith(hint)


@pytest.mark.parametrize(
    ("text", "expected"), [("30s", 30.0), ("1.5s", 1.5), ("2m", 120.0), ("2 m", 120.0), (None, None)]
)
def test_a_time_limit_in_seconds_or_minutes(text, expected):
    assert expected == read_seconds(text)


@pytest.mark.parametrize("text", ["30", "s", "0s", "-1s", "1h", "1e3s", "nan", "", "٣s"])
def test_anything_else_is_no_time(text):
    with pytest.raises(AskError) as caught:
        read_seconds(text)
    assert caught.value.hint == "write seconds or minutes, such as 30s, 1.5s or 2m"


def test_confidence_is_the_files_unless_asked():
    assert read_confidence(None, Fraction(9, 10)) == Fraction(9, 10)
    assert read_confidence("99.9%", Fraction(9, 10)) == Fraction(999, 1000)
    assert read_confidence("50 %", Fraction(9, 10)) == Fraction(1, 2)


@pytest.mark.parametrize("text", ["49%", "100%", "95", "0.95", "-95%", "nan%"])
def test_a_confidence_out_of_bounds_or_without_its_sign_is_refused(text):
    with pytest.raises(AskError):
        read_confidence(text, TENTH)


def test_within_is_a_share_below_the_whole():
    assert read_within(None) == 0
    assert read_within("1%") == Fraction(1, 100)
    with pytest.raises(AskError):
        read_within("100%")
    with pytest.raises(AskError):
        read_within("1")
