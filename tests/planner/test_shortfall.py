"""What shortfall says to look for is what cover then calls enough."""

import shutil
from pathlib import Path

import pytest

import planner
from planner.asking import ask
from planner.covering import cover
from planner.shortfall import shortfall
from planner.workspace import load_workspace
from tests.planner.test_reckoning import tiny

DEMO = Path(planner.__file__).parent / "demo"
FIND = """lots:
  find:
    fibre: {fibre}
    colour: "{colour}"
    count: {count}
    bleeds: no
    skeins: {{find-1: {mass} g}}
"""


def lacking(folder, name):
    workspace = load_workspace(folder)
    (answer,) = shortfall(workspace, ask(workspace, (name,), every_size=False), workspace.projects.confidence)
    return answer, next(need for need in answer.needs if need.look_for)


def verdict_with(folder, name, find):
    (folder / "stash" / "find.yaml").write_text(find, encoding="utf-8")
    workspace = load_workspace(folder)
    (row,) = cover(workspace, ask(workspace, (name,), every_size=True), workspace.projects.confidence)
    return row.verdict


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")
    projects = tmp_path / "demo" / "projects.yaml"
    projects.write_text(projects.read_text("utf-8").replace("only: [heather]", "only: [heather, find]"), "utf-8")
    (tmp_path / "demo" / "stash" / "find.yaml").write_text(
        FIND.format(fibre="wool", colour="#8d7f9b", count="230 m/100g", mass="0.1"), encoding="utf-8"
    )
    return tmp_path / "demo"


@pytest.mark.parametrize("count", ["191 m/100g", "230 m/100g", "272 m/100g"])
def test_the_grams_to_look_for_are_enough_at_either_end_of_the_range(folder, count):
    _, need = lacking(folder, "heather-vest")
    mass = f"{need.look_for.mass_g + 0.05:.1f}"
    find = FIND.format(fibre="90% wool, 10% alpaca", colour="#8d7f9b", count=count, mass=mass)
    assert verdict_with(folder, "heather-vest", find) == "enough"


def test_a_blend_too_far_from_its_mate_is_not_looked_for(folder):
    _, need = lacking(folder, "heather-vest")
    assert "within 30 points of heather" in need.look_for.fibre
    find = FIND.format(fibre="acrylic", colour="#8d7f9b", count="230 m/100g", mass="200")
    assert verdict_with(folder, "heather-vest", find) != "enough"


def test_a_find_must_felt_where_what_it_meets_felts(folder):
    _, need = lacking(folder, "anchor-cushion")
    assert need.look_for.fibre == "one that felts, as pilot-navy does"
    verdicts = [
        verdict_with(
            folder, "anchor-cushion", FIND.format(fibre=fibre, colour="#c4272f", count="215 m/100g", mass="60")
        )
        for fibre in ("wool", "acrylic")
    ]
    assert verdicts == ["enough", "short"]


def test_where_no_colour_can_serve_that_is_said_and_what_would_help():
    answer, need = lacking(DEMO, "pilot-hat")
    assert [note.split(" of any colour")[0] for note in need.notes] == ["no yarn"]
    assert any(change.change.startswith("take the risk that a dark lot bleeds") for change in answer.changes)


def test_where_a_project_names_its_lots_the_find_is_to_be_added():
    _, need = lacking(DEMO, "heather-vest")
    assert need.notes == ("once you have it, add the new lot to `only:` for main in projects.yaml",)


@pytest.mark.parametrize("seed", [0, 6, 13, 14, 21, 70, 178])
def test_shortfall_and_cover_say_the_same_is_short_where_choices_tie(seed):
    drawn = tiny(seed)
    asked, sure = drawn.projects.projects, drawn.projects.confidence
    rows = {(row.project.removesuffix(f":{row.size}"), row.size): row.needs for row in cover(drawn, asked, sure)}
    said = [own for own in shortfall(drawn, asked, sure) if own.verdict in ("tight", "short")]
    assert said
    for own in said:
        needs = rows[own.project.removesuffix(f":{own.size}"), own.size]
        assert {need.need: need.short_cm for need in own.needs} == {need.need: need.short_cm for need in needs}
