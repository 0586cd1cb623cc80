"""`lotwise measure` by flags, by prompts and as a document: count, class, metres, budget, and what would sharpen it."""

import json
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.cli import main
from planner.measured import measure
from planner.sampling import ask_measure
from tests.planner.terminal import run_in_terminal

Z = 1.6448536
SURE = Fraction(95, 100)
HAT = "gauge: {stitches: 22, rows: 30, over: 10 cm}\nyarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 100 m}}\n"
TURNS = ("--turns", "120", "--around", "1.5 m", "--mass", "42 g")
THREE = tuple(
    part
    for text in ("120 turns of 1.5 m, 42 g", "100 turns of 1.5 m, 35 g", "80 turns of 1.5 m, 33 g")
    for part in ("--sample", text)
)


@pytest.fixture
def run(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *arguments: run("measure", *arguments)


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "stash").mkdir()
    (tmp_path / "patterns").mkdir()
    (tmp_path / "stash" / "crew.yaml").write_text("donors:\n  crew: {garment: pullover, fibre: wool, mass: 486 g}\n")
    (tmp_path / "patterns" / "hat.yaml").write_text(HAT)
    return tmp_path


def document(run, *arguments):
    code, out, err = run(*arguments, "--json")
    assert (code, err) == (0, "")
    return json.loads(out)


def figures(**flags):
    return measure(ask_measure({f"--{name}": text for name, text in flags.items()}), SURE)


def test_the_answer_comes_first_and_then_its_budget(run):
    code, out, err = run(*TURNS, "--batch", "440 g")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    # 100 x 180 / 42 = 428.6 m; u = hypot(1/sqrt(3)/120, 0.5 %, 1 %, 1/sqrt(12)/42) = 1.40 %
    assert lines[:5] == [
        "This yarn is 429 m/100g (419 to 438), 233 tex.",
        "Class 1 fingering (350 to 600 m/100g, as wool of the same thickness), whichever",
        "end is right.",
        "What you measured is 180 m (176 to 184) long.",
        "The whole 440 g is 1886 m (1842 to 1929) long.",
    ]
    assert "To sharpen it most, wind 240 turns instead of 120: from ± 2.3 % to ± 2 %." in lines
    assert "Keep fingers, hair and sleeves clear of a turning swift." in lines
    assert "wash it before it meets" in out


def test_imperial_units_are_shown_where_they_are_asked_for(run):
    _, out, _ = run("--length", "270 yd", "--mass", "50 g", "--batch", "440 g", "--units", "imperial")
    # 270 x 440 / 50 = 2376 yd, within the 2,300 to 2,400 yd of common practice, no source
    assert "What you measured is 270 yd (265 to 275) long." in out
    assert "The whole 440 g is 2376 yd (2327 to 2425) long." in out


@pytest.mark.parametrize(
    "arguments",
    [TURNS, THREE, ("--wraps", "16"), ("--wraps", "16", "--plies", "3", "--batch", "9 oz"), ("--turns", "9", "--around", "61 in"),
     ("--length", "12.4 m", "--before", "118 g", "--after", "112 g", "--apart", "--fibre", "cotton")],
)  # fmt: skip
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_line_fits_80_columns(run, arguments, units):
    _, out, _ = run(*arguments, "--units", units)
    assert max(map(len, out.splitlines())) <= 80
    assert "\u00a0" not in out


def test_four_grams_on_a_kitchen_scale_are_to_be_weighed_or_wound_better(run):
    _, out, _ = run("--turns", "12", "--around", "1.5 m", "--mass", "4 g")
    # z x hypot(1/sqrt(3)/12, 0.5 %, 1 %, 1/sqrt(12)/4) = 14.4 %; 100 turns weigh 33.3 g: 2.5 %
    assert "To sharpen it most, wind 100 turns instead of 12: from ± 14.4 % to ± 2.5 %." in out


def test_a_class_that_the_interval_leaves_is_said_to_be_uncertain(run):
    # 16 wraps: 338 m/100g, 227 to 449; the bins: 3 from 200, 2 from 260, 1 from 350
    said = " ".join(run("--wraps", "16")[1].split())
    class_2 = "Class 2 sport (260 to 350 m/100g, as wool of the same thickness)"
    assert f"{class_2}; but it may be as thick as 3 dk or as thin as 1 fingering." in said
    # 5.1 g in 13.6 m: 267 m/100g, 261 to 272, all of it in the bin
    said = " ".join(run("--length", "136 m", "--mass", "51.0 g")[1].split())
    assert f"{class_2}, whichever end is right." in said


def test_a_count_hardly_any_yarn_has_is_to_be_looked_at_again(run):
    said = "'40 wraps in an inch' comes to 2114 m/100g: thinner than most knitting yarn"
    assert f"Look again: {said};" in " ".join(run("--wraps", "40")[1].split())
    assert document(run, "--wraps", "40")["warnings"] == [said]
    assert document(run, "--wraps", "16")["warnings"] == []


