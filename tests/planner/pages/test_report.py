"""The page of a plan tells what its document tells, to the last digit shown."""

import math
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from handmade import SURE
from paging import every, numbered, parsed, section, skein_rows, tables, text_of, with_id

from planner.answers import ENOUGH, ProjectShortfall
from planner.pages.enough import held
from planner.pages.keeping import MOST_SHORT
from planner.pages.report import report_page
from planner.pages.winding import turns
from planner.plan import PlannedNeed, Take, YarnRun
from planner.show import words
from planner.show.weighing import Scales, leftovers
from stash.fabric import Gauge
from stash.lengths import best_cm, guarded_cm
from stash.lots import Stash
from stash.units import show_length, show_mass


def test_what_is_asked_first_is_answered_first(shown):
    (head,) = every(shown.root, "header")
    said = text_of(head)
    totals = shown.document["totals"]
    assert (
        text_of(every(head, "h1")[0])
        == f"The plan makes {totals['projects_made']} of {len(shown.document['projects'])} projects"
    )
    assert f"They use {show_mass(totals['used_g'], 'metric')} of yarn" in said
    assert f"wind off {show_mass(totals['taken_g'], 'metric')}, of " in said
    assert f"from {totals['skeins']} skeins." in said
    assert "best possible" in said
    assert {one.get("href") for one in every(head, "a")} >= {"#short", "#project-1"}
    for project in shown.document["projects"]:
        assert project["project"] in said


