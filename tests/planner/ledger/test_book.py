"""Yarn is set aside by a plan, given back and undone; what is free shrinks by just that, and nothing else changes."""

import json
from pathlib import Path

import pytest
from november import STASH, set_aside, sure_cm, user_files

from planner.ledger.booking import release, undo
from planner.ledger.entries import Book
from planner.workspace import load_workspace
from stash.faults import FaultyFilesError


def test_what_is_set_aside_is_free_no_more_and_still_there(planned):
    before = sure_cm(load_workspace(planned).stash, "slate")
    booked = set_aside(planned)
    taken = sum(take.cm for take in booked.entry.act.takes)
    assert taken == 110_30 + 55_30  # 100 and 50 m, a tenth kept back, two ends for each piece
    after = load_workspace(planned)
    assert sure_cm(after.stash, "slate") == before - taken
    assert sure_cm(after.owned, "slate") == before
    assert after.written.lots["slate"].skeins[0].mass_g == 100


def test_the_rest_of_a_plan_still_holds_when_a_part_of_it_is_booked(planned):
    set_aside(planned, "mitts")
    assert set_aside(planned, "for-the-fair").entry.revision == 2


def test_what_is_set_aside_is_not_asked_again_but_by_name(planned, run):
    set_aside(planned, "mitts")
    code, out, err = run("plan", "--json", "--workspace", planned)
    assert (code, [row["project"] for row in json.loads(out)["projects"]]) == (0, ["for-the-fair"])
    assert err.startswith("Not asked, since set aside already: mitts.\n")
    assert json.loads(run("cover", "mitts", "--json", "--workspace", planned)[1])["projects"][0]["project"] == "mitts"


def test_where_all_is_set_aside_there_is_nothing_to_ask(planned, run):
    set_aside(planned)
    code, _, err = run("plan", "--workspace", planned)
    assert code == 2
    assert "all that you would like to make is set aside or finished" in err


def test_lots_shows_what_is_free_and_what_is_set_aside(planned, run):
    set_aside(planned)
    rows = {row["lot"]: row for row in json.loads(run("lots", "--json", "--workspace", planned)[1])["lots"]}
    assert rows["slate"]["set_aside_m"] == pytest.approx(165.6, abs=0.02)
    assert rows["slate"]["free_m"] + rows["slate"]["set_aside_m"] == pytest.approx(rows["slate"]["length_low_m"])
    assert rows["fog"]["set_aside_m"] == 0
    text = run("lots", "--workspace", planned)[1]
    assert max(map(len, text.splitlines())) <= 80
    assert "aside: set aside for projects." in text


def test_a_plan_is_booked_once(planned, run):
    set_aside(planned)
    code, _, err = run("book", "november", "--workspace", planned)
    assert code == 2
    assert "yarn is set aside for for-the-fair already, in revision 1" in err
    assert len(load_workspace(planned).books.ledger.entries) == 1


def test_release_gives_back_all_of_it(planned):
    before = load_workspace(planned).stash
    set_aside(planned)
    release(planned, "for-the-fair", "")
    assert sure_cm(load_workspace(planned).stash, "slate") == sure_cm(before, "slate") - 55_30
    release(planned, "mitts", "")
    assert load_workspace(planned).stash == before


def test_only_what_is_set_aside_can_be_given_back(planned, run):
    code, _, err = run("release", "mitts", "--workspace", planned)
    assert (code, err) == (
        2, "lotwise: nothing is set aside for mitts\nhint: no yarn is set aside for anything\n"
    )  # fmt: skip
    set_aside(planned)
    before = (planned / "ledger.yaml").read_bytes()
    code, _, err = run("release", "mits", "--workspace", planned)
    assert (code, err) == (2, "lotwise: nothing is set aside for mits\nhint: did you mean 'mitts'?\n")
    assert (planned / "ledger.yaml").read_bytes() == before


def test_undo_takes_back_step_by_step(planned, run):
    before, lots = load_workspace(planned).stash, run("lots", "--json", "--workspace", planned)[1]
    files = user_files(planned)
    set_aside(planned, "mitts")
    set_aside(planned, "for-the-fair", used=True)
    undo(planned, "")
    assert list(load_workspace(planned).books.standing.aside) == ["mitts"]
    undo(planned, "")
    assert load_workspace(planned).stash == before
    assert run("lots", "--json", "--workspace", planned)[1] == lots
    assert user_files(planned) == files
    code, _, err = run("undo", "--workspace", planned)
    assert code == 2
    assert "there is nothing to undo" in err


