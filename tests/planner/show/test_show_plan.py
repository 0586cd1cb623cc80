"""A plan reads like a winding list, and says the same in its document."""

import json
import math
from dataclasses import replace
from fractions import Fraction
from statistics import NormalDist
from types import SimpleNamespace

import pytest
from handmade import SURE, make_lot

from patterns.charts import Stripes, Work
from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from planner.show.cautions import bleeding_cautions, felting_caution, project_cautions, stripes_unseen, unknown_fibres
from planner.show.documents import write
from planner.show.plan import gap_of, plan_text, proof_text
from planner.show.plandocument import plan_document
from planner.show.swatches import Screen
from planner.show.tables import display_width
from planner.show.weighing import Scales, leftovers, taken_grams, takes_of, used_grams
from stash.colour import colour_from_lab

# A skein of g grams is 2.3 g metres long; guarded at 95 % with a label's 3 % and the scale's d/sqrt(12).
Z = NormalDist().inv_cdf(0.95)


def guarded_factor(grams):
    return 1 - Z * math.hypot(0.03, 1 / math.sqrt(12) / grams)


def test_grams_to_wind_off_are_skein_mass_times_take_over_guarded_length(workspace):
    take = Take(1, "navy", "navy-1", 1, 14000)
    expected = 118 * 140 / (2.3 * 118 * guarded_factor(118))
    assert expected == pytest.approx(float(Scales(workspace.stash, SURE).grams(take)), rel=1e-12)


def test_grams_used_leave_out_reserve_and_ends(workspace, plan):
    # tex of 230 m/100g is 100000/230; main: 200 m single, 60 m double; motif: 50 m single
    expected = (200 + 2 * 60 + 50) * 100 / 230
    assert expected == pytest.approx(float(used_grams(plan, workspace.stash, workspace.patterns)), rel=1e-12)


@pytest.mark.parametrize("needs", [0, 1, 2])
def test_grams_wound_off_are_those_of_every_take_to_the_last_digit(workspace, plan, needs):
    made = replace(plan.projects[0], needs=plan.projects[0].needs[:needs])
    scales = Scales(workspace.stash, SURE)
    assert sum(map(scales.grams, takes_of(made))) == taken_grams(replace(plan, projects=(made,)), scales)


def test_what_is_left_is_guarded_length_less_what_is_taken(workspace, plan):
    left, untouched = leftovers(plan, Scales(workspace.stash, SURE))
    assert [each.lot.id for each in left] == ["cream", "navy"]
    assert untouched == ("ochre",)
    cream = left[0]
    assert cream.length_cm == math.floor(24000 * 2.3 * guarded_factor(240)) - 6630 - 6630 - 5530
    assert float(cream.mass_g) == pytest.approx(240 - 187.9 / (2.3 * guarded_factor(240)), rel=1e-9)
    assert [each.whole_skeins for each in left] == [0, 0]


def test_the_answer_comes_first(workspace, plan):
    first = plan_text(plan, workspace, Screen()).split("\n\n")[0].replace("\n", " ")
    assert first == (
        "1 of 2 projects made: best found in 30 s, at most 2.5 % below the best possible. "
        "It uses 161 g of yarn; with reserve and ends, wind off 187 g."
    )


def test_the_winding_list(workspace, plan):
    listed = plan_text(plan, workspace, Screen()).split("\n\n")[1]
    assert listed.splitlines() == [
        "skerry:M: Skerry yoked pullover, size M",
        "  main: needs 260.0 m, planned 286.0 m with reserve; 2 joins; chance of running",
        "    short under 1 %",
        "    body: navy (midnightblue), 220.0 m",
        "      strand  lot    skein                 wind off  which holds",
        "      1       navy   navy-1                  64.0 g      140.0 m",
        "      1       navy   navy-2, piece 1 of 3    31.4 g       68.6 m",
        "      1       navy   navy-2, piece 2 of 3     5.6 g       12.3 m",
        "    left sleeve: cream (antiquewhite) held double, 66.0 m",
        "      1       cream  cream-1                 30.3 g       66.3 m",
        "      2       cream  cream-1                 30.3 g       66.3 m",
        "  motif: needs 50.0 m, planned 55.0 m with reserve; no joins; chance of running",
        "    short under 1 %",
        "    cream (antiquewhite), 55.0 m",
        "      1       cream  cream-1                 25.3 g       55.3 m",
        "  - main: navy and cream held double differ by 79.3 (clearly seen); change where",
        "    a part begins, and knit all edgings from one lot",
        "  - cream held double comes to 112 m/100g as wool, bulky: swatch before you",
        "    trust it",
        "  ! wash-test first: navy is dark, untested for bleeding, and meets cream; leave",
        "    a wet length of it on white cloth overnight",
        "  ! navy-2 is in 3 pieces, taken to be equally long: measure before you cut",
    ]


