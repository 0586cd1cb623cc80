"""Reading projects.yaml: names, copies, and what is filled in."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from patterns.projects import Pin, Project, ProjectList
from patterns.read import read_pattern
from patterns.read_projects import read_projects

if TYPE_CHECKING:
    from patterns.needs import Pattern


def pattern(name: str, sizes: str) -> Pattern:
    listed = ", ".join(f"{size}: {{main: 9 m, motif: 9 m}}" for size in sizes.split())
    text = f"yarn: dk\nreserve: 12%\nneeds: {{main: {{}}, motif: {{}}}}\nsizes: {{{listed}}}\n"
    found, _ = read_pattern(f"patterns/{name}.yaml", text.encode())
    assert found is not None
    return found


PATTERNS = {"skerry": pattern("skerry", "S M L"), "cowl": pattern("cowl", "one")}


def read(text: str) -> ProjectList:
    found, faults = read_projects(("projects.yaml", text.encode()), PATTERNS, {"slate", "ochre"})
    assert faults == []
    return found


def projects(*rows: str) -> tuple[Project, ...]:
    found = read("projects:\n" + "".join(f"  - {row}\n" for row in rows)).projects
    assert found is not None
    return found


def test_a_project_goes_by_its_id_else_pattern_and_size_else_pattern() -> None:
    found = projects(
        "{make: skerry, size: M}",
        "{make: cowl}",
        "{make: skerry, size: [S, L]}",
        "{make: skerry, size: M, id: for-the-fair}",
    )
    assert [one.name for one in found] == ["skerry:M", "cowl", "skerry", "for-the-fair"]


def test_no_size_means_any_of_the_patterns_sizes() -> None:
    assert projects("{make: skerry}")[0].sizes == ("S", "M", "L")


def test_sizes_stand_in_the_patterns_order() -> None:
    assert projects("{make: skerry, size: [L, S]}")[0].sizes == ("S", "L")


def test_each_copy_is_a_project_of_its_own() -> None:
    found = projects("{make: cowl, size: one, copies: 3, must: yes}")
    assert [(one.name, one.must) for one in found] == [("cowl:one", True), ("cowl:one#2", True), ("cowl:one#3", True)]


@pytest.mark.parametrize("ids", [("id: a", "id: b"), ("id: a", ""), ("", "id: b")])
def test_a_size_may_be_asked_again_when_all_but_one_carry_an_id(ids: tuple[str, str]) -> None:
    assert len(projects(*(f"{{make: skerry, size: M, {one}}}" for one in ids))) == 2


def test_a_projects_reserve_goes_before_its_patterns() -> None:
    assert Fraction(8, 100) == projects("{make: cowl, reserve: 8%}")[0].reserve
    assert Fraction(12, 100) == projects("{make: cowl}")[0].reserve


def test_what_is_wanted_and_accepted() -> None:
    found = projects("{make: cowl, want: 2.5, must: yes, bleed-risk: accept}", "{make: skerry}")
    assert [(Fraction(5, 2), True, True), (Fraction(1), False, False)] == [
        (one.want, one.must, one.bleed_risk) for one in found
    ]


def test_lots_are_pinned_and_excluded_need_by_need() -> None:
    found = projects("{make: skerry, needs: {motif: {only: [ochre]}, main: {without: slate}}}")
    expected = {"motif": Pin(frozenset({"ochre"})), "main": Pin(None, frozenset({"slate"}))}
    assert expected == found[0].pins


def test_confidence_is_95_percent_unless_said() -> None:
    assert Fraction(95, 100) == read("projects: []").confidence
    assert Fraction(999, 1000) == read("confidence: 99.9%\nprojects: []").confidence


def test_a_list_may_be_empty() -> None:
    assert read("projects: []").projects == ()


def test_a_pattern_with_a_fault_of_its_own_raises_no_second_one() -> None:
    text = b"projects: [{make: broken, size: XXL, needs: {any: {only: slate}}}]"
    found, faults = read_projects(("projects.yaml", text), {"broken": None}, {"slate"})
    assert (found.projects, faults) == ((), [])


def test_a_note_in_a_list_of_projects_changes_nothing() -> None:
    plain, noted = "projects: [{make: cowl}]\n", "note: for winter\nprojects: [{make: cowl, note: grey}]\n"
    (one,), (other,) = read(plain).projects or (), read(noted).projects or ()
    assert (one.name, one.pattern) == (other.name, other.pattern) == ("cowl", "cowl")
