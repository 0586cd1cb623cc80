"""A finished project's yarn is used; what the scale shows of the rest tells how thick the yarn really was."""

import json
from fractions import Fraction

import pytest
from november import HAT, MITTS, PROJECTS, STASH, SURE, set_aside, sure_cm

from planner.ledger.booking import undo
from planner.ledger.finishing import finish
from planner.plan import Take
from planner.show.weighing import Scales
from planner.workspace import load_workspace
from stash.faults import FaultyFilesError
from stash.lengths import guarded_cm, length_m


def finished(folder, project, *left):
    return finish(folder, load_workspace, project, left, "")


def test_what_was_set_aside_is_used(planned):
    before = load_workspace(planned).stash
    set_aside(planned)
    finished(planned, "mitts")
    after = load_workspace(planned)
    assert sure_cm(after.owned, "slate") == sure_cm(before, "slate") - 55_30
    assert sure_cm(after.stash, "slate") == sure_cm(before, "slate") - 165_60
    assert after.stash.lots["slate"].count == before.lots["slate"].count


def test_a_skein_weighed_again_holds_what_the_scale_shows(planned):
    set_aside(planned)
    finished(planned, "mitts", "slate-1=70g")
    skein = load_workspace(planned).owned.lots["slate"].skeins[0]
    assert (skein.mass_g, skein.scale_g) == (70, 1)


def test_grams_that_went_sharpen_the_count(planned):
    # 50 m and 0.3 m of ends took 100 - 78 = 22 g: 437.38 tex, 5 % unsure by the pattern and 1/sqrt(6) g by two scales
    # that show grams, 1.86 %: 5.33 % in all. The label said 434.78 tex, 3 % unsure.
    # The mean weighted by the inverses of the variances (JCGM 100; from memory): u = 23.327 and 13.043 tex, weights
    # 0.2382 and 0.7618: 435.40 tex, and 11.384 tex of it unsure, 2.615 %.
    set_aside(planned)
    booked = finished(planned, "mitts", "slate-1=78g")
    (one,) = booked.entry.act.knitted.values()
    assert (one.metres, one.grams) == (Fraction("50.3"), 22)
    assert one.relative_u == pytest.approx(0.05334, abs=1e-5)
    count = load_workspace(planned).stash.lots["slate"].count
    assert float(count.tex) == pytest.approx(435.40, abs=0.01)
    assert count.relative_u == pytest.approx(0.02615, abs=1e-5)
    undo(planned, "")
    assert load_workspace(planned).stash.lots["slate"].count.relative_u == 0.03


def test_a_skein_may_weigh_what_it_did_when_last_weighed(planned):
    # for-the-fair took 110.3 m by plan, which a cautious knitter may not have knitted at all
    set_aside(planned)
    finished(planned, "for-the-fair")
    finished(planned, "mitts", "slate-1=74g")
    assert load_workspace(planned).owned.lots["slate"].skeins[0].mass_g == 74


def test_grams_that_another_project_took_unweighed_teach_nothing(planned):
    # by the plan 50 g went into for-the-fair; in truth its 100 m took 44 g, and 50 m of mitts 22 g more: 34 g are left
    set_aside(planned)
    finished(planned, "for-the-fair")
    booked = finished(planned, "mitts", "slate-1=34g")
    assert not booked.entry.act.knitted
    assert load_workspace(planned).stash.lots["slate"].count.relative_u == 0.03


def test_a_skein_that_was_measured_only_teaches_nothing_of_its_count(planned, run):
    # what it weighed is reckoned from the very count that would be sharpened
    (planned / "stash.yaml").write_text(
        'lots: {slate: {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 230 m}}}\n'
    )
    assert run("plan", "mitts", "--save", "two", "--workspace", planned)[0] == 0
    assert run("book", "two", "--workspace", planned)[0] == 0
    booked = finished(planned, "mitts", "slate-1=78g")
    assert not booked.entry.act.knitted


