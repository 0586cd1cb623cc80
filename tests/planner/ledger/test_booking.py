"""What is added to the ledger is added whole, in its turn, and by what the files say at that moment."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from november import STASH, SURE, set_aside, user_files

from planner.asking import AskError
from planner.ledger import booking
from planner.ledger.booking import book, read_books, refuse_changed, release, undo
from planner.ledger.entries import Book, Entry, Finish, Ledger, Release, Taking, Undo
from planner.ledger.finishing import finish
from planner.ledger.read import read_ledger
from planner.ledger.standing import stand
from planner.ledger.text import added
from planner.workspace import load_workspace
from planner.writing import ChangedError, replace_file
from stash.faults import FaultyFilesError

ROOT = Path(__file__).parents[3]


def meanwhile(change):
    """Read the workspace, and let someone change it right after."""

    def load(folder):
        workspace = load_workspace(folder)
        change(folder)
        return workspace

    return load


@pytest.mark.parametrize("name", ["stash.yaml", "patterns/hat.yaml", "projects.yaml"])
def test_a_file_that_an_editor_saves_while_a_plan_is_booked_is_noticed(planned, name):
    def save(folder):
        (folder / name).write_text((folder / name).read_text() + "# a note\n")

    with pytest.raises(ChangedError, match="it was changed by someone else in the meantime; ask again") as told:
        book(planned, meanwhile(save), "november", (), used=False, why="")
    assert told.value.filename == str(planned / name)
    assert not (planned / "ledger.yaml").exists()


def test_a_file_that_is_deleted_while_a_plan_is_booked_is_noticed(planned):
    with pytest.raises(ChangedError):
        book(planned, meanwhile(lambda folder: (folder / "stash.yaml").unlink()), "november", (), used=False, why="")
    assert not (planned / "ledger.yaml").exists()


def test_a_file_that_an_editor_saves_while_a_project_is_finished_is_noticed(planned):
    set_aside(planned)
    before = (planned / "ledger.yaml").read_bytes()

    def save(folder):
        (folder / "stash.yaml").write_text(STASH + "# a note\n")

    with pytest.raises(ChangedError):
        finish(planned, meanwhile(save), "mitts", (), "")
    assert (planned / "ledger.yaml").read_bytes() == before


def test_a_ledger_that_an_editor_saves_while_a_plan_is_booked_is_left_as_it_is(planned):
    set_aside(planned, "mitts")

    def save(folder):
        (folder / "ledger.yaml").write_bytes((folder / "ledger.yaml").read_bytes() + b"# a note\n")

    before = (planned / "ledger.yaml").read_bytes()
    with pytest.raises(ChangedError):
        book(planned, meanwhile(save), "november", ("for-the-fair",), used=False, why="")
    assert (planned / "ledger.yaml").read_bytes() == before + b"# a note\n"


def test_a_ledger_that_is_changed_while_a_step_is_undone_is_left_as_it_is(planned, run, monkeypatch):
    set_aside(planned)

    def late(path, before, data):
        path.write_bytes(b"entries: []\n")
        replace_file(path, before, data)

    monkeypatch.setattr(booking, "replace_file", late)
    code, out, err = run("undo", "--workspace", planned)
    assert (code, out) == (5, "")
    assert err == (
        f"lotwise: {planned}/ledger.yaml: it was changed by someone else in the meantime; ask again\n"
        "hint: nothing was changed\n"
    )
    assert (planned / "ledger.yaml").read_bytes() == b"entries: []\n"


def test_nothing_changed_is_nothing_to_refuse(planned):
    refuse_changed(load_workspace(planned))


def test_of_two_who_book_one_project_at_once_one_does_and_the_other_is_refused(planned):
    code = "import sys; from planner.cli import main; sys.stdin.read(); main()"
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, "book", "november", "for-the-fair", "--workspace", str(planned)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    for one in runs:
        one.stdin.close()
    said = [(one.stdout.read(), one.stderr.read(), one.wait()) for one in runs]
    for one in runs:
        one.stdout.close()
        one.stderr.close()
    assert sorted(code for _, _, code in said) == [0, 2]
    (refused,) = (err for _, err, code in said if code == 2)
    assert "yarn is set aside for for-the-fair already, in revision 1" in refused
    assert len(read_books(planned).ledger.entries) == 1


@pytest.mark.parametrize("again", [False, True])
def test_yarn_is_not_taken_off_by_one_plan_twice(planned, run, again):
    """Whoever did not see the answer asks again; there is yarn enough for a second pair."""
    set_aside(planned, "mitts", used=True)
    before = (planned / "ledger.yaml").read_bytes()
    code, out, err = run("book", "november", "mitts", *(["--used"] if again else []), "--workspace", planned)
    assert (code, out) == (2, "")
    assert err == (
        "lotwise: the yarn of plan november for mitts is used already, in revision 1\n"
        "hint: to make another, plan again: lotwise plan --save NAME\n"
    )
    assert (planned / "ledger.yaml").read_bytes() == before


def test_what_was_taken_off_and_undone_may_be_taken_off_again(planned):
    set_aside(planned, "mitts", used=True)
    undo(planned, "")
    assert set_aside(planned, "mitts", used=True).entry.revision == 3


def test_where_nothing_was_done_there_is_nothing_to_undo(planned):
    with pytest.raises(AskError, match="there is nothing to undo"):
        undo(planned, "")
    set_aside(planned)
    undo(planned, "")
    with pytest.raises(AskError, match="there is nothing to undo"):
        undo(planned, "")


def test_a_plan_in_which_nothing_is_made_is_not_booked(planned):
    path = planned / "plans" / "november.json"
    document = json.loads(path.read_text())
    document["projects"] = []
    path.write_text(json.dumps(document))
    with pytest.raises(AskError, match="nothing is made in this plan"):
        set_aside(planned)


def test_a_project_that_the_plan_does_not_make_is_named(planned):
    with pytest.raises(AskError, match="the plan does not make mits") as told:
        set_aside(planned, "mits")
    assert "mitts" in told.value.hint


def test_a_plan_that_does_not_say_what_it_came_from_is_checked_all_the_same(planned):
    path = planned / "plans" / "november.json"
    document = json.loads(path.read_text())
    del document["files"]
    path.write_text(json.dumps(document))
    (planned / "notes.txt").write_text("mine")
    assert set_aside(planned).changed == ()


class Clock(date):
    today_is = date(2031, 4, 1)

    @classmethod
    def today(cls):
        return cls.today_is


def test_a_clock_that_is_set_back_orders_nothing(planned, monkeypatch, run):
    before = user_files(planned)
    monkeypatch.setattr(booking, "date", Clock)
    set_aside(planned)
    monkeypatch.setattr(Clock, "today_is", date(1999, 12, 31))
    release(planned, "for-the-fair", "")
    assert [(entry.revision, entry.on) for entry in read_books(planned).ledger.entries] == [
        (1, date(2031, 4, 1)),
        (2, date(1999, 12, 31)),
    ]
    monkeypatch.undo()
    assert run("check", "--workspace", planned)[0] == 0
    undo(planned, "")
    undo(planned, "")
    assert load_workspace(planned).stash == load_workspace(planned).written
    assert user_files(planned) == before


def test_a_ledger_too_big_to_be_ours_is_refused_before_it_is_read(planned, run):
    with (planned / "ledger.yaml").open("wb") as file:
        file.truncate(200_000_000)
    code, out, err = run("history", "--workspace", planned)
    assert (code, out) == (3, "")
    assert err.startswith("ledger.yaml:1:1: error: ")


TAKE = Taking("hat", "main", "slate", "slate-1", 1, 12345, Fraction(2345, 100))
QUOTED = Taking("hat#2", 'a "need": x', "slate", "yes", 3, 7, Fraction(1, 3))


@pytest.mark.parametrize(
    "act",
    [
        Book("november", SURE, (TAKE, QUOTED)),
        Book("november", Fraction(999, 1000), (TAKE,), used=True),
        Finish("hat#2", {}, {}),
        Release("hat: a \\ b"),
        Undo(1),
    ],
)
@pytest.mark.parametrize("why", ["", 'for Mara: it\'s "hers"', "# no note", "füür ärm – ☂"])
def test_an_entry_reads_back_as_it_was_written(act, why):
    data = added(b"", Entry(1, date(2024, 2, 29), act, why), "")
    read = read_ledger("ledger.yaml", data)
    assert read.faults == ()
    (entry,) = read.ledger.entries
    assert (entry.revision, entry.on, entry.why) == (1, date(2024, 2, 29), why)
    if not isinstance(act, Book):
        assert entry.act == act
        return
    assert (entry.act.plan, entry.act.confidence, entry.act.used) == (act.plan, act.confidence, act.used)
    assert [(t.project, t.need, t.lot, t.skein, t.piece, t.cm) for t in entry.act.takes] == [
        (t.project, t.need, t.lot, t.skein, t.piece, t.cm) for t in act.takes
    ]


TOOK = {
    "project": "hat",
    "need": "main",
    "lot": "slate",
    "skein": "slate-1",
    "piece": 1,
    "metres": "9 m",
    "grams": "4 g",
}
PLANNED = {"plan": "november", "confidence": "95%", "takes": [TOOK]}


def faults_of(entry):
    return [fault.message for fault in read_ledger("ledger.yaml", json.dumps({"entries": [entry]}).encode()).faults]


@pytest.mark.parametrize(
    ("does", "tells"),
    [
        ("book", PLANNED),
        ("use", PLANNED),
        ("finish", {"project": "hat"}),
        ("release", {"project": "hat"}),
        ("undo", {"undoes": 1}),
    ],
)
def test_what_an_entry_lacks_is_told(does, tells):
    whole = {"revision": 1, "on": "2024-02-29", "seal": "e789231acdd9f5da", **tells}
    assert faults_of({**whole, "does": does}) == ["revision 1 is not as lotwise wrote it"]
    for key in whole:
        (told,) = faults_of({**{one: whole[one] for one in whole if one != key}, "does": does})
        assert told.startswith(f"an entry that does '{does}' needs '{key}'")


@pytest.mark.parametrize("key", TOOK)
def test_what_a_taking_lacks_is_told(key):
    take = {one: TOOK[one] for one in TOOK if one != key}
    entry = {"revision": 1, "on": "2024-02-29", "does": "book", **PLANNED, "takes": [take], "seal": "e789231acdd9f5da"}
    (told,) = faults_of(entry)
    assert told.startswith(f"a taking needs '{key}'")


def test_a_last_line_without_its_end_gets_one_before_the_next_entry(planned):
    set_aside(planned, "mitts")
    path = planned / "ledger.yaml"
    path.write_bytes(path.read_bytes().removesuffix(b"\n"))
    set_aside(planned, "for-the-fair")
    assert [entry.revision for entry in read_books(planned).ledger.entries] == [1, 2]


def test_a_project_with_nothing_set_aside_stands_for_nothing():
    ledger = Ledger((Entry(1, date(2024, 1, 1), Book("november", SURE, ()), ""),))
    standing, faults = stand(ledger)
    assert (standing.aside, standing.last, faults) == ({}, 1, [])


def test_yarn_that_is_sure_by_different_shares_is_over_booked_by_the_surest():
    """Of 100 m by length, 1.12 % unsure: at 95 % 98.16 m are sure, at 50 % 100 m. 40 m of the one and 59 m of the
    other are 0.408 + 0.59 = 0.998 of it; of 99 m they are 1.008, more than there is, though 99 m were taken in all."""
    from planner.ledger.free import check  # noqa: PLC0415
    from stash.read import read_stash  # noqa: PLC0415

    def faults(length):
        text = f"lots: {{slate: {{fibre: wool, colour: red, count: 230 m/100g, skeins: {{slate-1: {{length: {length}}}}}}}}}\n"
        takes = [
            Book("a", SURE, (Taking("hat", "main", "slate", "slate-1", 1, 4000, Fraction(1)),)),
            Book("b", Fraction(1, 2), (Taking("mitts", "main", "slate", "slate-1", 1, 5900, Fraction(1)),)),
        ]
        ledger = Ledger(tuple(Entry(n, date(2024, 1, 1), act, "") for n, act in enumerate(takes, start=1)))
        return [fault.message for fault in check(read_stash([("stash.yaml", text.encode())]).stash, stand(ledger)[0])]

    assert faults("100 m") == []
    (told,) = faults("99 m")
    assert told.startswith("99.00 m of skein slate-1, piece 1 are taken for hat, mitts, but no more than 97.")


@pytest.mark.parametrize(("metres", "faults"), [("99.9999995", 0), ("99.999999", 0), ("99.9999985", 1)])
def test_a_millionth_of_a_metre_less_than_was_taken_is_as_much(metres, faults):
    """At 50 % a skein of 99.999999 m gives 100 m."""
    from planner.ledger.free import check  # noqa: PLC0415
    from stash.read import read_stash  # noqa: PLC0415

    text = b"lots: {slate: {fibre: wool, colour: red, count: 230 m/100g, skeins: {slate-1: {length: 100 m}}}}\n"
    stash = read_stash([("stash.yaml", text)]).stash
    lot = stash.lots["slate"]
    shorter = replace(lot.skeins[0], length_m=Fraction(metres))
    take = Taking("mitts", "main", "slate", "slate-1", 1, 10000, Fraction(40))
    standing, _ = stand(Ledger((Entry(1, date(2024, 1, 1), Book("by-hand", Fraction(1, 2), (take,)), ""),)))
    found = list(check(replace(stash, lots={"slate": replace(lot, skeins=(shorter,))}), standing))
    assert len(found) == faults


def test_what_was_knitted_of_a_lot_that_is_gone_is_forgotten(planned, run):
    set_aside(planned)
    skeins = {held.taking.skein for held in read_books(planned).standing.aside["for-the-fair"]}
    left = [part for skein in sorted(skeins) for part in ("--left", f"{skein}=40g")]
    assert run("finish", "for-the-fair", *left, "--workspace", planned)[0] == 0
    release(planned, "mitts", "")
    assert read_books(planned).standing.knitted
    (planned / "stash.yaml").write_text(
        "lots: {other: {fibre: wool, colour: red, count: 230 m/100g, skeins: {other-1: 100 g}}}\n"
    )
    assert list(load_workspace(planned).stash.lots) == ["other"]


def test_yarn_set_aside_for_what_is_no_more_can_be_given_back(planned, run):
    set_aside(planned, "mitts")
    (planned / "patterns" / "mitts.yaml").unlink()
    (planned / "projects.yaml").write_text("projects: [{make: hat, id: for-the-fair}]\n")
    with pytest.raises(FaultyFilesError):
        load_workspace(planned)
    assert run("release", "mitts", "--workspace", planned)[0] == 0
    assert run("check", "--workspace", planned)[0] == 0


def test_a_copy_that_is_on_the_list_no_more_is_finished_and_teaches_nothing(planned, run):
    (planned / "projects.yaml").write_text("projects: [{make: mitts, copies: 2}]\n")
    assert run("plan", "--save", "two", "--workspace", planned)[0] == 0
    assert run("book", "two", "--workspace", planned)[0] == 0
    (planned / "projects.yaml").write_text("projects: [{make: mitts}]\n")
    (skein,) = {held.taking.skein for held in read_books(planned).standing.aside["mitts#2"]}
    assert run("finish", "mitts#2", "--left", f"{skein}=10g", "--workspace", planned)[0] == 0
    standing = read_books(planned).standing
    assert "mitts#2" in standing.finished
    assert standing.left[skein][-1][1].value == 10
    assert not standing.knitted


def test_a_skein_that_weighs_as_before_teaches_nothing(planned, run):
    set_aside(planned, "mitts")
    (skein,) = {held.taking.skein for held in read_books(planned).standing.aside["mitts"]}
    whole = {"slate-1": "100g", "slate-2": "40g", "fog-1": "30g"}[skein]
    assert run("finish", "mitts", "--left", f"{skein}={whole}", "--workspace", planned)[0] == 0
    assert not read_books(planned).standing.knitted
