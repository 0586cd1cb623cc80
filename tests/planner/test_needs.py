"""`lotwise needs`: by flags, by prompts in a terminal, as a document, and as a pattern file that reads back the same."""

import json
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from patterns.read import read_pattern
from planner.cli import main
from planner.workspace import load_workspace
from stash.units import YARD_M
from tests.planner.terminal import run_in_terminal

DEMO = Path(__file__).parents[2] / "planner" / "demo"
SHAPES = ["pullover", "cardigan", "vest", "hat", "mittens", "socks", "cowl", "scarf", "shawl", "blanket"]


@pytest.fixture
def run(run):
    return lambda *arguments: run("needs", *arguments)


@pytest.fixture
def document(run):
    def read_document(*arguments):
        code, out, _ = run(*arguments, "--json")
        assert code == 0
        return json.loads(out)

    return read_document


@pytest.fixture
def workspace(tmp_path):
    place = tmp_path / "w"
    shutil.copytree(DEMO, place)
    return place


def lengths(told):
    """Size -> class -> metres."""
    return {one["size"]: {each["class"]: each["length_m"] for each in one["estimates"]} for one in told["sizes"]}


def test_without_a_size_or_gauge_every_size_and_class_is_told(run, document):
    code, out, _ = run("pullover", "--construction", "raglan")
    assert code == 0
    assert out.splitlines()[0] == "Raglan pullover for a woman: metres by size and class of yarn."
    found = lengths(document("pullover", "--construction", "raglan"))
    assert list(found) == ["XS", "S", "M", "L", "XL", "2X", "3X", "4X", "5X"]
    assert all(list(one) == list(range(8)) for one in found.values())


@pytest.mark.parametrize("shape", SHAPES)
def test_a_larger_size_and_a_finer_class_never_take_less(document, shape):
    told = document(shape)
    groups = {}
    for size, one in zip(told["sizes"], lengths(told).values(), strict=True):
        assert list(one.values()) == sorted(one.values(), reverse=True)
        groups.setdefault(size["for"], []).append(one[3])
    for metres in groups.values():
        assert metres == sorted(metres)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_line_is_longer_than_80_columns(run, shape, units):
    for more in ((), ("--yarn", "aran"), ("--yarn", "aran", "--bands", "main 20, a colour of a long name 4, sand 2")):
        code, out, _ = run(shape, "--units", units, *more)
        assert code == 0
        assert max(map(len, out.splitlines())) <= 80


def test_the_interval_is_the_shapes_tenth_at_the_confidence_asked(document):
    # plain knitting alone: 10 %; one-sided normal quantiles 1.6449 at 95 %, 1.2816 at 90 %
    for sure, z in (("95%", 1.6448536), ("90%", 1.2815516)):
        (size,) = document("scarf", "--size", "long", "--yarn", "dk", "--confidence", sure)["sizes"]
        (one,) = size["estimates"]
        assert one["low_m"] / one["length_m"] == pytest.approx(1 - z * 0.10, abs=1e-6)
        assert one["high_m"] / one["length_m"] == pytest.approx(1 + z * 0.10, abs=1e-6)


def test_your_own_gauge_goes_by_the_square_root_of_stitches_times_rows(document):
    one, four = (
        lengths(document("scarf", "--size", "long", "--gauge", gauge))["long"].popitem()[1]
        for gauge in ("20 x 28", "40 x 56")
    )
    assert four == pytest.approx(2 * one, rel=1e-6)


def test_a_gauge_over_another_length_is_the_same_gauge(document):
    # 22 stitches over 10.16 cm are 4 in
    own, inches = (
        lengths(document("scarf", "--gauge", gauge))["long"].popitem()[1]
        for gauge in ("22 x 30 over 10.16 cm", "22 x 30 over 4 in")
    )
    assert own == inches