def test_a_length_that_was_not_weighed_has_no_count(run):
    found = document(run, "--turns", "170", "--around", "61 in")
    assert (found["count"], found["class"], found["batch"], found["budget"]) == (None, None, None, [])
    assert found["measured"]["length_m"] == pytest.approx(170 * 1.5494)
    assert "It was not weighed" in run("--turns", "170", "--around", "61 in")[1]


def test_a_ply_is_as_much_finer_as_there_are_plies(run):
    found = document(run, *TURNS, "--plies", "3")
    assert found["ply_m_per_100g"] == pytest.approx(3 * found["count"]["m_per_100g"], abs=1e-5)


def test_samples_that_disagree_are_said_to_and_the_odd_one_named(run):
    found = document(run, *THREE)
    assert (found["scatter"]["agree"], found["scatter"]["odd_sample"], len(found["samples"])) == (False, 3, 3)
    _, out, _ = run(*THREE)
    said = " ".join(out.split())
    assert "The samples disagree" in said
    assert "Measure again before you trust it" in " ".join(said.split())
    assert "sample 3 fits the others least" in said
    assert "The samples agree" in run(*THREE[:4])[1]


def test_the_document_begins_with_its_format_and_its_shares_add_up(run):
    found = document(run, *TURNS, "--batch", "440 g", "--apart", "--fibre", "wool")
    assert list(found)[:2] == ["format", "confidence"]
    assert found["format"] == "lotwise/measure-1"
    assert sum(one["share"] for one in found["budget"]) == pytest.approx(1, abs=1e-5)
    spread = math.hypot(*(one["relative_u"] for one in found["budget"]))
    batch = found["batch"]
    assert batch["length_low_m"] == pytest.approx(batch["length_m"] * (1 - Z * spread), rel=1e-6)
    assert batch["length_high_m"] == pytest.approx(batch["length_m"] * (1 + Z * spread), rel=1e-6)
    assert found["sharpen"][0]["relative_u_before"] == pytest.approx(spread, rel=1e-6)


def test_the_scale_the_whole_lay_on_does_not_touch_the_count(run):
    alone, whole = document(run, *TURNS), document(run, *TURNS, "--batch", "9 g")
    assert alone["count"] == whole["count"]
    assert whole["budget"][0]["source"] == "batch scale"


def test_cotton_of_the_same_count_is_thinner_than_wool(run):
    wool, cotton = (document(run, *TURNS, "--fibre", fibre) for fibre in ("wool", "cotton"))
    assert wool["count"] == cotton["count"]
    # as thick as wool of tex x 1.31 / 1.52
    thicker = cotton["class"]["wool_equivalent_m_per_100g"] / wool["class"]["wool_equivalent_m_per_100g"]
    assert thicker == pytest.approx(1.52 / 1.31, rel=1e-6)


def test_confidence_is_as_asked_else_as_in_the_projects_file(run, folder):
    assert document(run, *TURNS)["confidence"] == 0.95
    (folder / "projects.yaml").write_text("confidence: 80%\nprojects: [{make: hat}]\n")
    assert document(run, *TURNS)["confidence"] == 0.8
    assert document(run, *TURNS, "--confidence", "90%")["confidence"] == 0.9


def test_more_confidence_reaches_farther():
    told = ask_measure({"--turns": "120", "--around": "1.5 m", "--mass": "42 g", "--batch": "440 g"})
    half, more = (measure(told, Fraction(percent, 100)).yarn.batch_m for percent in (50, 99))
    assert more.low < half.low == pytest.approx(half.best, rel=1e-12)
    assert half.best == more.best


@given(st.integers(20, 5000), st.integers(0, 5000))
def test_more_grams_are_never_fewer_metres(grams, more):
    few, many = (figures(length="12.4 m", mass="5.1 g", batch=f"{g} g").yarn.batch_m for g in (grams, grams + more))
    assert few.best <= many.best
    assert few.low <= many.low


@given(st.integers(5, 60), st.integers(20, 900), st.integers(2, 9))
def test_a_sample_and_a_batch_so_many_times_as_long_and_heavy_are_so_many_times_as_many_metres(grams, batch, times):
    one = figures(length="40 m", mass=f"{grams} g", batch=f"{batch} g", scale="1 g").yarn
    more = figures(length=f"{40 * times} m", mass=f"{grams * times} g", batch=f"{batch * times} g", scale="1 g").yarn
    assert one.count.tex == more.count.tex
    assert more.batch_m.best == pytest.approx(times * one.batch_m.best)
    assert more.relative_u <= one.relative_u


