"""`lotwise midway`: by flags, by prompts in a terminal, and as a document."""

import json
import re
from pathlib import Path

import pytest

from tests.planner.terminal import run_in_terminal

DEMO = Path(__file__).parents[2] / "planner" / "demo"
BODY = ("breakwater:M", "--need", "main", "--part", "body", "--rows", "90 of 150", "--began", "slate=276g")


@pytest.fixture
def run(run):
    return lambda *arguments: run("midway", "--workspace", DEMO, *arguments)


def test_it_reaches_and_says_so_first(run):
    code, out, err = run(*BODY, "--left", "slate=130g")
    assert (code, err) == (0, "")
    assert out.startswith("Yes: it is over 99 % sure that slate reaches to the end of body.\n")
    assert "Change lot" not in out


def test_it_does_not_reach_and_says_how_short_and_what_to_do(run):
    code, out, _ = run(*BODY, "--left", "slate=96g", "--hides", "112 under the arm")
    assert code == 1
    assert out.startswith("No: slate ends about ")
    text = " ".join(out.split())
    for words in ("Change lot after row 1", "row 112 (under the arm)", "pewter", "Or alternate", "Last of all, less"):
        assert words in text
    assert re.search(
        r"left sleeve needs 1[78]\d m instead of 150 m and right sleeve .*: enough, with its reserve", text
    )
    assert max(map(len, out.splitlines())) <= 80


def test_in_imperial_units_nothing_is_metric(run):
    _, out, _ = run(*BODY, "--left", "slate=96g", "--units", "imperial")
    words = out.split()
    assert not {"m", "g", "m,", "g)"} & set(words)
    assert {"yd", "oz"} <= set(words)