def test_a_swatch_overrides_shape_and_gauge_and_is_good_to_three_percent(document):
    # 31 m in 0.04 m2; a scarf of 25 x 170 cm: 0.425 m2, 329.375 m
    (size,) = document("scarf", "--size", "long", "--swatch", "20 cm x 20 cm, 31 m")["sizes"]
    (one,) = size["estimates"]
    assert one["length_m"] == pytest.approx(329.375)
    assert one["high_m"] / one["length_m"] == pytest.approx(1 + 1.6448536 * 0.03, abs=1e-6)


def test_a_weighed_swatch_is_turned_into_metres_by_its_count(document):
    # 14 g of 230 m/100g are 32.2 m
    weighed, measured = (
        lengths(document("scarf", "--size", "long", "--swatch", text))
        for text in ("20 x 20 cm, 14 g of 230 m/100g", "20 x 20 cm, 32.2 m")
    )
    assert weighed == measured


def test_bands_share_the_yarn_by_their_rows(document):
    (size,) = document("scarf", "--size", "long", "--yarn", "dk", "--bands", "main 15, ochre 3, main 1, sand 1")[
        "sizes"
    ]
    (one,) = size["estimates"]
    shares = {each["need"]: each["length_m"] / one["length_m"] for each in one["needs"]}
    assert shares == pytest.approx({"main": 0.80, "ochre": 0.15, "sand": 0.05})


def test_a_motif_has_its_stitches_and_floats_behind_the_others(document):
    # 40 % of the stitches; floats one stitch wide, 1 / 4.2 of a loop (Munden 1959), behind the other 60 %
    (size,) = document("cowl", "--size", "short", "--yarn", "dk", "--motif", "40%")["sizes"]
    (one,) = size["estimates"]
    shares = {each["need"]: each["length_m"] / one["length_m"] for each in one["needs"]}
    assert shares["motif"] == pytest.approx((0.4 + 0.6 / 4.2) / (1 + 1 / 4.2), abs=1e-5)
    assert shares["main"] == pytest.approx((0.6 + 0.4 / 4.2) / (1 + 1 / 4.2), abs=1e-5)


def test_edgings_may_have_a_yarn_of_their_own(document):
    (size,) = document("hat", "--for", "woman", "--yarn", "dk", "--edging", "own")["sizes"]
    assert [each["need"] for each in size["estimates"][0]["needs"]] == ["main", "edging"]


def test_pieces_add_up_to_the_area(document):
    for size in document("cardigan", "--construction", "round yoke", "--yarn", "dk")["sizes"]:
        area = sum(one["times"] * (one["lower_m"] + one["upper_m"]) / 2 * one["length_m"] for one in size["pieces"])
        assert area == pytest.approx(size["area_m2"], abs=1e-5)


def test_imperial_units_show_the_same_length_in_yards(run, document):
    (metres,) = lengths(document("scarf", "--size", "long", "--yarn", "dk"))["long"].values()
    _, out, _ = run("scarf", "--size", "long", "--yarn", "dk", "--units", "imperial")
    assert f"{round(metres / float(YARD_M))} yd (" in out


CASES = [
    ("pullover", "--construction", "raglan", "--for", "everyone", "--gauge", "22 x 30"),
    ("pullover", "--construction", "round yoke", "--yarn", "aran", "--motif", "35% of yoke", "--edging", "own"),
    ("cardigan", "--construction", "drop shoulder", "--for", "child", "--yarn", "sport", "--stitch", "moss"),
    ("vest", "--size", "S, XL", "--ease", "12 cm", "--yarn", "dk", "--bands", "main 7, ochre 3"),
    ("hat", "--yarn", "dk", "--stitch", "cable", "--rib", "5 cm"),
    ("mittens", "--for", "everyone", "--gauge", "28", "--motif", "45% of hands"),
    ("socks", "--for", "man", "--gauge", "32 x 44 over 4 in", "--ease", "-2 cm"),
    ("shawl", "--construction", "half circle", "--yarn", "fingering", "--stitch", "lace", "--rib", "3 cm"),
    ("blanket", "--yarn", "5", "--bands", "main 20, storm: grey 4, main 1"),
    ("cowl", "--yarn", "dk", "--craft", "crochet", "--swatch", "21 cm x 19 cm, 27.3 m"),
    ("scarf", "--size", "31 cm x 183 cm", "--yarn", "dk", "--swatch", "20 x 20 cm, 14 g of 233 m/100g"),
]


