"""`lotwise rack`: its verdict, its numbers, and above all that what it says it would unlock is what cover says."""

import json
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from planner.answers import ENOUGH
from planner.plan import UndecidedError
from planner.rack import unlocking
from planner.rack.judging import by_price, compare, donor_garment, judge_garment
from planner.rack.verdict import DOUBTFUL, LEAVE, WORTH
from planner.workspace import load_workspace
from stash.fabric import Gauge
from stash.garment import Garment, read_panel
from stash.lengths import guarded_cm
from stash.reclaiming import Z90
from tests.planner.terminal import run_in_terminal

DEMO = Path(__file__).parents[2] / "planner" / "demo"
AT_THE_RACK = ("buoy-guernsey", "lifeboat-cardigan", "pontoon-tunic", "laundry-pullover")
SURE = Fraction(95, 100)
FLAGS = (
    *("--stitches", "22", "--rows", "30", "--mass", "262 g", "--fibre", "wool", "--seams", "linked"),
    *("--panel", "2 x 38 cm x 44 cm", "--panel", "2 x 16-28 cm x 34 cm", "--colour", "#c02a30"),
)


@pytest.fixture(scope="module")
def demo():
    return load_workspace(DEMO)


def enough(run, folder):
    """Projects that cover calls enough in some size."""
    _, out, _ = run("cover", "--workspace", folder, "--json")
    return {project for project, verdict in json.loads(out)["verdicts"].items() if verdict == ENOUGH}


@pytest.mark.parametrize(
    ("donor", "verdict", "unlocks"),
    [
        ("buoy-guernsey", WORTH, ["anchor-cushion:small"]),
        ("lifeboat-cardigan", WORTH, ["storm-mitts:adult"]),
        ("pontoon-tunic", LEAVE, []),
        ("laundry-pullover", LEAVE, []),
    ],
)
def test_the_demos_donors_are_judged(run, donor, verdict, unlocks):
    code, out, err = run("rack", donor, "--workspace", DEMO, "--json")
    document = json.loads(out)
    assert (code, err) == (0, "")
    assert document["format"] == "lotwise/rack-1"
    assert document["verdict"] == verdict
    assert [row["project"] for row in document["unlocks"]] == unlocks


@pytest.mark.parametrize("donor", AT_THE_RACK[:3])
def test_what_it_unlocks_is_what_cover_says_with_the_printed_lot_added(run, tmp_path, donor):
    folder = tmp_path / "copy"
    shutil.copytree(DEMO, folder)
    before = enough(run, folder)
    _, text, _ = run("rack", donor, "--lot", "--workspace", folder)
    _, out, _ = run("rack", donor, "--json", "--workspace", folder)
    document = json.loads(out)
    assert text == document["lot"]["text"]
    (folder / "stash" / "find.yaml").write_text(text)
    assert {row["project"] for row in document["unlocks"]} == enough(run, folder) - before


def test_any_find_by_flags_unlocks_what_cover_says(run, tmp_path):
    folder = tmp_path / "copy"
    shutil.copytree(DEMO, folder)
    before = enough(run, folder)
    for number, (stitches, rows, colour, fibre) in enumerate(
        ((18, 24, "white", "acrylic"), (17, 23, "lab", "wool"), (30, 42, "#8d7f9b", "cotton"), (22, 29, "navy", "wool"))
    ):
        flags = ["--stitches", stitches, "--rows", rows, "--mass", "500 g", "--fibre", fibre, "--seams", "linked"]
        flags += ["--colour", "seashell" if colour == "lab" else colour]
        _, text, _ = run("rack", *flags, "--lot", "--workspace", folder)
        _, out, _ = run("rack", *flags, "--json", "--workspace", folder)
        find = folder / "stash" / f"find{number}.yaml"
        find.write_text(text)
        assert {row["project"] for row in json.loads(out)["unlocks"]} == enough(run, folder) - before
        find.unlink()