def test_every_step_is_added_behind_the_others(planned):
    set_aside(planned)
    first = (planned / "ledger.yaml").read_bytes()
    release(planned, "mitts", 'not enough time, she said: "later"')
    assert (planned / "ledger.yaml").read_bytes().startswith(first)
    assert load_workspace(planned).books.ledger.entries[1].why == 'not enough time, she said: "later"'


def test_used_yarn_is_neither_free_nor_there(planned):
    before = sure_cm(load_workspace(planned).stash, "slate")
    set_aside(planned, used=True)
    after = load_workspace(planned)
    assert sure_cm(after.owned, "slate") == sure_cm(after.stash, "slate") == before - 165_60
    assert after.books.standing.finished == {"for-the-fair": 1, "mitts": 1}


def test_an_entry_says_what_of_which_piece_for_whom_and_why(planned, run):
    assert run("book", "november", "mitts", "--why", "for the fair", "--workspace", planned)[0] == 0
    (entry,) = load_workspace(planned).books.ledger.entries
    assert (entry.revision, entry.why) == (1, "for the fair")
    assert isinstance(entry.act, Book)
    (take,) = entry.act.takes
    assert (take.project, take.need, take.lot, take.skein, take.piece, take.cm) == (
        "mitts", "main", "slate", "slate-1", 1, 55_30
    )  # fmt: skip
    # 55.3 m of 218.6 m sure in 100 g
    assert float(take.grams) == pytest.approx(100 * 55.3 / 218.6, abs=0.02)


def test_a_dry_run_shows_what_would_be_written_and_writes_nothing(planned, run):
    code, out, _ = run("book", "november", "mitts", "--dry-run", "--workspace", planned)
    assert code == 0
    assert not (planned / "ledger.yaml").exists()
    assert not (planned / ".lotwise.lock").exists()
    run("book", "november", "mitts", "--workspace", planned)
    assert out.split("bytes:\n", 1)[1] == (planned / "ledger.yaml").read_text()
    again = json.loads(run("release", "mitts", "--dry-run", "--json", "--workspace", planned)[1])
    assert again["format"] == "lotwise/dry-run-1"
    before = (planned / "ledger.yaml").read_text()
    run("release", "mitts", "--workspace", planned)
    assert [before + file["adds"] for file in again["files"]] == [(planned / "ledger.yaml").read_text()]


def test_a_plan_whose_files_changed_is_checked_again_and_says_which(planned, run):
    (planned / "stash.yaml").write_text(STASH.replace("30 g", "35 g"))
    code, out, _ = run("book", "november", "--workspace", planned)
    assert code == 0
    assert "Changed since the plan was made: stash.yaml. The plan still holds." in out


def test_a_plan_that_does_not_hold_any_more_is_refused(planned, run):
    (planned / "stash.yaml").write_text(STASH.replace("100 g", "60 g"))
    code, _, err = run("book", "november", "--workspace", planned)
    assert code == 3
    assert err.startswith("plans/november.json:1:1: error: the plan does not hold any more: skein slate-1, piece 1: ")
    assert "changed since it was made: stash.yaml" in err
    assert not (planned / "ledger.yaml").exists()


def test_a_project_that_is_gone_from_the_list_is_refused(planned, run):
    (planned / "projects.yaml").write_text("projects: [{make: mitts}]\n")
    code, _, err = run("book", "november", "for-the-fair", "--workspace", planned)
    assert code == 3
    assert "no project or pattern is called for-the-fair" in err


def test_a_skein_that_is_gone_is_named_with_what_is_set_aside_of_it(planned, run):
    set_aside(planned)
    (planned / "stash.yaml").write_text(STASH.replace("slate-1", "slate-9"))
    with pytest.raises(FaultyFilesError) as found:
        load_workspace(planned)
    said = [fault.message for fault in found.value.faults]
    assert "110.30 m of skein slate-1 are set aside for for-the-fair, but there is no skein slate-1 now" in said
    assert all(fault.place.file == "ledger.yaml" and fault.own_line for fault in found.value.faults)
    assert run("release", "for-the-fair", "--workspace", planned)[0] == 0
    assert run("release", "mitts", "--workspace", planned)[0] == 0
    load_workspace(planned)