@pytest.mark.parametrize("asked", CASES, ids=lambda one: one[0])
def test_the_pattern_file_tells_what_needs_said(run, document, asked):
    code, text, _ = run(*asked, "--pattern", "tern")
    assert code == 0
    pattern, faults = read_pattern("tern.yaml", text.encode())
    assert faults == []
    told = document(*asked)
    assert list(pattern.sizes) == [one["size"] for one in told["sizes"]]
    for size in told["sizes"]:
        for need in size["estimates"][0]["needs"]:
            amounts = pattern.sizes[size["size"]][need["need"]].values()
            metres = sum((one.metres for one in amounts), Fraction(0))
            assert float(metres) == pytest.approx(need["length_m"], abs=1e-5)
            spread = sum(float(one.metres) * one.relative_u for one in amounts)
            assert 1.6448536 * spread == pytest.approx(need["high_m"] - need["length_m"], rel=1e-5)


def test_a_saved_pattern_is_accepted_by_check_and_asked_by_cover(run, workspace, capsys):
    code, out, _ = run("hat", "--yarn", "dk", "--pattern", "eider-hat", "--save", "--workspace", workspace)
    assert code == 0
    assert "Wrote patterns/eider-hat.yaml" in out
    assert list(load_workspace(workspace).patterns["eider-hat"].sizes) == [
        *("baby", "toddler", "child", "tween", "woman", "man")
    ]
    with pytest.raises(SystemExit) as ended:
        main(["check", "--workspace", str(workspace)])
    assert ended.value.code == 0
    capsys.readouterr()
    with pytest.raises(SystemExit):
        main(["cover", "eider-hat:baby", "--workspace", str(workspace), "--json"])
    (project,) = json.loads(capsys.readouterr().out)["projects"]
    assert (project["pattern"], project["verdict"]) == ("eider-hat", "enough")


def test_a_pattern_that_is_there_is_never_written_over(run, workspace):
    before = {path: path.read_bytes() for path in (workspace / "patterns").iterdir()}
    name = min(before).stem
    code, out, told = run("hat", "--yarn", "dk", "--pattern", name, "--save", "--workspace", workspace)
    assert (code, out) == (5, "")
    assert told == (
        f"lotwise: patterns/{name}.yaml: there is one already; give another name\nhint: nothing was changed\n"
    )
    assert before == {path: path.read_bytes() for path in (workspace / "patterns").iterdir()}


def test_childrens_sizes_carry_the_caution_of_nightwear_and_others_do_not(run):
    for asked in (
        ("hat", "--for", "child"),
        ("blanket", "--size", "baby"),
        ("hat", "--yarn", "dk", "--pattern", "tern"),
    ):
        assert "No children's nightwear" in run(*asked)[1]
    assert "nightwear" not in run("hat", "--for", "man")[1]