WIDE = {
    "three lots held triple": (
        "breakwater:M", "--need", "edging", "--rows", "1 of 10", "--how", "together", "--strands", "3",
        "--left", "lichen=110g", "--left", "ecru=38g", "--left", "cream=93g",
    ),
    "long numbers": ("gull-vest:L", "--need", "main", "--done", "1%", "--left", "mist=34.7g", "--units", "imperial"),
    "ounces and yards": (
        "lantern-cowl:one", "--need", "main", "--rows", "35 of 150", "--left", "chalk=37.1g", "--units", "imperial",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WIDE)
def test_lengths_stand_below_weights_where_80_columns_do_not_hold_both(run, name):
    _, out, _ = run(*WIDE[name])
    assert max(map(len, out.splitlines())) <= 80
    head = next(line for line in out.splitlines() if line.split()[:2] == ["lot", "used"])
    assert head.split() == ["lot", "used", "left", "still", "needs", "chance"]


def test_lengths_of_a_lot_held_double_are_said_to_be_of_all_strands(run):
    asked = ("lantern-cowl:one", "--need", "main", "--rows", "60 of 104", "--left", "lichen=61g")
    for units, lengths in (("metric", "metres"), ("imperial", "yards")):
        _, out, _ = run(*asked, "--units", units)
        assert f"The {lengths} are those of all strands together." in " ".join(out.split())


def test_what_is_missing_of_a_lot_held_double_is_told_as_it_is_knitted(run):
    asked = ("lantern-cowl:one", "--need", "main", "--rows", "60 of 104", "--left", "lichen=61g")
    _, out, _ = run(*asked)
    document = json.loads(run(*asked, "--json")[1])
    (lot,) = document["lots"]
    missing_m = -lot["spare_g"] * lot["left_m"] / lot["left_g"] / 2
    text = " ".join(out.split())
    assert f"No: lichen, held double, ends about {missing_m:.0f} m " in text
    assert re.search(r"To be 95 % sure, [0-9.]+ m more, held double, is wanted", text)


def test_a_lot_that_is_used_up_is_told_of_what_is_still_wanted(run):
    code, out, _ = run(*BODY, "--left", "slate=0g", "--json")
    (lot,) = json.loads(out)["lots"]
    # 276 g in 60 % of the body; no piece is left whose ends are woven in
    assert (code, lot["left_g"], lot["chance"]) == (1, 0, 0)
    assert lot["spare_g"] == -lot["rest_g"]
    assert json.loads(out)["change"]["latest_row"] == 90
    assert run(*BODY, "--left", "slate=0g")[1].startswith("No: slate ends about ")


def test_many_times_the_patterns_figure_is_told_in_times(run):
    # 280 g used of a part that takes 560 m x 10 % x 0.4389 g/m = 24.6 g so far: 11.4 times as much
    _, out, _ = run(*BODY[:5], "--done", "10%", "--began", "slate=300g", "--left", "slate=20g")
    assert "rate: weighed, 11.4 times as much yarn as the pattern says" in " ".join(out.split())
    # 73 g of the 24.6 g, less than 3 times: told in percent, and so is the rate that the pattern's figure draws down
    _, out, _ = run(*BODY[:5], "--done", "10%", "--began", "slate=300g", "--left", "slate=227g")
    assert " 197 % more yarn than the pattern says; weighed" in " ".join(out.split())
    assert " times as much" not in out
    # 74 g, 3.01 times, both in times: the share done is good to 11 %, which takes its part of ln 3.01 = 1.10, so that
    # 1.10 x (1 - 0.109^2 / (1.10 / 2)^2) = 1.06 of it, 2.9 times, is the rate
    _, out, _ = run(*BODY[:5], "--done", "10%", "--began", "slate=300g", "--left", "slate=226g")
    assert re.findall(r"([0-9.]+) times as much yarn", " ".join(out.split())) == ["3.0", "2.9"]


def test_the_document_has_the_same_answer(run):
    code, out, _ = run(*BODY, "--left", "slate=96g", "--json")
    document = json.loads(out)
    assert (code, next(iter(document))) == (1, "format")
    assert tuple(document[k] for k in ("format", "verdict", "part", "done")) == ("lotwise/midway-1", "no", "body", 0.6)
    (lot,) = document["lots"]
    assert (lot["began_g"], lot["used_g"], lot["left_g"]) == (276, 180, 96)
    assert lot["rest_low_g"] < lot["rest_g"] < lot["rest_high_g"]
    assert lot["spare_g"] < 0
    assert document["help"]["yarns"][0]["lots"] == {"pewter": 1}
    assert {need["need"] for need in document["others"]} == {"main", "motif", "edging"}


def test_the_same_question_has_the_same_bytes(run):
    assert run(*BODY, "--left", "slate=96g", "--json") == run(*BODY, "--left", "slate=96g", "--json")


def test_several_lots_are_weighed_each(run):
    _, out, _ = run(
        "gannet-hat:adult", "--need", "main", "--done", "50%", "--how", "stranded", "--serves", "rust=motif",
        "--left", "cream=290g", "--left", "rust=187g", "--json",
    )  # fmt: skip
    assert [(lot["lot"], lot["need"]) for lot in json.loads(out)["lots"]] == [("cream", "main"), ("rust", "motif")]


REFUSED = {
    ("--need", "main"): "--done is missing: How much of it is done? such as 60%\n"
    "hint: give it, or give no flag at all to be asked",
    ("--need", "mian", "--done", "60%"): "--need: breakwater, size M, has no need called mian\nhint: did you mean 'main'?",
    ("--need", "main", "--part", "bdy", "--done", "60%"): "--part: main has no part called bdy\nhint: did you mean 'body'?",
    ("--need", "motif", "--part", "body", "--done", "6%", "--left", "slate=9g"): "--part does not go with the rest\n"
    "hint: this need is not divided into parts: leave it out",
    ("--need", "main", "--done", "0%"): "--done: nothing is knitted yet, so there is nothing to go by\n"
    "hint: knit some first; until then `lotwise cover` answers",
    ("--need", "main", "--done", "101%"): "--done: 101% done is more than the whole\n"
    "hint: write a share up to 100%, such as 60%",
    ("--need", "main", "--rows", "0 of 9"): "--rows: nothing is knitted yet, so there is nothing to go by\n"
    "hint: knit some first; until then `lotwise cover` answers",
    ("--need", "main", "--rows", "10 of 9"): "--rows: row 10 of 9 cannot be\n"
    "hint: the row you are on comes first, then how many there are",
    ("--need", "main", "--rows", "3 of 9", "--done", "6%", "--left", "slate=9g"): "--done does not go with the rest\n"
    "hint: --rows says how much is done, and says it better: leave one of them out",
    ("--need", "main", "--done", "6%", "--widths", "1 m, 1 m, 1 m", "--left", "slate=9g"): "--widths does not go with the "
    "rest\nhint: it says where the rows of --rows are wider: give those too, such as --rows '90 of 150'",
    ("--need", "main", "--done", "60%"): "nothing says what is left\n"
    "hint: weigh each lot on the needles, such as --left slate=62g",
    ("--need", "main", "--done", "60%", "--left", "slat=62g"): "--left: no lot is called slat\nhint: did you mean 'slate'?",
    ("--need", "main", "--done", "60%", "--left", "slate=62"): "--left: '62' has no unit\n"
    "hint: write the unit too, for example 62 g",
    ("--need", "main", "--done", "60%", "--left", "slate=62g", "--began", "slate=60g"): "--began: slate cannot have more "
    "left (62g) than it began with (60g)\nhint: weigh it again, the ball you knit from included",
    ("--need", "main", "--done", "60%", "--left", "slate=900g"): "--left: 900g of slate is more than your files hold "
    "(419 g)\nhint: weigh it again, or put slate right in your stash file",
    ("--need", "main", "--done", "60%", "--left", "slate=419g"): "nothing of slate is used: 419g is left of 419 g\n"
    "hint: weigh it again, or say what you began with, such as --began slate=...",
    ("--need", "main", "--done", "60%", "--left", "slate=9g", "--how", "together"): "--how does not go with the rest\n"
    "hint: only one lot is weighed: give --left for every lot on the needles",
}  # fmt: skip


# of another project: (project, flags) -> what is said
REFUSED_ELSEWHERE = {
    ("gull-vest:M", "--need", "main", "--done", "6%", "--left", "slate=9g", "--finished", "body"): "--finished: there is no "
    "part or need called body\nhint: this is all there is to knit: leave it out",
    ("tide-shawl:small", "--need", "shore", "--rows", "7 of 9", "--widths", "0 cm, 0 cm, 1 m", "--left", "rose=26g"):
    "--widths: the width now cannot be 0\nhint: measure it along the needles, stretched as little as you can",
    ("tide-shawl:small", "--need", "shore", "--rows", "7 of 9", "--widths", "1 m", "--left", "rose=26g"): "--widths: '1 m' is "
    "not three widths\nhint: write how wide it is at the start, now and at the end: 50 cm, 45 cm, 40 cm",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--how", "stranded", "--left", "cream=9g", "--left", "rust=9g"):
    "stranded lots serve a need each\nhint: say which, such as --serves rust=motif",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--how", "both", "--left", "cream=9g", "--left", "rust=9g"):
    "--how: 'both' is not a way to use several lots\nhint: write one of: alternate, together, stranded",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream=9g", "--left", "cream=9g"): "--left: cream is named "
    "twice\nhint: write once what is left of it in all",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream=9g", "--began", "rust=9g"): "--began: nothing says "
    "what is left of rust\nhint: give --left rust=... too",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream=9g", "--strands", "0"): "--strands: '0' is no number "
    "of strands\nhint: write a whole number from 1 to 9",
    ("gannet-hat:adult", "--need", "main", "--rows", "6 of 9", "--left", "cream=9g", "--hides", "12 x"): "--hides: '12 x' is no "
    'row from 6 to 9\nhint: write a row and what is there, such as "112 under the arm"',
    ("gannet-hat:adult", "--need", "main", "--rows", "ninety", "--left", "cream=9g"): "--rows: 'ninety' does not say which row "
    "of how many\nhint: write it like 90 of 150",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "=9g"): "--left: '=9g' does not say which lot weighs "
    "what\nhint: write it like slate=62g, or slate=62g in 2 pieces",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream=9g", "--scale", "0 g"): "--scale: a scale cannot "
    "show in steps of nothing\nhint: write its smallest step, such as 1 g",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream=310g", "--scale", "50 g"): "--scale: a scale that shows in "
    "steps of 50 g cannot tell what of cream is used\nhint: weigh on a finer scale, or write its own steps, such as "
    "--scale 1g",
    ("gannet-hat:adult", "--need", "main", "--done", "6%", "--left", "cream"): "--left: 'cream' does not say which lot weighs "
    "what\nhint: write it like slate=62g, or slate=62g in 2 pieces",
}  # fmt: skip