def test_the_lots_guarded_length_is_the_low_end(demo):
    for donor in AT_THE_RACK[:2]:
        judged = judge_garment(donor_garment(demo, donor), donor, demo, SURE)
        lot = judged.expected.lot
        held = sum(sum(guarded_cm(lot, skein, SURE)) for skein in lot.skeins) / 100
        low = judged.found.length_m.interval(Z90)[0]
        assert low - 0.02 * sum(len(skein.shares) for skein in lot.skeins) <= held <= low


def test_without_a_colour_it_says_how_to_tell_one(run):
    code, out, _ = run("rack", *FLAGS[:-2], "--workspace", DEMO)
    assert code == 0
    assert "What it would unlock cannot be told without its colour: give it by --colour" in " ".join(out.split())
    _, out, _ = run("rack", *FLAGS[:-2], "--workspace", DEMO, "--json")
    assert json.loads(out)["unlocks"] is None


def test_a_donor_whose_yarn_is_in_the_stash_unlocks_nothing_more(run):
    code, out, _ = run("rack", "harbour-crew", *FLAGS[:4], "--colour", "#5b6770", "--workspace", DEMO)
    assert code == 0
    assert "Its yarn is in the stash already (slate), so it unlocks nothing more." in out


def test_flags_go_over_what_the_file_has(run):
    _, out, _ = run("rack", "buoy-guernsey", "--felted", "felted", "--workspace", DEMO, "--json")
    assert json.loads(out)["verdict"] == LEAVE


def test_a_folder_without_files_still_gets_numbers(run, tmp_path):
    code, out, _ = run("rack", *FLAGS, "--workspace", tmp_path)
    assert code == 0
    assert out.startswith("Worth unravelling. To be had: about ")
    assert "There are no patterns here with a stash" in out


def test_a_stash_without_patterns_still_gets_numbers(run, tmp_path):
    shutil.copytree(DEMO / "stash", tmp_path / "stash")
    code, out, _ = run("rack", *FLAGS, "--workspace", tmp_path)
    assert code == 0
    assert "There are no patterns here with a stash" in out


def test_every_line_fits_80_columns(run):
    for donor in AT_THE_RACK:
        for units in ("metric", "imperial"):
            _, out, _ = run("rack", donor, "--workspace", DEMO, "--units", units)
            assert all(len(line) <= 80 for line in out.splitlines())
            assert ("yd" in out) == (units == "imperial") or donor == "laundry-pullover"


def test_cut_seams_say_how_short_and_what_still_serves(run):
    _, out, _ = run("rack", "pontoon-tunic", "--workspace", DEMO)
    told = " ".join(out.split())
    assert "every row is a piece of its own, of 1.2 to 2.1 m" in told
    assert "A plan asks 5 m of a piece" in told
    assert "marled: held together with a whole strand" in told


def test_cut_but_long_rows_are_doubtful():
    """2 m of 12 stitches in 10 cm: 240 stitches of 3.47 cm are 8.3 m, more than the 5 m that a plan asks."""
    wide = Garment(gauge=Gauge(Fraction("1.2"), Fraction("1.6")), panels=(read_panel("200 cm x 150 cm"),), seams="cut")
    assert judge_garment(wide, None, None, SURE).verdict == DOUBTFUL


def test_felted_says_what_it_is_good_for(run):
    _, out, _ = run("rack", "laundry-pullover", "--workspace", DEMO)
    told = " ".join(out.split())
    assert "the fibres are locked into each other" in told
    assert "snip one edge and pull" in told
    assert "use it as fabric" in told


def test_moths_and_unknown_fibre_bring_their_cautions(run):
    _, out, _ = run("rack", "--stitches", "22", "--mass", "400 g", "--moths", "yes", "--workspace", DEMO)
    told = " ".join(out.split())
    assert told.startswith("Doubtful.")
    assert "many home freezers are not cold enough" in told
    assert "Do not try it with a flame" in told