def test_every_piece_is_on_the_winding_list_with_its_grams_and_metres(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Tick off what is wound"]
        expected = [
            (
                need["need"],
                run["part"],
                take["lot"],
                take["skein"],
                show_mass(take["take_g"], "metric", 1),
                show_length(take["take_m"], "metric", 1),
                str(math.ceil(Fraction(str(take["take_m"])) / Fraction("1.5"))),
            )
            for need in project["needs"]
            for run in need["yarns"]
            for take in run["skeins"]
        ]
        assert len(rows) == len(expected) > 0
        for row, (need, part, lot, skein, grams, metres, turned) in zip(rows, expected, strict=True):
            assert f" {need}" in row["group"]
            assert part is None or f", {part}:" in row["group"]
            assert row["lot"].startswith(lot)
            assert row["skein"].startswith(skein)
            assert (row["wind off"], row["which holds"], row["turns"]) == (grams, metres, turned)


def test_pieces_and_strands_are_told_apart_where_there_are_several(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Tick off what is wound"]
        takes = [take for need in project["needs"] for run in need["yarns"] for take in run["skeins"]]
        strands = [
            sum(run["lots"].values()) for need in project["needs"] for run in need["yarns"] for _ in run["skeins"]
        ]
        for row, take, together_ in zip(rows, takes, strands, strict=True):
            (skein,) = [one for one in shown.workspace.stash.lots[take["lot"]].skeins if one.id == take["skein"]]
            assert (f"piece {take['piece']} of {len(skein.shares)}" in row["skein"]) == (len(skein.shares) > 1)
            assert (f"strand {take['strand']}" in row["lot"]) == (together_ > 1)


def test_what_is_to_be_minded_is_told_before_anything_is_wound(workspace, plan):
    said = text_of(parsed(report_page(plan, workspace, "metric")))
    wound = said.index("Tick off what is wound")
    assert said.index("navy-2 is in 3 pieces, taken to be equally long: measure before you cut") < wound
    assert said.index("wash-test first: navy is dark") < wound
    assert said.index("Strands are wound apart and knitted together.") < wound
    single = replace(plan.projects[0], needs=plan.projects[0].needs[1:])
    part = with_id(parsed(report_page(plan, workspace, "metric")), "project-1")
    kept = [one for one in part if "together" in one.get("class", "")]
    assert [[text_of(one) for one in every(group, "h3")] for group in kept] == [
        ["Its yarns"],
        ["Wind off"],
        ["Is it enough?"],
    ]
    assert kept[1].get("class") == "together before"  # and goes on with what follows it
    assert "wash-test first: navy is dark" in text_of(kept[1])
    assert "rubbing felt" in text_of(kept[1])
    following = list(part)[list(part).index(kept[1]) + 1]
    assert [text_of(one) for one in every(following, "caption")] == ["Tick off what is wound"]
    assert len(every(kept[2], "figure")) == 1
    assert "Strands are" not in report_page(replace(plan, projects=(single,)), workspace, "metric")


def test_of_pieces_of_several_lengths_the_one_to_cut_is_told_by_its_length(workspace, plan):
    """navy-2 is 96 g x 2.3 m/g = 220.8 m by best guess; a half of it and a quarter, as far as they are counted on."""
    navy = workspace.stash.lots["navy"]
    uneven = replace(navy.skeins[1], shares=(Fraction(1, 2), Fraction(1, 4), Fraction(1, 4)))
    lots = {**workspace.stash.lots, "navy": replace(navy, skeins=(navy.skeins[0], uneven))}
    root = parsed(report_page(plan, replace(workspace, stash=Stash({}, lots)), "metric"))
    rows = [row["skein"] for row in tables(root)["Tick off what is wound"]]
    sure = 1 - 1.6448536 * math.hypot(0.03, 1 / math.sqrt(12) / 96)
    assert rows[:3] == [
        "navy-1",
        f"navy-2, piece 1 of 3, the one of {220.8 * sure / 2:.1f} m",
        f"navy-2, piece 2 of 3, the one of {220.8 * sure / 4:.1f} m",
    ]
    even = tables(parsed(report_page(plan, workspace, "metric")))["Tick off what is wound"]
    assert even[1]["skein"] == "navy-2, piece 1 of 3"


def test_every_need_is_told_with_its_reserve_and_its_chance(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["What each need takes, and what is wound for it, ends apart"]
        assert len(rows) == len(project["needs"])
        for row, need in zip(rows, project["needs"], strict=True):
            joins = sum(len(run["skeins"]) - sum(run["lots"].values()) for run in need["yarns"])
            assert row["need"] == need["need"]
            assert row["takes"] == show_length(need["need_m"], "metric", 1)
            assert row["with reserve"] == show_length(need["planned_m"], "metric", 1)
            assert row["joins"] == str(joins)
            assert row["runs short"] == words.chance(need["chance_short"])


def test_every_working_yarn_is_told_with_its_metres_and_its_share(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Each working yarn and its share of the metres"]
        planned = {}
        for need in project["needs"]:
            for run in need["yarns"]:
                key = need["need"], tuple(sorted(run["lots"].items()))
                planned[key] = planned.get(key, 0) + run["length_m"]
        whole = sum(planned.values())
        assert [(row["need"], row["planned"], row["share"]) for row in rows] == [
            (need, show_length(metres, "metric", 1), words.percent(metres / whole))
            for (need, _), metres in planned.items()
        ]


def test_the_notes_and_cautions_of_the_document_stand_in_the_section(shown):
    for number, project in numbered(shown):
        said = text_of(section(shown, number))
        for note in [*project["notes"], *project["warnings"]]:
            assert note in said


def test_what_goes_where_adds_up_to_what_can_be_counted_on(shown):
    rows = skein_rows(with_id(shown.root, "stash"))
    taken = {}
    for number, project in numbered(shown):
        for need in project["needs"]:
            for run in need["yarns"]:
                for take in run["skeins"]:
                    said = f"{number} {project['project']}, {need['need']}" + (
                        f", {run['part']}" if run["part"] else ""
                    )
                    key = take["skein"], said
                    taken[key] = taken.get(key, 0) + take["take_m"]
    told = {(skein, said): length for skein, row in rows.items() for said, length in row["goes to"]}
    assert told == {key: show_length(round(metres, 2), "metric", 1) for key, metres in taken.items()}
    left, _ = leftovers(shown.plan, Scales(shown.workspace.stash, shown.plan.confidence))
    assert set(rows) == {skein.id for one in left for skein in one.lot.skeins}
    for one in left:
        for skein in one.lot.skeins:
            whole = sum(guarded_cm(one.lot, skein, shown.plan.confidence)) / 100
            assert rows[skein.id]["counted on"] == show_length(whole, "metric", 1)
        free = math.fsum(float(rows[skein.id]["free"].split()[0]) for skein in one.lot.skeins)
        assert free == pytest.approx(one.length_cm / 100, abs=0.05 * len(one.lot.skeins))


def test_joins_and_what_is_left_of_its_lots_are_told_in_words_with_each_project(shown):
    rows, _ = leftovers(shown.plan, Scales(shown.workspace.stash, shown.plan.confidence))
    left = {each.lot.id: show_length(Fraction(each.length_cm, 100), "metric") for each in rows}
    joined = []
    for number, project in enumerate((one for one in shown.plan.projects if one.made), 1):
        said = text_of(section(shown, number))
        for need in project.needs:
            joins = sum(len(run.takes) - sum(run.lots.values()) for run in need.runs)  # pieces minus strands
            assert (f"{need.need}: {joins} join" in said) == (joins > 0)
            joined += [need] * (joins > 0)
        lots = sorted({lot for need in project.needs for run in need.runs for lot in run.lots})
        assert f"left of its lots: {words.listing(f'{left[lot]} of {lot}' for lot in lots)}." in said
    assert joined


def test_every_project_that_is_not_made_is_named_where_it_is_told_what_is_short(shown):
    said = text_of(with_id(shown.root, "short"))
    missed = [project["project"] for project in shown.document["projects"] if not project["made"]]
    assert len(missed) <= MOST_SHORT
    assert [name for name in missed if name not in said] == []


def test_what_would_be_enough_alone_is_told_so(workspace, plan):
    answers = [ProjectShortfall(name, name, "M", ENOUGH, (), ()) for name in ("cowl", "hat", "vest")]
    page = report_page(plan, workspace, "metric", shortfalls=answers, instead=["hat can be made if x is left out."])
    said = text_of(parsed(page))
    assert "cowl and vest are enough, each on its own: other projects of the plan have the yarn." in said


def test_what_is_left_of_each_lot_is_that_of_the_plan(shown):
    said = text_of(with_id(shown.root, "stash"))
    left, untouched = leftovers(shown.plan, Scales(shown.workspace.stash, shown.plan.confidence))
    for one in left:
        metres, grams = show_length(one.length_cm / 100, "metric", 1), show_mass(one.mass_g, "metric", 1)
        assert f"Left of it: {metres} that can be counted on, {grams};" in said
    rows = tables(with_id(shown.root, "stash"))["Lots that stay as they are"]
    assert [row["lot"] for row in rows] == list(untouched)


def test_what_is_short_is_told_with_what_to_look_for_and_what_would_help(shown):
    said = text_of(with_id(shown.root, "short"))
    missed = [project["project"] for project in shown.document["projects"] if not project["made"]]
    assert "pilot-hat" in missed
    assert "pilot-hat, size adult" in said
    assert "What would help instead" in said
    assert said.index("moths, mould or dust") < said.index("What is missing, and what to look for")
    assert "gull-vest:M can be made if " in said


def test_counted_on_is_what_is_taken_without_its_ends_and_the_best_guess_lies_above(workspace, plan):
    scales = Scales(workspace.stash, SURE)
    found = held(plan.projects[0].needs[0].runs[0], scales)
    assert found.counted == pytest.approx(220.9 - 3 * 0.3)
    lot = workspace.stash.lots["navy"]
    whole = sum(best_cm(lot, lot.skeins[0])) / 100
    one = held(YarnRun({"navy": 1}, 0, None, (Take(1, "navy", "navy-1", 1, 14000),)), scales)
    guarded = 118 * 2.3 * (1 - 1.6448536 * math.hypot(0.03, 1 / math.sqrt(12) / 118))
    assert one.best == pytest.approx(140 * whole / guarded - 0.3, abs=1e-3)
    assert one.best - one.counted == pytest.approx((one.most - one.counted) / 2, rel=0.06)


def test_held_together_the_shortest_strand_counts(workspace):
    scales = Scales(workspace.stash, SURE)
    takes = (Take(1, "cream", "cream-1", 1, 6630), Take(2, "cream", "cream-1", 1, 5030))
    assert held(YarnRun({"cream": 2}, 0, None, takes), scales).counted == pytest.approx(50.0)


def test_turns_are_rounded_up_so_that_they_hold_the_length():
    assert [turns(cm, Fraction(3, 2)) for cm in (1, 150, 151, 14000)] == [1, 1, 2, 94]


def test_no_time_is_told_of_a_plan_that_is_the_best_found(workspace, plan):
    pages = {report_page(replace(plan, seconds=seconds), workspace, "metric") for seconds in (0.2, 30.2)}
    assert len(pages) == 1
    assert "the best that was found, at most 2.5 % below the best possible" in pages.pop()
    assert "the best that was found." in report_page(replace(plan, aim_bound=math.inf), workspace, "metric")
    within = replace(plan, proof="within")
    assert "within 2.5 % of the best possible" in report_page(within, workspace, "metric")


def test_whoever_has_the_page_alone_knows_at_which_gauge_to_swatch(workspace, plan):
    def page_at(gauge):
        pattern = replace(workspace.patterns["skerry"], gauge=gauge)
        at_that = replace(workspace, patterns={**workspace.patterns, "skerry": pattern})
        return text_of(parsed(report_page(plan, at_that, "metric")))

    assert "the metres hold at 22 stitches x 30 rows in 10 cm and at no other gauge" in page_at(
        Gauge(Fraction("2.2"), Fraction(3))
    )
    assert "the metres hold at 18.5 stitches in 10 cm and at no other gauge" in page_at(Gauge(Fraction("1.85"), None))
    assert "the metres hold at the pattern\u2019s and at no other gauge" in page_at(None)


def test_yards_and_ounces_are_told_where_they_are_asked(workspace, plan):
    said = text_of(parsed(report_page(plan, workspace, "imperial", around=Fraction("1.8288"))))
    assert "a swift 2.00 yd round" in said
    assert " m " not in said.replace("L* ", "")
    assert show_length(Fraction(220), "imperial", 1) in said


def test_a_page_of_nothing_says_so(workspace, plan):
    nothing = report_page(replace(plan, projects=()), workspace, "metric")
    assert "Nothing is asked" in text_of(parsed(nothing))
    none = report_page(replace(plan, projects=plan.projects[1:]), workspace, "metric")
    said = text_of(parsed(none))
    assert "The plan makes 0 of 1 project" in said
    assert "lotwise shortfall" in said


def test_strands_of_several_lots_are_shown_each_and_mixed(workspace, plan):
    run = YarnRun(
        {"cream": 1, "navy": 1}, 5000, None, (Take(1, "cream", "cream-1", 1, 5030), Take(2, "navy", "navy-1", 1, 5030))
    )
    made = replace(plan.projects[0], needs=(PlannedNeed("motif", 5000, (run,)),))
    root = parsed(report_page(replace(plan, projects=(made,)), workspace, "metric"))
    (row,) = tables(root)["Each working yarn and its share of the metres"]
    assert re.fullmatch(r"cream with navy ?cream: antiquewhite #efe6d0 ?navy: midnightblue #1c2340", row["yarn"])
    assert "#1c2340" not in row["colour"]


def test_a_project_that_may_well_run_short_is_named_beside_the_answer(shown, monkeypatch):
    monkeypatch.setattr("planner.pages.report.RISKY", 1.0)
    assert "But mind:" not in report_page(shown.plan, shown.workspace, "metric")
    monkeypatch.setattr("planner.pages.report.RISKY", 0.0)
    assert "But mind:" in report_page(shown.plan, shown.workspace, "metric")