@pytest.mark.parametrize("flags", REFUSED_ELSEWHERE, ids=" ".join)
def test_what_cannot_be_of_any_project_is_refused(run, flags):
    code, out, err = run(*flags)
    assert (code, out, err) == (2, "", f"lotwise: {REFUSED_ELSEWHERE[flags]}\n")


def test_a_shawl_from_its_tip_takes_its_widths(run):
    _, out, _ = run("tide-shawl:small", "--need", "shore", "--rows", "70 of 100", "--widths", "0 cm, 70 cm, 100 cm",
                    "--left", "rose=31g", "--strands", "2", "--json")  # fmt: skip
    assert json.loads(out)["done"] == pytest.approx(70 * 35 / (70 * 35 + 30 * 85), abs=1e-6)


@pytest.mark.parametrize("flags", REFUSED, ids=" ".join)
def test_what_cannot_be_is_refused_with_what_to_write(run, flags):
    code, out, err = run("breakwater:M", *flags)
    assert (code, out, err) == (2, "", f"lotwise: {REFUSED[flags]}\n")


def test_a_project_of_several_sizes_is_asked_for_one(run):
    code, _, err = run("gannet-hat", "--need", "main", "--done", "50%", "--left", "cream=290g")
    assert code == 2
    assert "say which one is on the needles: gannet-hat:child or gannet-hat:adult" in err