def test_add_writes_a_lot_that_check_accepts_and_lots_shows(run, folder, capsys):
    arguments = (*TURNS, "--fibre", "wool", "--add", "tide", "--colour", "navy", "--skein", "118 g", "--donor", "crew")
    code, out, err = run(*arguments, "--dry-run")
    assert (code, err) == (0, "")
    assert "Would write tide to stash/tide.yaml:" in out
    assert not (folder / "stash" / "tide.yaml").exists()
    code, out, _ = run(*arguments)
    assert code == 0
    assert "Wrote tide, 1 skein, to stash/tide.yaml:" in out
    for command in ("check", "lots"):
        with pytest.raises(SystemExit) as ended:
            main([command])
        assert ended.value.code == 0
    assert "tide" in capsys.readouterr().out
    code, _, err = run(*arguments)
    assert code == 2
    assert err.startswith("lotwise: --add: the name tide is taken already\n")


def test_a_file_in_the_way_ends_with_5_and_is_left(run, folder):
    (folder / "stash" / "tide.yaml").write_text("# mine\ndonors: {vest: {garment: vest}}\n")
    code, out, err = run(*TURNS, "--fibre", "wool", "--add", "tide", "--colour", "navy", "--skein", "9 g")
    assert (code, out) == (5, "")
    assert err.endswith("hint: nothing was changed\n")
    assert (folder / "stash" / "tide.yaml").read_text().startswith("# mine")


def test_a_stash_in_one_file_ends_with_5_and_gives_the_lines(run, tmp_path):
    (tmp_path / "stash.yaml").write_text("lots: {old: {fibre: wool, colour: red, count: dk, skeins: {a: 9 g}}}\n")
    code, out, _ = run(*TURNS, "--fibre", "wool", "--add", "tide", "--colour", "navy", "--skein", "9 g")
    assert code == 5
    assert "tide is not written: this stash is one file" in out
    assert "count: {turns: 120, around: 1.5 m, mass: 42 g}" in out


def test_wrong_usage_ends_with_2_and_says_nothing_on_stdout(run):
    for arguments in ((), ("--wraps", "many"), (*TURNS, "--wraps", "3"), ("--dry-run",)):
        code, out, err = run(*arguments)
        assert (code, out) == (2, "")
        assert err.startswith("lotwise: ")
        assert "\nhint: " in err


def test_prompts_ask_again_with_the_reason_and_give_the_same_answer(run, folder):
    by_flags = run(*TURNS, "--batch", "440 g", "--fibre", "wool")[1]
    answers = ["loom", "swift", "many", "120", "1.5", "1.5 m", "42 g", "", "440 g", "", "wool", "", ""]
    screen, code = run_in_terminal(["measure"], answers, folder)
    assert code == 0
    assert screen.startswith("Tell what you measured; Enter takes what stands in brackets.\n")
    assert "  'loom' is not one of them\n  write turns, length, wraps, samples\n" in screen
    assert "  'many' is not a plain number\n" in screen
    assert "  '1.5' has no unit\n  write the unit too, for example 1.5 m\n" in screen
    assert screen.count("How many turns, or strands across the hank?") == 2
    assert screen.endswith(by_flags)


def test_prompts_about_the_scale_arise_only_where_something_was_weighed(folder):
    screen, code = run_in_terminal(["measure"], ["wraps", "14", "", "", "", ""], folder)
    assert code == 0
    assert "scale read" not in screen
    screen, code = run_in_terminal(["measure"], ["swift", "60", "1.5 m", "", "", "", "", "", ""], folder)
    assert code == 0
    assert "scale read" not in screen
    assert "another room" not in screen


def test_prompts_lead_to_a_new_lot_too(folder):
    answers = ["samples", "12.4 m, 5.1 g", "nonsense", "20 turns of 1.5 m, 12 g", "", "yes", "", "", "wool", "2"]
    answers += ["crew", "tide", "navy", "crow", "crew", "", "", "118 g", "tide-b=96 g in 3 pieces", ""]
    screen, code = run_in_terminal(["measure"], answers, folder)
    assert code == 0
    assert "  'nonsense' is no sample: a length, a comma and a mass\n" in screen
    assert "  the name crew is taken already\n" in screen
    assert "  there is no donor 'crow'\n  did you mean 'crew'?\n" in screen
    assert "Wrote tide, 2 skeins, to stash/tide.yaml:" in screen
    assert (folder / "stash" / "tide.yaml").read_text().count("weighed: apart") == 2


def test_what_else_a_lot_needs_is_prompted_for_where_only_its_name_is_given(folder):
    arguments = ["measure", *TURNS, "--fibre", "wool", "--add", "tide"]
    screen, code = run_in_terminal(arguments, ["navy", "", "", "", "118 g", ""], folder)
    assert code == 0
    assert screen.startswith("What colour is it?")
    assert (folder / "stash" / "tide.yaml").exists()


def test_a_mass_by_difference_is_prompted_for_where_no_mass_is_told(folder):
    answers = ["length", "60 m", "", "118 g", "99 g", "", "", "", "", "", ""]
    screen, code = run_in_terminal(["measure"], answers, folder)
    assert code == 0
    assert "This yarn is 316 m/100g" in screen


def test_a_terminal_that_is_hung_up_ends_with_2(folder):
    screen, code = run_in_terminal(["measure"], ["turns"], folder)
    assert code == 2
    assert "the answers ended before the questions" in screen