def test_what_is_used_up_does_not_come_back_as_the_count_is_sharpened(planned, run):
    # 217 m of 218.6 m are taken of the whole skein; then mitts of the same lot sharpen its count: each gram holds
    # more for sure, but the skein is gone
    (planned / "patterns" / "hat.yaml").write_text(HAT.replace("100 m", "197.5 m"))
    (planned / "projects.yaml").write_text(PROJECTS.replace("mitts}", "mitts, needs: {main: {only: [slate]}}}"))
    assert run("plan", "--save", "two", "--workspace", planned)[0] == 0
    assert run("book", "two", "--workspace", planned)[0] == 0
    finished(planned, "for-the-fair")
    before = load_workspace(planned).owned.lots["slate"].skeins[0]
    finished(planned, "mitts", "slate-2=18g")
    after = load_workspace(planned)
    assert after.books.standing.knitted
    assert after.owned.lots["slate"].skeins[0].mass_g == before.mass_g


def test_a_piece_that_others_have_a_share_of_is_not_said_to_be_taken_whole(planned):
    set_aside(planned, "mitts")
    stash = load_workspace(planned).stash
    (rest,) = guarded_cm(stash.lots["slate"], stash.lots["slate"].skeins[0], SURE)
    take = Take(1, "slate", "slate-1", 1, rest)
    assert not Scales(stash, SURE).is_whole(take)
    finished(planned, "mitts")
    assert Scales(load_workspace(planned).stash, SURE).is_whole(take)


def test_what_is_far_off_is_told_and_not_believed(planned, run):
    set_aside(planned)
    code, out, _ = run("finish", "mitts", "--left", "slate-1=60g", "--workspace", planned)
    assert code == 0
    assert "slate came out much thicker than counted (126 m/100g, not 230 m/100g)" in " ".join(out.split())
    assert load_workspace(planned).stash.lots["slate"].count.relative_u == 0.03


def test_a_skein_that_weighs_less_than_is_set_aside_of_it_is_a_warning(planned):
    set_aside(planned)
    finished(planned, "mitts", "slate-1=40g")
    (warning,) = load_workspace(planned).warnings
    assert warning.message.startswith(
        "110.30 m of skein slate-1, piece 1 are taken for for-the-fair, but no more than 8"
    )
    assert load_workspace(planned).stash.lots["slate"].skeins[0].mass_g == 0


def test_what_is_set_aside_of_a_lot_found_to_be_thicker_is_weighed_against_what_it_holds_now(planned, run):
    # 24.5 g went into 50.3 m: the count becomes 445.95 tex, 11.567 tex unsure. The 75.5 g left hold 169.30 m, and for
    # sure 169.30 x (1 - 1.6448536 x 0.02594) = 162.08 m; for-the-fair needs 148 m, a tenth more, and two ends.
    (planned / "patterns" / "hat.yaml").write_text(HAT.replace("100 m", "148 m"))
    (planned / "projects.yaml").write_text(PROJECTS.replace("mitts}", "mitts, needs: {main: {only: [slate]}}}"))
    assert run("plan", "--save", "two", "--workspace", planned)[0] == 0
    assert run("book", "two", "--workspace", planned)[0] == 0
    finished(planned, "mitts", "slate-1=75.5g")
    (warning,) = load_workspace(planned).warnings
    assert warning.message == (
        "163.10 m of skein slate-1, piece 1 are taken for for-the-fair, but no more than 162.08 m are sure to be in it"
    )
    finished(planned, "for-the-fair")
    assert load_workspace(planned).warnings == ()  # what is used was there


def test_what_is_left_of_other_skeins_stays_as_it_was(planned):
    set_aside(planned)
    before = load_workspace(planned).written.lots["slate"].skeins[1]
    finished(planned, "mitts", "slate-1=70g")
    lot = load_workspace(planned).stash.lots["slate"]
    assert lot.skeins[1] == before
    assert length_m(lot, lot.skeins[1]) == 1000 * 40 / lot.count.tex


def test_a_skein_that_is_used_up_may_be_deleted(planned):
    set_aside(planned, used=True)
    (planned / "stash.yaml").write_text(STASH.replace("slate-1: 100 g, ", ""))
    assert [skein.id for skein in load_workspace(planned).stash.lots["slate"].skeins] == ["slate-2"]