def test_whole_pieces_of_a_skein_share_a_line(workspace, plan):
    whole = math.floor(9600 * 2.3 / 3 * guarded_factor(96))
    run = YarnRun({"navy": 1}, 3 * whole - 90, None, tuple(Take(1, "navy", "navy-2", i, whole) for i in (1, 2, 3)))
    made = PlannedProject("skerry:S", "skerry", "S", (PlannedNeed("main", 3 * whole - 90, (run,)),))
    text = plan_text(replace(plan, projects=(made,)), workspace, Screen())
    lines = [line for line in text.splitlines() if "navy-2, piece" in line]
    # 96 g x 2.3 m/g x 0.9504
    assert lines == ["      navy  navy-2, pieces 1-3 of 3    96.0 g      209.8 m  whole"]


def test_what_is_not_made_is_named_with_what_to_ask_next(workspace, plan):
    assert "Not made: skerry:S.\nWhat is missing for them: lotwise shortfall skerry:S\n" in plan_text(
        plan, workspace, Screen()
    )


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("truecolour", [True, False])
def test_every_line_keeps_to_80_columns(workspace, plan, units, truecolour):
    text = plan_text(plan, workspace, Screen(units, truecolour))
    assert max(map(display_width, text.splitlines())) <= 80


def test_yards_and_ounces_where_asked(workspace, plan):
    text = plan_text(plan, workspace, Screen("imperial"))
    # 220.0 m / 0.9144 = 240.6 yd; 64.04 g / 28.3495 = 2.26 oz
    assert "body: navy (midnightblue), 240.6 yd" in text
    assert "2.26 oz" in text
    assert " m " not in text.replace("m in ", "")


@pytest.mark.parametrize(
    ("proof", "value", "bound", "expected"),
    [
        ("optimal", 160.0, 160.0, "best possible"),
        ("within", 160.0, 161.0, "within 0.63 % of the best possible"),
        ("best-found", 160.0, 164.0, "best found in 30 s, at most 2.5 % below the best possible"),
        ("best-found", 160.0, math.inf, "best found in 30 s"),
        ("optimal", 0.0, 0.0, "best possible"),
    ],
)
def test_what_is_proved_in_plain_words(plan, proof, value, bound, expected):
    assert expected == proof_text(replace(plan, proof=proof, aim_value=value, aim_bound=bound))


def test_the_gap_is_a_share_of_the_bound_and_0_where_both_are_0(plan):
    assert gap_of(plan) == 4.0 / 164.0
    assert gap_of(replace(plan, aim_value=0.0, aim_bound=0.0)) == 0.0


def test_the_document_has_its_keys(workspace, plan):
    document = json.loads(write(plan_document(plan, workspace)))
    assert next(iter(document)) == "format"
    assert document["format"] == "lotwise/plan-1"
    made, left_out = document["projects"]
    assert left_out == {
        "project": "skerry:S",
        "pattern": "skerry",
        "size": None,
        "made": False,
        "needs": [],
        "chart": None,
        "stripes": None,
        "changes": [],
        "notes": [],
        "warnings": [],
    }
    assert set(made) == {
        "project",
        "pattern",
        "size",
        "made",
        "needs",
        "chart",
        "stripes",
        "changes",
        "notes",
        "warnings",
    }
    main = made["needs"][0]
    assert set(main) == {"need", "need_m", "planned_m", "chance_short", "yarns"}
    assert (main["need"], main["need_m"], main["planned_m"]) == ("main", 260.0, 286.0)
    body = main["yarns"][0]
    assert (body["lots"], body["length_m"], body["part"]) == ({"navy": 1}, 220.0, "body")
    assert body["skeins"][1] == {
        "skein": "navy-2",
        "piece": 1,
        "lot": "navy",
        "strand": 1,
        "take_m": 68.63,
        "take_g": pytest.approx(68.63 / (2.3 * guarded_factor(96)), abs=1e-6),
    }
    assert made["needs"][1]["yarns"][0]["part"] is None


def test_the_document_has_its_totals(workspace, plan):
    totals = plan_document(plan, workspace)["totals"]
    assert list(totals) == [
        *("projects_made", "used_g", "taken_g", "aim", "aim_bound", "gap", "proof"),
        *("lots", "joins", "skeins", "lots_and_joins_bound"),
    ]
    assert totals["projects_made"] == 1
    assert totals["used_g"] == pytest.approx(370 * 100 / 230, abs=1e-6)
    assert (totals["aim"], totals["aim_bound"], totals["gap"]) == (160.0, 164.0, 4.0 / 164.0)
    assert (totals["lots"], totals["joins"], totals["skeins"], totals["lots_and_joins_bound"]) == (2, 2, 3, None)