def test_a_mass_that_does_not_fit_the_panels_is_reported(run):
    flags = [*FLAGS[:5], "700 g", *FLAGS[6:]]
    _, out, _ = run("rack", *flags, "--workspace", DEMO)
    told = " ".join(out.split())
    assert "more apart than chance explains. It is heavy for what is seen" in told


def test_strands_found_are_told_one_by_one(run):
    _, out, _ = run("rack", *FLAGS, "--plies", "2", "--workspace", DEMO, "--json")
    one, as_it_is, double, triple = json.loads(out)["yarn"]
    assert one["tex"] == pytest.approx(as_it_is["tex"] / 2)
    assert double["tex"] == pytest.approx(as_it_is["tex"] * 2)
    # square-root law (Taylor, Cotton Weaving and Designing, p. 453): four times as thick, half as many stitches
    assert double["stitches_in_10_cm"] == pytest.approx(one["stitches_in_10_cm"] / 2, abs=0.01)
    assert triple["stitches_in_10_cm"] == pytest.approx(22 / 3**0.5, abs=0.01)


def test_compare_ranks_by_what_is_unlocked_for_the_money(run):
    code, out, _ = run("rack", "--compare", *reversed(AT_THE_RACK), "--workspace", DEMO, "--json")
    document = json.loads(out)
    assert (code, document["format"]) == (0, "lotwise/rack-compare-1")
    # one project each for 6 and for 9; the two others unlock none: 1133 m for 3, none for 2
    assert [one["donor"] for one in document["donors"]] == list(AT_THE_RACK)


def test_without_a_price_for_all_the_money_does_not_count(demo):
    garments = {name: donor_garment(demo, name) for name in AT_THE_RACK[:2]}
    free = [judge_garment(Garment(**{**vars(one), "price": None}), name, demo, SURE) for name, one in garments.items()]
    assert not by_price(free)
    # a project each; of the cushion 76 g are wanted, of the mittens 54 g
    assert [one.donor for one in compare(free)] == ["buoy-guernsey", "lifeboat-cardigan"]


def test_compare_says_why_a_garment_is_not_told_to_unlock_anything(run, tmp_path, monkeypatch):
    """One without a colour, one that is in the stash already; then with no time to settle anything."""
    shutil.copytree(DEMO, tmp_path / "w")
    (tmp_path / "w" / "stash" / "two.yaml").write_text(
        "donors:\n"
        "  no-hue: {garment: vest, fibre: wool, mass: 300 g, gauge: {stitches: 22, rows: 30, over: 10 cm}}\n"
        "  wound: {garment: vest, fibre: wool, mass: 200 g, gauge: {stitches: 22, rows: 30, over: 10 cm}, colour: red}\n"
        "lots:\n"
        "  wound-red: {donor: wound, fibre: wool, colour: red, count: 230 m/100g, skeins: {wound-1: 9 g}}\n"
    )
    compared = ("rack", "--compare", "no-hue", "wound", "--workspace", tmp_path / "w")
    code, out, _ = run(*compared)
    assert code == 0
    assert out.startswith("no-hue comes first: ")
    assert "; unlocks: not told: no colour.\n" in out
    rows = {line.split()[1]: line for line in out.splitlines() if line[:2] in {"1 ", "2 "}}
    assert rows["no-hue"].endswith(" not told: no colour")
    assert rows["wound"].endswith(" in the stash already")

    def undecided(*_args):
        raise UndecidedError

    monkeypatch.setattr(unlocking, "made_alone", undecided)
    _, out, _ = run("rack", "--compare", *AT_THE_RACK[:2], "--workspace", DEMO)
    assert "unlocks: not settled in the time there was." in " ".join(out.split())
    assert "nothing" not in out