@pytest.mark.parametrize(
    ("left", "said"),
    [
        (("slate-1",), "does not say what is left"),
        (("=10g",), "--left =10g does not say what is left"),
        (("slate-2=10g",), "slate-2 is none of the skeins set aside for it"),
        (("slate-1=10",), "--left slate-1=10: "),
        (("slate-1=140g",), "slate-1 cannot have 140g left: it had no more than 101 g"),
        (("slate-1=10g", "slate-1=20g"), "weighed twice"),
    ],
)
def test_a_remnant_that_cannot_be_is_refused(planned, run, left, said):
    set_aside(planned)
    flags = [word for one in left for word in ("--left", one)]
    code, _, err = run("finish", "mitts", *flags, "--workspace", planned)
    assert code == 2
    assert said in err.splitlines()[0]
    assert len(load_workspace(planned).books.ledger.entries) == 1


def test_only_what_is_set_aside_can_be_finished(planned, run):
    code, _, err = run("finish", "mitts", "--workspace", planned)
    assert (code, "nothing is set aside for mitts" in err) == (2, True)
    set_aside(planned)
    code, _, err = run("finish", "mits", "--workspace", planned)
    assert (code, "did you mean 'mitts'?" in err) == (2, True)


def test_a_finished_project_on_the_list_is_not_asked_again(planned, run):
    set_aside(planned)
    finished(planned, "mitts")
    run("release", "for-the-fair", "--workspace", planned)
    _, out, err = run("plan", "--json", "--workspace", planned)
    assert [row["project"] for row in json.loads(out)["projects"]] == ["for-the-fair"]
    assert "Not asked, since finished already: mitts." in err


def test_midway_counts_what_is_set_aside_for_the_project_as_there(planned, run):
    set_aside(planned)
    code, _, err = run(
        "midway", "mitts", "--need", "main", "--done", "50%", "--left", "slate=68g", "--began", "slate=80g",
        "--workspace", planned,
    )  # fmt: skip
    assert (code, err) == (0, "")


def test_a_skein_counted_as_it_should_be_says_nothing(planned):
    set_aside(planned, used=True)
    expected = load_workspace(planned).owned.lots["slate"].skeins[0].mass_g
    text = STASH.replace(
        "slate-1: 100 g", f"slate-1: {{mass: 100 g, counted: {{mass: {round(expected)} g, on: 2999-11-05}}}}"
    )
    (planned / "stash.yaml").write_text(text)
    assert load_workspace(planned).warnings == ()


@pytest.mark.parametrize(("grams", "warnings"), [(97, 1), (98, 0), (102, 0), (103, 1)])
def test_two_weighings_agree_within_the_steps_of_both_scales(folder, grams, warnings):
    text = STASH.replace("slate-1: 100 g", f"slate-1: {{mass: 100 g, counted: {{mass: {grams} g, on: 2026-11-05}}}}")
    (folder / "stash.yaml").write_text(text)
    assert len(load_workspace(folder).warnings) == warnings


def test_a_skein_counted_otherwise_is_told_with_the_difference(planned):
    set_aside(planned, used=True)
    (planned / "stash.yaml").write_text(
        STASH.replace("slate-1: 100 g", "slate-1: {mass: 100 g, counted: {mass: 20 g, on: 2999-11-05}}")
    )
    (warning,) = load_workspace(planned).warnings
    assert (warning.place.line, warning.warning) == (2, True)
    assert warning.message == (
        "skein slate-1 weighed 20.0 g on 2999-11-05, 4.2 g less than it should: the ledger leaves 24.2 g"
    )
    assert warning.hint == "weigh it again; if it is so, write mass: 95.8 g, with the 75.8 g that are used"


