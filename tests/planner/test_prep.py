"""`lotwise prep`: a work sheet whose steps are in order, whose cautions stand where they matter, and whose form fits."""

import json
import shutil
from pathlib import Path

import pytest

from planner.prep.washing import care_for, fahrenheit
from stash.fibre import felts_default, read_blend
from stash.read import read_stash
from tests.planner.terminal import run_in_terminal

DEMO = Path(__file__).parents[2] / "planner" / "demo"
STEPS = ["keep-apart", "take-apart", "unravel", "skein", "bleed-test", "wash", "dry", "measure"]


@pytest.fixture
def sheet(run):
    def read_sheet(*arguments):
        code, out, _ = run("prep", *arguments, "--workspace", DEMO, "--json")
        assert code == 0
        return json.loads(out)

    return read_sheet


def step(document, key):
    return next(one for one in document["steps"] if one["step"] == key)


def test_the_steps_go_from_the_bag_to_the_scale(sheet):
    document = sheet("buoy-guernsey")
    assert document["format"] == "lotwise/prep-1"
    assert [one["step"] for one in document["steps"]] == STEPS


def test_each_panel_is_told_as_it_was_taped_with_the_pieces_to_expect(run):
    _, out, _ = run("prep", "buoy-guernsey", "--workspace", DEMO)
    assert "2 panels of 38 x 44 cm: expect 3 pieces of about 117 m; found ______" in out
    assert "2 panels of 16-28 x 34 cm: expect 2 pieces of about 78 m; found ______" in out


@pytest.mark.parametrize(
    ("key", "caution"),
    [
        ("keep-apart", "Many home freezers are not cold enough"),
        ("keep-apart", "with a mask"),
        ("take-apart", "cut away from you"),
        ("unravel", "Fine dust"),
        ("bleed-test", "never soak an untested one with a pale one"),
        ("wash", "scald"),
        ("wash", "Above 40 C with rubbing wool felts"),
        ("measure", "turning swift"),
    ],
)
def test_cautions_stand_at_the_step_where_they_matter(sheet, key, caution):
    assert any(caution in line for line in step(sheet("buoy-guernsey"), key)["cautions"])


def test_selling_and_nightwear_are_minded(sheet):
    told = " ".join(sheet("buoy-guernsey")["when_selling"])
    assert "never call it virgin or new wool (Regulation (EU) 1007/2011, Art. 8; 16 CFR 300.20)" in told
    assert "No children's nightwear" in told


def test_unknown_fibre_is_kept_from_flame(sheet):
    assert any("burn tests" in line for line in step(sheet("--fibre", "unknown"), "keep-apart")["cautions"])
    assert not any("burn tests" in line for line in step(sheet("--fibre", "wool"), "keep-apart")["cautions"])


def test_unknown_fibre_may_felt(sheet):
    document = sheet("--fibre", "unknown")
    assert document["felts"] is None
    assert any("felts" in line for line in step(document, "wash")["cautions"])


@pytest.mark.parametrize(
    ("fibre", "hottest", "weighted"),
    [
        ("wool", 30, True),
        ("superwash", 40, False),
        ("cotton", 40, True),
        ("linen", 40, True),
        ("viscose", 30, False),
        ("acrylic", 30, True),
        ("silk", 30, True),
        ("mohair", 30, False),
        ("80% cotton, 20% viscose", 30, False),
        ("unknown", 30, False),
    ],
)
def test_the_gentlest_fibre_decides(fibre, hottest, weighted):
    """Common practice, no source; above 40 C with rubbing wool felts."""
    blend = read_blend(fibre)
    cares = care_for(blend, felts=felts_default(blend))
    assert min(care.hottest_c for care in cares) == hottest
    assert all(care.weighted for care in cares) == weighted


def test_degrees_are_told_both_ways():
    assert (fahrenheit(30), fahrenheit(40)) == (86, 104)


def test_cut_seams_are_bundled_not_skeined(sheet):
    document = sheet("pontoon-tunic")
    assert any("overlocked" in line for line in step(document, "take-apart")["do"])
    assert step(document, "skein")["do"][0].startswith("Lay the threads side by side in bundles and tie each in 4")


def test_a_felted_garment_is_not_unravelled(sheet):
    document = sheet("laundry-pullover")
    assert [one["step"] for one in document["steps"]] == ["keep-apart", "use-as-fabric"]
    assert (document["lot"], document["sample"]) == ([], None)