@pytest.mark.parametrize(
    ("fewest", "expected"),
    [
        (None, "whether fewer would do is not known."),
        (4, "no fewer lots and joins would do."),
        (3, "no plan as good has fewer than 3 lots and joins together."),
    ],
)
def test_a_plan_at_prices_tells_its_lots_and_joins_and_how_few_would_do(workspace, plan, fewest, expected):
    text = " ".join(plan_text(replace(plan, way="priced", fewest=fewest), workspace, Screen()).split())
    assert f"That takes 2 lots (counted for each project) and 2 joins, from 3 skeins; {expected}" in text
    assert "That takes" not in plan_text(plan, workspace, Screen())


def test_the_document_tells_no_time(workspace, plan):
    slower = replace(plan, seconds=99.0)
    assert write(plan_document(plan, workspace)) == write(plan_document(slower, workspace))


def test_the_document_carries_the_cautions(workspace, plan):
    warnings = plan_document(plan, workspace)["projects"][0]["warnings"]
    assert warnings == list(project_cautions(plan.projects[0], workspace))
    assert warnings[0].startswith("wash-test first: navy")


# L* of a grey is its own; 25 L* or more apart and darker than 40 is where an untested lot is told.
@pytest.mark.parametrize(
    ("dark", "pale", "bleeds", "told"),
    [
        (39.0, 64.0, None, True),
        (39.0, 63.9, None, False),
        (40.1, 90.0, None, False),
        (39.0, 64.0, False, False),
        (60.0, 90.0, True, True),
    ],
)
def test_only_a_lot_that_may_stain_a_much_lighter_one_is_told(dark, pale, bleeds, told):
    one = replace(make_lot("one", "black", [(50, 1)], bleeds=bleeds), colour=colour_from_lab(dark, 0, 0))
    other = replace(make_lot("other", "white", [(50, 1)]), colour=colour_from_lab(pale, 0, 0))
    assert bool(bleeding_cautions((one, other))) == told


def test_an_unknown_fibre_is_kept_from_flame_and_small_children():
    lot = make_lot("mystery", "grey", [(50, 1)], fibre="unknown")
    assert unknown_fibres((lot,)) == (
        (
            "mystery holds an unknown fibre: it may felt; keep it from flame, from heat and from what is for "
            "small children"
        ),
    )


def test_felting_is_told_once_for_all_lots_that_felt():
    lots = (make_lot("a", "red", [(50, 1)]), make_lot("b", "red", [(50, 1)], felts=None))
    assert felting_caution(lots) == "Hot water and rubbing felt wool for good: wash a cool and still."
    assert felting_caution(lots[1:]) == ""
    assert "wash the 30 lots marked `felts: yes` cool" in felting_caution([lots[0]] * 30)


def test_the_chance_is_that_of_the_plans_confidence(workspace, plan):
    surer = plan_document(replace(plan, confidence=Fraction(99, 100)), workspace)
    usual = plan_document(plan, workspace)
    # the same take weighed off by a longer margin holds more, so it runs short less often
    assert surer["projects"][0]["needs"][1]["chance_short"] < usual["projects"][0]["needs"][1]["chance_short"]


def test_a_need_that_may_well_run_short_is_minded(workspace, plan, monkeypatch):
    said = "main and motif may run short all the same, more than once in ten times"
    monkeypatch.setattr("planner.show.winding.RISKY", 1.0)
    assert said not in plan_text(plan, workspace, Screen())
    monkeypatch.setattr("planner.show.winding.RISKY", -1.0)
    assert f"  ! {said}" in plan_text(plan, workspace, Screen())


@pytest.mark.parametrize(("second", "minded"), [("navy", True), ("cream", False)])
def test_stripes_of_one_yarn_are_minded(second, minded):
    stripes = Stripes((("dark", 4), ("light", 2), ("dark", 2)), {"M": 96}, {"M": 3}, Work(Fraction(1), 0.1))
    needs = tuple(
        PlannedNeed(name, 5000, (YarnRun({lot: 1}, 5000, None, (Take(1, lot, f"{lot}-1", 1, 5030),)),))
        for name, lot in (("dark", "navy"), ("light", second))
    )
    told = stripes_unseen(PlannedProject("scarf", "scarf", "M", needs), SimpleNamespace(stripes=stripes))
    said = "dark and light are one yarn: no stripe shows between them; where one should, ask it of light in the pattern"
    assert told == ((f"{said}: colour: {{against: dark}}",) if minded else ())


@pytest.mark.parametrize(("times", "minded"), [(1, 0), (2, 1)])
def test_the_last_stripe_lies_beside_the_first_where_all_are_worked_again(times, minded):
    stripes = Stripes((("dark", 4), ("light", 2), ("spark", 2)), {"M": 96}, {"M": times}, Work(Fraction(1), 0.1))
    needs = tuple(
        PlannedNeed(name, 5000, (YarnRun({lot: 1}, 5000, None, ()),))
        for name, lot in (("dark", "navy"), ("light", "cream"), ("spark", "navy"))
    )
    told = stripes_unseen(PlannedProject("scarf", "scarf", "M", needs), SimpleNamespace(stripes=stripes))
    assert len(told) == minded
    assert all(one.startswith("dark and spark are one yarn") for one in told)