def test_compare_is_one_table_of_80_columns(run):
    _, out, _ = run("rack", "--compare", *AT_THE_RACK, "--workspace", DEMO)
    assert out.startswith("buoy-guernsey comes first for the money: worth unravelling; it unlocks 1")
    assert all(len(line) <= 80 for line in out.splitlines())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--stitches", "22"), "nothing tells how big this garment is"),
        (("harbour-crew",), "the stitches of harbour-crew are not counted"),
        (("nobody",), "no donor is called nobody"),
        (("buoy-guernsey", "pontoon-tunic"), "several donors are named"),
        (("--compare", "buoy-guernsey"), "--compare needs two donors or more"),
        (("--compare", "buoy-guernsey", "pontoon-tunic", "--holes", "2"), "--compare takes donors of the stash files"),
        (("--mass", "400 g"), "--stitches is missing"),
        (("--stitches", "1", "--mass", "400 g"), "thicker than any yarn"),
        (("laundry-pullover", "--lot"), "it is felted, so it becomes no yarn"),
        (("--stitches", "22", "--kind", "pullover", "--lot"), "a lot has a colour"),
        (
            ("--stitches", "22", "--panel", "1 cm x 1 cm", "--holes", "99", "--colour", "red", "--lot"),
            "next to no yarn",
        ),
        (("--stitches", "22", "--kind", "pulover"), "--kind: 'pulover' is not one of the answers"),
        (("--stitches", "22", "--mass", "5 g", "--scale", "10 g"), "lighter than one step of the scale"),
        (("buoy-guernsey", "--panel", "3 x 4"), "--panel: "),
    ],
)
def test_what_cannot_be_answered_is_wrong_usage(run, arguments, said):
    code, out, err = run("rack", *arguments, "--workspace", DEMO)
    assert (code, out) == (2, "")
    assert said in err


def test_in_a_terminal_it_asks_and_asks_again_with_the_reason(tmp_path):
    folder = tmp_path / "copy"
    shutil.copytree(DEMO, folder)
    answers = ["pullover", "M", "wool", "262", "262 g", "1 g", "", "22", "30", "", "2 x 38 cm x 44 cm"]
    answers += ["2 x 16-28 cm x 34 cm", "", "linked", "", "", "1", "", "", "", "", "", "", "#c02a30", ""]
    screen, code = run_in_terminal(["rack"], answers, folder)
    assert code == 0
    assert "'262' has no unit" in screen
    assert "Worth unravelling." in screen
    assert "anchor-cushion:small" in screen


def test_in_a_terminal_a_panel_is_needed_where_nothing_else_tells_the_size(tmp_path):
    """Else all the questions would be answered for nothing."""
    answers = ["", "", "", "", "22", "30", "", "", "2 x 40 cm x 50 cm", *13 * [""]]
    screen, code = run_in_terminal(["rack"], answers, tmp_path)
    assert screen.count("this one is needed") == 1
    assert "nothing tells how big" not in screen
    assert code == 0


def test_a_jumper_is_a_pullover(run):
    """Both words are in use; common practice, no source."""
    told = [
        run("rack", "--kind", kind, "--stitches", "22", "--rows", "30", "--workspace", DEMO)
        for kind in ("jumper", "pullover")
    ]
    assert told[0] == told[1]
    assert told[0][0] == 0


def test_metres_in_short_threads_are_not_said_to_be_worth_winding(run):
    told = [
        " ".join(
            run("rack", "--kind", "vest", "--size", "M", "--stitches", "22", "--seams", seams, "--workspace", DEMO)[
                1
            ].split()
        )
        for seams in ("cut", "linked")
    ]
    assert ["worth winding" in one for one in told] == [False, True]
    assert "for those who can use short threads" in told[0]


def test_only_what_was_not_done_is_said_to_narrow_the_brackets(run):
    told = [
        run("rack", "--kind", "vest", "--stitches", "22", *more, "--workspace", DEMO)[1]
        for more in ((), ("--mass", "300 g", "--rows", "30"), FLAGS)
    ]
    assert "To narrow the brackets: weigh it, measure its panels, count the rows." in " ".join(told[0].split())
    assert "To narrow the brackets: measure its panels." in told[1]
    assert "narrow the brackets" not in told[2]