@pytest.mark.parametrize(
    ("asked", "message", "hint"),
    [
        ((), "SHAPE is missing: What shape: ", "give it, or give no flag at all to be asked"),
        (("pulover",), "SHAPE: 'pulover' is not one of the answers", "did you mean pullover?"),
        (("socks", "--construction", "raglan"), "--construction has no meaning for socks", "leave it out"),
        (("hat", "--fit", "loose"), "--fit has no meaning for a hat", "leave it out"),
        (("scarf", "--ease", "5 cm"), "--ease has no meaning for a scarf", "leave it out"),
        (("pullover", "--size", "MM"), "--size: there is no size 'MM'", "write one of XS, S, M"),
        (("hat", "--gauge", "22 by 30"), "--gauge: '22 by 30' is not a gauge: ", "write stitches x rows in 10 cm"),
        (("hat", "--gauge", "0 x 30"), "--gauge: '0 x 30' is not a gauge", "write stitches x rows in 10 cm"),
        (("hat", "--yarn", "thick"), "--yarn: 'thick' is not a weight class", "write one of lace"),
        (("hat", "--stitch", "ribb"), "--stitch: 'ribb' is not a stitch known here", "did you mean rib?"),
        (("hat", "--swatch", "20 cm x 20 cm"), "--swatch: '20 cm x 20 cm' is not a swatch", 'write "20 cm'),
        (("hat", "--bands", "main"), "--bands: 'main' is not a stripe", "write a name and its rows"),
        (("hat", "--motif", "35% of yoke"), "--motif: there is no part 'yoke'", "write one of hat"),
        (("hat", "--motif", "100%"), "--motif: '100%' is no share of two colours", "write a share between"),
        (
            ("hat", "--rib", "30 cm"),
            "nothing is left of a piece of the hat in size baby",
            "look at the depth of the edging",
        ),
        (
            ("hat", "--pattern", "tern"),
            "a pattern is for one thickness of yarn, and none is told",
            "tell --yarn, such as --yarn dk; or",
        ),
        (("hat", "--yarn", "dk", "--pattern", "../x"), "--pattern: '../x' cannot be the name", "write letters"),
        (("hat", "--yarn", "dk", "--pattern", "con"), "--pattern: 'con' cannot be the name", "write letters"),
        (("hat", "--save"), "--save saves a pattern file, but none is named", "name it with --pattern"),
        (("hat", "--craft", "crochet"), "crochet is estimated by a swatch alone", "work one, unravel it"),
        (
            ("hat", "--gauge", "22", "--swatch", "20 x 20 cm, 31 m"),
            "--gauge has no meaning here: a swatch tells it",
            "leave it out",
        ),
        (
            ("hat", "--pattern", "tern", "--swatch", "20 x 20 cm, 31 m"),
            "a pattern is for one thickness of yarn, and none is told",
            "tell --yarn, such as --yarn dk",
        ),
        (
            ("cowl", "--motif", "35%", "--bands", "main 3, ochre 2"),
            "stripes and a motif over everything do not go together",
            "tell where the motif is",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_write(run, asked, message, hint):
    code, out, told = run(*asked)
    assert (code, out) == (2, "")
    said, advice = told.splitlines()
    assert said.startswith(f"lotwise: {message}")
    assert advice.startswith(f"hint: {hint}")


def test_prompts_ask_again_with_the_reason_and_write_a_pattern(workspace):
    told = ["hatt", "hat", "plain", "child", "", "child", "", "4", "4 cm", "", "ribb", "rib", "dk"]
    answers = [*told, "", "", "", "", "eider", "yes"]
    screen, code = run_in_terminal(["needs"], answers, workspace)
    assert code == 0
    for reason in (
        "'hatt' is not one of the answers",
        "did you mean hat?",
        "'4' has no unit",
        "'ribb' is not a stitch",
    ):
        assert reason in screen
    assert "Hat for a child" in screen
    assert "Wrote patterns/eider.yaml" in screen
    assert list(load_workspace(workspace).patterns["eider"].sizes) == ["child"]


def test_prompts_and_flags_answer_the_same(run, tmp_path):
    answers = ["pullover", "raglan", "", "", "M", "", "", "", "", "", "dk", "22 x 30", "", "", "", ""]
    screen, code = run_in_terminal(["needs"], answers, tmp_path)
    assert code == 0
    _, out, _ = run("pullover", "--construction", "raglan", "--size", "M", "--yarn", "dk", "--gauge", "22 x 30")
    assert screen.endswith(out)


def test_crochet_is_asked_for_its_swatch_until_it_is_told(tmp_path):
    answers = ["cowl", "crochet", "short", "", "", "20 cm x 20 cm, 31 m", "", "", "", "", ""]
    screen, code = run_in_terminal(["needs"], answers, tmp_path)
    assert code == 0
    assert screen.count("A swatch of your own") == 2
    assert "this one is needed" in screen
    assert "Cowl, as your swatch has it." in screen