def test_in_a_terminal_it_asks_and_asks_again_with_the_reason():
    answers = ["breakwater:M", "main", "bdy", "body", "90 of 150", "", "slate=96", "slate=96 g", "", "slate=276 g", ""]
    answers += ["1 g", "", "112 under the arm", "", "", ""]
    screen, code = run_in_terminal(["midway"], answers, DEMO)
    assert code == 1
    assert "did you mean 'body'?" in screen
    assert "'96' has no unit" in screen
    assert "No: slate ends about " in screen
    assert "row 112 (under the arm)" in screen


def test_in_a_terminal_what_cannot_do_without_an_answer_is_asked_again():
    answers = ["gull-vest:M", "main", "90 of 150", "", "", "slate=419 g", ""]
    answers += ["", "slate=419 g", "slate=425 g", "", "20 g", "1 g", "", "", "", ""]
    screen, code = run_in_terminal(["midway"], answers, DEMO)
    assert code == 0
    assert screen.count("this one is needed") == 2  # what is left, and what it began with
    assert "nothing of slate is used: it began with all that is left (419 g)" in screen
    assert "a scale that shows in steps of 20 g cannot tell what of slate is used" in screen
    assert "Yes: it is over 99 % sure that slate reaches" in screen


def test_in_a_terminal_stranded_lots_are_asked_for_their_needs():
    answers = ["gannet-hat:adult", "main", "", "50%", "cream=290g", "rust=187g", "", "", "", "stranded"]
    answers += ["", "rust=motif", "", "", "", ""]
    screen, code = run_in_terminal(["midway"], answers, DEMO)
    assert screen.count("this one is needed") == 1
    assert code == 0
    assert "that cream and rust reach to the end of main" in screen


def test_in_a_terminal_the_project_may_be_named_before():
    answers = ["main", "", "50%", "lichen=60 g", "", "", "", "", ""]
    screen, code = run_in_terminal(["midway", "lantern-cowl"], answers, DEMO)
    assert "Which project" not in screen
    assert code == 1


def test_the_only_need_there_is_is_taken_by_itself(run):
    code, out, _ = run("gull-vest:M", "--rows", "90 of 150", "--left", "slate=130g")
    assert (code, out) == run("gull-vest:M", "--need", "main", "--rows", "90 of 150", "--left", "slate=130g")[:2]


def test_in_a_terminal_enter_takes_the_only_need():
    answers = ["gull-vest:M", "", "90 of 150", "", "slate=130 g", "", "", "", "", "", ""]
    screen, _ = run_in_terminal(["midway"], answers, DEMO)
    assert "Which need is on the needles? such as main [main]" in screen
    assert max(map(len, screen.splitlines()[:2])) <= 80  # what is said before the first question