@pytest.mark.parametrize("day", ["2024-13-45", "2024-1-2", "5.11.2026", "20241105"])
def test_a_day_has_one_form(planned, day):
    (planned / "stash.yaml").write_text(
        STASH.replace("slate-1: 100 g", f"slate-1: {{mass: 100 g, counted: {{mass: 20 g, on: {day}}}}}")
    )
    with pytest.raises(FaultyFilesError) as found:
        load_workspace(planned)
    assert found.value.faults[0].message == f"'{day}' is not a day"
    assert found.value.faults[0].hint == "write it as year-month-day, such as 2026-11-05"


def test_a_pattern_on_no_list_may_be_made_again(planned, run):
    (planned / "projects.yaml").unlink()
    (planned / "patterns" / "mitts.yaml").write_text(MITTS)
    run("plan", "--save", "two", "--workspace", planned)
    assert run("book", "two", "mitts:one", "--workspace", planned)[0] == 0
    finished(planned, "mitts:one")
    document = json.loads(run("plan", "--json", "--workspace", planned)[1])
    assert "mitts:one" in [row["project"] for row in document["projects"]]


def test_what_was_counted_before_yarn_was_used_is_past(planned):
    set_aside(planned, used=True)
    text = STASH.replace("slate-1: 100 g", "slate-1: {mass: 100 g, counted: {mass: 100 g, on: 2020-11-05}}")
    (planned / "stash.yaml").write_text(text)
    assert load_workspace(planned).warnings == ()


def test_the_remedy_for_a_skein_counted_otherwise_than_at_its_finish_is_one(planned):
    set_aside(planned)
    finished(planned, "for-the-fair")
    finished(planned, "mitts", "slate-1=34g")
    text = STASH.replace("slate-1: 100 g", "slate-1: {mass: 100 g, counted: {mass: 20 g, on: 2999-01-01}}")
    (planned / "stash.yaml").write_text(text)
    (warning,) = load_workspace(planned).warnings
    assert warning.message.endswith("14.0 g less than it should: by its last weighing the ledger leaves 34.0 g")
    assert warning.hint.endswith("write it as a skein of another name, with mass: 20.0 g")
    (planned / "stash.yaml").write_text(STASH.replace("slate-1: 100 g", "slate-one: 20 g"))
    workspace = load_workspace(planned)
    assert (workspace.warnings, workspace.stash.lots["slate"].skeins[0].mass_g) == ((), 20)


def test_a_piece_that_was_used_and_is_no_more_is_told(planned, run):
    (planned / "projects.yaml").write_text(PROJECTS.replace("mitts}", "mitts, needs: {main: {only: [slate]}}}"))
    (planned / "patterns" / "hat.yaml").write_text(HAT.replace("100 m", "197.5 m"))
    run("plan", "--save", "two", "--workspace", planned)
    run("book", "two", "--used", "--workspace", planned)
    (planned / "stash.yaml").write_text(STASH.replace("{mass: 40 g, pieces: 2}", "{mass: 40 g}"))
    (warning,) = load_workspace(planned).warnings
    assert warning.message == (
        "piece 2 of skein slate-2 is used for mitts, but the skein has 1 only: nothing is taken off for it"
    )


def test_a_listed_pattern_made_in_one_of_its_sizes_by_name_is_not_asked_again(planned, run):
    (planned / "patterns" / "hat.yaml").write_text(
        HAT.replace("one: {main: 100 m}", "S: {main: 90 m}, M: {main: 100 m}")
    )
    (planned / "projects.yaml").write_text("projects: [{make: hat, size: [S, M]}, {make: mitts}]\n")
    run("plan", "hat:S", "--save", "two", "--workspace", planned)
    assert run("book", "two", "--workspace", planned)[0] == 0
    for said in ("set aside", "finished"):
        _, out, err = run("plan", "--json", "--workspace", planned)
        assert [row["project"] for row in json.loads(out)["projects"]] == ["mitts"]
        assert f"Not asked, since {said} already: hat." in err
        if said == "set aside":
            finished(planned, "hat:S")


def test_skeins_that_are_used_up_are_not_counted_among_those_there(planned, run):
    set_aside(planned)
    finished(planned, "for-the-fair", "slate-1=0g")
    out = run("lots", "--workspace", planned)[1]
    assert [line.split()[-3] for line in out.splitlines() if " slate " in line] == ["1"]