def test_more_set_aside_than_there_is_now_is_told_with_both_amounts(planned):
    set_aside(planned)
    (planned / "stash.yaml").write_text(STASH.replace("100 g", "60 g"))
    with pytest.raises(FaultyFilesError) as found:
        load_workspace(planned)
    (fault,) = found.value.faults
    assert fault.message == (
        "165.60 m of skein slate-1, piece 1 are taken for for-the-fair, mitts, "
        "but no more than 131.10 m are sure to be in it"
    )


def test_a_project_that_is_gone_with_its_pattern_is_told(planned):
    set_aside(planned)
    (planned / "patterns" / "mitts.yaml").unlink()
    (planned / "projects.yaml").write_text("projects: [{make: hat, id: for-the-fair}]\n")
    with pytest.raises(FaultyFilesError) as found:
        load_workspace(planned)
    (fault,) = found.value.faults
    assert fault.message == "yarn is set aside for mitts, which is not among your projects and patterns any more"


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ("metres: 110.30 m", "metres: 11.30 m"),
        ("    plan: november\n", "    plan: november  \n"),
        ("revision: 2", "revision: 3"),
        ("does: release", "does: finish"),
        ("does: release", "does: dance"),
        ("    seal:", "    why: me\n    seal:"),
    ],
)
def test_a_ledger_changed_by_hand_is_refused_in_its_place(planned, was, becomes):
    set_aside(planned)
    release(planned, "mitts", "")
    path = planned / "ledger.yaml"
    assert was in path.read_text()
    path.write_text(path.read_text().replace(was, becomes))
    before = path.read_bytes()
    with pytest.raises(FaultyFilesError) as found:
        load_workspace(planned)
    (fault,) = found.value.faults
    assert fault.place.file == "ledger.yaml"
    assert fault.place.line > 3
    with pytest.raises(FaultyFilesError):
        undo(planned, "")
    assert path.read_bytes() == before


def test_history_shows_every_step(planned, run):
    _, nothing_yet, _ = run("history", "--workspace", planned)
    assert nothing_yet.startswith("Nothing was set aside or used yet")
    assert max(map(len, nothing_yet.splitlines())) <= 80
    set_aside(planned)
    release(planned, "mitts", "too warm")
    undo(planned, "")
    text = run("history", "--workspace", planned)[1]
    assert "Set aside now: for-the-fair and mitts." in text
    assert "(too warm) [undone by 3]" in " ".join(text.split())
    document = json.loads(run("history", "--json", "--workspace", planned)[1])
    assert [(row["revision"], row["does"], row["undone_by"]) for row in document["entries"]] == [
        (1, "book", None), (2, "release", 3), (3, "undo", None)
    ]  # fmt: skip


def test_what_a_killed_run_left_is_discarded_and_said(planned, run):
    left = planned / ".ledger.yaml.999999999-1.part"
    left.write_bytes(b"entries:")
    code, _, err = run("lots", "--workspace", planned)
    assert code == 0
    assert "discarded .ledger.yaml.999999999-1.part, left half written by a run that was stopped" in err
    assert not Path(left).exists()


@pytest.mark.parametrize("why", ["two\nlines", "bell \a", "a\tb", "\u202eturned", "x" * 201])
def test_words_that_would_not_read_back_are_refused(planned, run, why):
    code, _, err = run("book", "november", "--why", why, "--workspace", planned)
    assert (code, "--why takes one line" in err) == (2, True)
    assert not (planned / "ledger.yaml").exists()


@pytest.mark.parametrize(
    "why", ['it\'s "so"', "# no comment", "key: value", "{a: b}", "- x", "no", "ø – 毛衣", " led by a space"]
)
def test_any_words_on_one_line_read_back(planned, run, why):
    assert run("book", "november", "--why", why, "--workspace", planned)[0] == 0
    assert load_workspace(planned).books.ledger.entries[0].why == why
