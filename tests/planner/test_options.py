"""Options are truly different ways to make a project, each checked, the first the best plan."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import planner
from planner.asking import AskError, ask
from planner.cli import main
from planner.options import how_many, options
from planner.pages.palettes import options_page
from planner.pinning import pinned, the_one
from planner.show.cautions import project_cautions
from planner.show.options import options_text, shared_out, summary_text
from planner.show.swatches import Screen
from planner.show.tables import display_width
from planner.workspace import load_workspace
from tests.oracle.colourwork import faults

DEMO = load_workspace(Path(planner.__file__).parent / "demo")
SURE = DEMO.projects.confidence


def hat():
    return ask(DEMO, ("gannet-hat",), every_size=False)[0]


@pytest.mark.parametrize("seed", range(6))
def test_options_of_generated_colourwork_are_distinct_checked_and_begin_with_the_best_plan(seed):
    assert list(faults(seed, 16)) == []


def test_there_are_no_more_options_than_there_are():
    """The edging of the pullover may only be rust, its main only slate with pewter; two yarns are left for the motif."""
    found = options(DEMO, ask(DEMO, ("breakwater:M",), every_size=False)[0], SURE, 6)
    assert found.complete
    assert [{role.need: role.yarn.name for role in one.roles}["motif"] for one in found.options] == [
        "lichen + lichen",
        "cream",
    ]


def test_what_an_option_is_good_at_is_what_no_other_betters():
    found = options(DEMO, hat(), SURE, 4).options
    for option in found:
        if "clearest contrast" in option.good_at:
            assert option.least_contrast == max(one.least_contrast for one in found)
        if "most yarn used" in option.good_at:
            assert option.grams == max(one.grams for one in found)
    assert any(option.good_at for option in found)


@pytest.mark.parametrize(
    ("mood", "measure"),
    [
        ("light", lambda colour: colour.lightness),
        ("dark", lambda colour: -colour.lightness),
        ("vivid", lambda colour: (colour.lab[1] ** 2 + colour.lab[2] ** 2) ** 0.5),
        ("muted", lambda colour: -((colour.lab[1] ** 2 + colour.lab[2] ** 2) ** 0.5)),
        ("warm", lambda colour: colour.lab[1] * 0.5 + colour.lab[2] * 0.75**0.5),
        ("cool", lambda colour: -colour.lab[1] * 0.5 - colour.lab[2] * 0.75**0.5),
    ],
)
def test_a_mood_puts_first_what_leans_to_it_most(mood, measure):
    found = options(DEMO, hat(), SURE, 3, mood=mood).options
    lean = [sum(role.share * measure(role.yarn.colour) for role in one.roles) for one in found]
    assert lean == sorted(lean, reverse=True)
    plain = options(DEMO, hat(), SURE, 1).options[0]
    assert lean[0] >= sum(role.share * measure(role.yarn.colour) for role in plain.roles) - 0.01


def test_a_need_keeps_to_the_lots_told_and_a_project_does_without_others():
    project = pinned(DEMO, hat(), ["motif=claret,rust"], ["ochre"])
    for option in options(DEMO, project, SURE, 4).options:
        lots = {role.need: role.yarn.lot_ids for role in option.roles}
        assert lots["motif"] <= {"claret", "rust"}
        assert "ochre" not in lots["main"]


@pytest.mark.parametrize(
    ("only", "without", "message", "hint"),
    [
        (["motiv=ochre"], [], "--only: no need of gannet-hat is called motiv", "did you mean motif?"),
        (["motif=ochr"], [], "--only: no lot is called ochr", "did you mean ochre?"),
        (["motif"], [], "--only: no lot is called nothing", None),
        ([], ["slat"], "--without: no lot is called slat", "did you mean slate or claret?"),
    ],
)
def test_a_need_or_lot_that_is_not_there_is_refused(only, without, message, hint):
    with pytest.raises(AskError) as refused:
        pinned(DEMO, hat(), only, without)
    assert str(refused.value) == message
    assert hint in (None, refused.value.hint)


def test_the_number_of_options_has_bounds():
    assert (how_many(None), how_many(20)) == (6, 20)
    for asked in (0, 21):
        with pytest.raises(AskError, match="out of bounds"):
            how_many(asked)


def test_options_are_for_one_project():
    with pytest.raises(AskError):
        the_one(ask(DEMO, (), every_size=False))
    with pytest.raises(AskError):
        the_one(())


@pytest.mark.parametrize(
    ("shares", "columns"),
    [([0.5, 0.5], [30, 30]), ([0.995, 0.005], [59, 1]), ([1.0], [60]), ([1 / 3, 1 / 3, 1 / 3], [20, 20, 20])],
)
def test_a_strip_is_in_proportion_and_misses_no_yarn(shares, columns):
    assert shared_out(shares, 60) == columns


@pytest.mark.parametrize("truecolour", [False, True])
def test_a_strip_is_sixty_columns_and_everything_fits_the_screen(truecolour):
    text = options_text(options(DEMO, hat(), SURE, 3), 3, DEMO, Screen(truecolour=truecolour))
    assert max(map(display_width, text.splitlines())) <= 80
    strips = [line for line in text.splitlines() if line.startswith("   ") and display_width(line) == 63]
    assert len(strips) >= (0 if truecolour else 6)


def test_the_command_says_how_to_choose_an_option(tmp_path, capsys):
    """The plan that is then made is the option's."""
    shutil.copytree(DEMO.folder, tmp_path / "demo")

    def run(*arguments):
        with pytest.raises(SystemExit):
            main(["plan", *arguments, "--workspace", str(tmp_path / "demo")])
        return capsys.readouterr().out

    text = run("gannet-hat:adult", "--options", "3")
    lines = " ".join(text.split())
    chosen = lines.rsplit("choose it: lotwise plan ", 1)[1].split()
    winding = run(*chosen)
    for pin in chosen[2::2]:
        need, lot = pin.split("=")
        assert f"{need}: needs" in winding
        assert lot in winding


def test_how_many_ways_there_are_is_told_with_what_is_known_of_others():
    hats = options(DEMO, hat(), SURE, 1)
    one = replace(hats, options=hats.options[:1], complete=True)
    assert summary_text(one, "hat", 1) == "1 way to make hat, the best first, each checked."
    assert summary_text(one, "hat", 3).endswith(" There is no other that the eye would tell from it.")
    two = replace(one, options=one.options * 2)
    assert summary_text(two, "hat", 3).endswith(" There is no other that the eye would tell from these.")
    assert summary_text(replace(two, complete=False), "hat", 3).endswith(" There may be others: the time was up.")


def test_what_is_to_be_minded_of_a_way_is_told_with_it():
    found = options(DEMO, hat(), SURE, 6)
    minded = [caution for one in found.options for caution in project_cautions(one.made, DEMO)]
    assert any("wash-test first" in one for one in minded)
    text = " ".join(options_text(found, 6, DEMO, Screen()).split())
    page = options_page(found, 6, DEMO, "metric")
    assert all(f"! {one}" in text and one in page for one in minded)


def test_where_there_is_no_way_what_to_ask_next_is_told():
    none = replace(options(DEMO, hat(), SURE, 1), options=())
    assert options_text(none, 3, DEMO, Screen()) == (
        "No way to make gannet-hat was found: `lotwise shortfall gannet-hat` says why."
    )