def test_the_sample_makes_the_count_known_to_2_percent(sheet):
    """436 tex on 1.5 m and whole grams: sqrt((0.577/45)^2 + 0.005^2 + 0.01^2 + (0.289/29.4)^2) = 1.96 %."""
    assert sheet("buoy-guernsey")["sample"]["turns"] == 45
    assert sheet("buoy-guernsey", "--scale", "0.1 g")["sample"]["turns"] == 35
    longer = sheet("buoy-guernsey", "--around", "3 m")["sample"]
    assert (longer["turns"], longer["thickness_known"]) == (40, True)
    unknown = sheet("--fibre", "wool")["sample"]
    assert unknown == {"turns": 60, "mass_g": 22, "thickness_known": False}


@pytest.mark.parametrize("arguments", [("buoy-guernsey",), ("--fibre", "wool", "--scale", "2 g", "--around", "60 in")])
def test_the_form_filled_in_is_a_lot(sheet, arguments):
    """Blanks take their turn: a name, figures, an answer; what comes out has no fault."""
    filled = "\n".join(sheet(*arguments)["lot"])
    filled = filled.replace("turns: ______", "turns: 45").replace("mass: ______ g}", "mass: 30 g}")
    filled = filled.replace("mass: ______ g, pieces: ______", "mass: 90 g, pieces: 2").replace('"#______"', '"#c02a30"')
    filled = filled.replace("bleeds: ______", "bleeds: no").replace("______", "buoy")
    donor = "donors:\n  buoy-guernsey: {garment: guernsey}\n" if "donor:" in filled else ""
    found = read_stash([("new.yaml", (donor + filled).encode())])
    assert found.faults == ()
    assert len(found.stash.lots["buoy"].skeins) == 3


def test_every_line_fits_80_columns_in_plain_text(run):
    for donor in ("buoy-guernsey", "lifeboat-cardigan", "pontoon-tunic", "laundry-pullover"):
        for units in ("metric", "imperial"):
            code, out, err = run("prep", donor, "--workspace", DEMO, "--units", units)
            assert (code, err) == (0, "")
            assert all(len(line) <= 80 for line in out.splitlines())
            assert out.isascii()


def test_a_donor_nobody_knows_is_wrong_usage(run):
    code, out, err = run("prep", "bouy-guernsey", "--workspace", DEMO)
    assert (code, out) == (2, "")
    assert "did you mean 'buoy-guernsey'?" in err


def test_in_a_terminal_it_asks_and_asks_again_with_the_reason(tmp_path):
    shutil.copytree(DEMO, tmp_path / "copy")
    answers = ["wool", "lnked", "linked", "", "", "", "", "", "", "", "", "", "1.5 m", ""]
    screen, code = run_in_terminal(["prep"], answers, tmp_path / "copy")
    assert code == 0
    assert "'lnked' is not one of the answers" in screen
    assert "did you mean linked?" in screen
    assert "8. Measure, once it is quite dry" in screen


def test_threads_of_cut_seams_are_laid_along_a_tape_not_wound(sheet):
    """A row of a cut panel is shorter than two turns of a swift, so its count is a length and a mass."""
    document = sheet("pontoon-tunic")
    measure = step(document, "measure")
    assert any("too short for a swift" in line for line in measure["do"])
    assert measure["cautions"] == []
    assert document["sample"]["turns"] is None
    assert "    count: {length: ______ m, mass: ______ g}" in document["lot"]
    assert not any("cast-off" in line or "Wind" in line for line in step(document, "unravel")["do"])


def test_mould_is_thrown_out_and_nothing_washed_hot(sheet):
    cautions = " ".join(step(sheet("buoy-guernsey"), "keep-apart")["cautions"])
    assert "wash it cool and still before you unravel it" in cautions
    assert "Mould that you can see: throw it out" in cautions


def test_colours_are_kept_apart_from_the_first_row(run, tmp_path):
    """Of two colours, and of one."""
    donor = "donors:\n  crew: {{garment: jumper, fibre: wool, mass: 400 g, colours: {colours}}}\n"
    told = []
    for colours in (1, 2):
        (tmp_path / "stash.yaml").write_text(donor.format(colours=colours))
        _, out, _ = run("prep", "crew", "--workspace", tmp_path, "--json")
        told.append("Keep the colours apart" in str(step(json.loads(out), "unravel")["do"]))
    assert told == [False, True]


def test_what_cannot_felt_is_not_said_to(run, tmp_path):
    """Acrylic does not felt; wool does."""
    told = []
    for fibre in ("acrylic", "wool"):
        (tmp_path / "stash.yaml").write_text(f"donors:\n  crew: {{garment: jumper, fibre: {fibre}, mass: 400 g}}\n")
        _, out, _ = run("prep", "crew", "--workspace", tmp_path, "--json")
        told.append("felts" in str(step(json.loads(out), "wash")["cautions"]))
    assert told == [False, True]
