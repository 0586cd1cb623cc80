"""`lotwise plan --report` and `lotwise report`: one new file, never over anything, from what the plan says."""

import json
import shutil
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from handmade import SURE
from paging import every, parsed, share, skein_rows, tables, text_of, with_id

from planner.pages.shades import Palette
from planner.pages.skeins import stash_bars
from planner.plan import PlannedNeed, Take, YarnRun
from planner.show.weighing import Scales
from stash.lots import Stash
from stash.units import show_length

DEMO = Path(__file__).parents[3] / "planner" / "demo"
HAT = ("gannet-hat", "lantern-cowl")


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")
    return tmp_path / "demo"


@pytest.fixture
def ask(run, folder):
    return lambda *words: run(*words, "--workspace", folder)


def contents(folder):
    return {path: path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_the_page_goes_into_a_new_file_beside_the_answer(ask, folder):
    file = folder / "fair.html"
    code, out, _ = ask("plan", *HAT, "--report", file)
    assert code == 0
    assert out.endswith(f"\n\n{file} was written.\n")
    assert "The plan makes 2 of 2 projects" in text_of(parsed(file.read_text(encoding="utf-8")))


def test_a_saved_plan_gives_the_same_page(ask, folder):
    first = folder / "first.html"
    assert ask("plan", *HAT, "pilot-hat", "--report", first, "--save", "fair")[0] == 1
    code, out, _ = ask("report", "fair")
    assert code == 0
    assert out == f"{folder}/plans/fair.html was written. Open it in a browser, and print it from there.\n"
    assert (folder / "plans" / "fair.html").read_bytes() == first.read_bytes()


def test_what_was_proved_of_other_files_is_not_told_of_those_there_are(ask, folder):
    ask("plan", *HAT, "--save", "fair")
    ask("report", "fair", "--out", folder / "as-planned.html")
    assert "changed since" not in (folder / "as-planned.html").read_text()
    with (folder / "projects.yaml").open("a") as file:
        file.write("# more is wished for\n")
    ask("report", "fair", "--out", folder / "later.html")
    assert "That was proved when it was planned; changed since: projects.yaml." in (folder / "later.html").read_text()


def test_what_would_have_to_be_left_out_is_told_of_a_saved_plan_too(ask, folder):
    asked = ("breakwater", "gull-vest:M", "tide-shawl")
    assert ask("plan", *asked, "--report", folder / "first.html", "--save", "fair")[0] == 1
    assert ask("report", "fair")[0] == 0
    page = (folder / "plans" / "fair.html").read_bytes()
    assert page == (folder / "first.html").read_bytes()
    assert "gull-vest:M can be made if breakwater:M is left out." in text_of(parsed(page.decode()))


def test_the_answer_beside_a_page_is_that_without_one(ask, folder):
    code, out, _ = ask("plan", *HAT, "--json", "--report", folder / "fair.html")
    assert code == 0
    assert json.loads(out) == json.loads(ask("plan", *HAT, "--json")[1])


def test_the_report_tells_its_file_to_other_programs(ask, folder):
    ask("plan", *HAT, "--save", "fair")
    code, out, _ = ask("report", "fair", "--out", folder / "mine.htm", "--json")
    assert code == 0
    assert json.loads(out) == {"format": "lotwise/page-1", "file": str(folder / "mine.htm")}


def test_turns_are_of_the_swift_that_is_told(ask, folder):
    file = folder / "fair.html"
    assert ask("plan", "lantern-cowl", "--report", file, "--around", "2 yd")[0] == 0
    root = parsed(file.read_text(encoding="utf-8"))
    assert "a swift 1.83 m round" in text_of(root)
    for row in tables(root)["Tick off what is wound"]:
        metres, turns = float(row["which holds"].split()[0]), int(row["turns"])
        assert (turns - 1) * 1.8288 < metres + 0.05
        assert metres - 0.05 <= turns * 1.8288


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--report", "fair.svg"), "--report: '{}/fair.svg' does not end in .html"),
        (("--report", "mine.html"), "--report: there is a '{}/mine.html' already, and nothing is written over"),
        (("--report", "link.html"), "--report: there is a '{}/link.html' already, and nothing is written over"),
        (("--report", "nowhere/fair.html"), "--report: there is no folder '{}/nowhere'"),
        (("--report", "fair.html", "--around", "5 mm"), "--around 5 mm is out of bounds"),
        (("--report", "fair.html", "--around", "5"), "--around 5: "),
        (("--around", "1.5 m"), "--around is for a page, and none is asked"),
        (("--options", "2", "--around", "1.5 m"), "--around is for the winding list of one plan"),
        (("--options", "2", "--report", "mine.html"), "--report: there is a '{}/mine.html' already"),
    ],
)
def test_what_cannot_be_written_is_refused_before_anything_is_planned(ask, folder, monkeypatch, more, said):
    (folder / "mine.html").write_text("mine", encoding="utf-8")
    (folder / "mine-2.html").write_text("mine", encoding="utf-8")
    (folder / "link.html").symlink_to(folder / "nothing-there")
    monkeypatch.setattr("planner.planning.plan", lambda *_, **__: pytest.fail("it was planned all the same"))
    before = contents(folder)
    words = [folder / one if one.endswith((".html", ".svg")) else one for one in more]
    code, out, err = ask("plan", "gannet-hat", *words)
    assert (code, out) == (2, "")
    assert said.format(folder) in err
    assert before == contents(folder)


def test_a_free_name_is_offered(ask, folder):
    for name in ("mine.html", "mine-2.html"):
        (folder / name).write_text("mine", encoding="utf-8")
    _, _, err = ask("plan", "gannet-hat", "--report", folder / "mine.html")
    assert f"hint: try --report {folder}/mine-3.html" in err


def test_each_folder_has_no_page(run, folder):
    code, _, err = run("plan", "--each", folder, "--report", "x.html")
    assert code == 2
    assert "--report is for one folder" in err


def test_a_plan_is_told_though_its_page_cannot_be_written(ask, folder, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("planner.pages.keeping.create_file", full)
    code, out, _ = ask("plan", "gannet-hat", "--report", folder / "fair.html")
    assert code == 5
    assert "1 of 1 project made" in out
    assert out.endswith(f"No page was written: {folder}/fair.html: No space left on device.\n")
    code, out, err = ask("plan", "gannet-hat", "--json", "--report", folder / "fair.html")
    assert code == 5
    assert json.loads(out)["format"] == "lotwise/plan-1"
    assert "No page was written" in err


def test_a_rehearsal_writes_nothing(ask, folder):
    ask("plan", *HAT, "--save", "fair")
    before = contents(folder)
    code, out, _ = ask("report", "fair", "--dry-run")
    assert code == 0
    assert "plans/fair.html, a new file of " in out
    assert before == contents(folder)


def test_a_plan_that_is_not_there_is_refused_with_those_that_are(ask, folder):
    assert "no plan is saved here yet" in ask("report", "fair")[2]
    ask("plan", *HAT, "--save", "fair")
    code, _, err = ask("report", "fear")
    assert code == 2
    assert "fair" in err


def booked(ask, *projects):
    """Set yarn aside for projects; (skein, project, metres) as the answer of the plan has it."""
    code, out, _ = ask("plan", *projects, "--save", "first", "--json")
    assert (code, ask("book", "first")[0]) == (0, 0)
    held = {}
    for project in json.loads(out)["projects"]:
        for need in project["needs"]:
            for take in [take for run in need["yarns"] for take in run["skeins"]]:
                key = take["lot"], take["skein"], project["project"]
                held[key] = held.get(key, 0) + take["take_m"]
    return held


@pytest.mark.parametrize("only", ["main=slate", "main=cream"])
def test_what_is_set_aside_for_others_is_told_and_drawn_as_theirs(ask, folder, only):
    """Of lots that the plan uses and of those it does not; in greys too, struck through as often as it is told."""
    held = booked(ask, "breakwater", "lantern-cowl")
    assert ask("plan", "gannet-hat", "--only", only, "--report", folder / "hat.html")[0] == 0
    place = with_id(parsed((folder / "hat.html").read_text(encoding="utf-8")), "stash")
    rows = skein_rows(place)
    told = {(skein, *said) for skein, row in rows.items() for said in row["set aside for"]}
    assert told == {(skein, who, show_length(round(m, 2), "metric", 1)) for (_, skein, who), m in held.items()}
    for row in rows.values():
        struck = [(share(one, "x1"), share(one, "x2")) for one in every(row["bar"], "line")]
        drawn = [one for one in every(row["bar"], "rect") if one.get("class") == "aside"]
        assert len(drawn) == len(row["set aside for"])
        assert struck == [
            (share(one, "x"), pytest.approx(share(one, "x") + share(one, "width"), abs=2e-4)) for one in drawn
        ]
        parts = [length for _, length in row["goes to"] + row["set aside for"]] + [row["free"]]
        whole = sum(float(length.split()[0]) for length in parts)
        assert whole == pytest.approx(float(row["counted on"].split()[0]), abs=0.05 * (len(parts) + 1))
    untouched = {row["lot"] for row in tables(place)["Lots that stay as they are"]}
    assert untouched.isdisjoint(lot for lot, _, _ in held)
    assert "ochre" in untouched


def test_a_lot_that_is_set_aside_to_its_end_is_shown(workspace, plan):
    """cream is all for the shawl, which leaves nothing of it in the stash that is free."""
    cream = workspace.stash.lots["cream"]
    gone = tuple(replace(one, mass_g=Fraction(0), length_m=None, opened=True) for one in cream.skeins)
    stash = Stash({}, {**workspace.stash.lots, "cream": replace(cream, skeins=gone)})
    need = PlannedNeed("main", 5000, (YarnRun({"navy": 1}, 5000, None, (Take(1, "navy", "navy-1", 1, 5030),)),))
    used = replace(plan, projects=(replace(plan.projects[0], needs=(need,)),))
    aside = {("cream", cream.skeins[0].id): {"shawl": 1250}}
    bars = stash_bars(used, Scales(stash, SURE), aside, Palette(), "metric")
    (told,) = [one for one in bars.lots if one.lot == "cream"]
    assert (told.left, told.whole, told.skeins[0].length, told.skeins[0].free) == ("0.0 m", 0, "12.5 m", "0.0 m")
    assert [(one.project, one.said, one.length) for one in told.skeins[0].shares] == [(0, "shawl", "12.5 m")]


def test_yarn_set_aside_for_the_plan_itself_is_its_own(ask, folder):
    ask("plan", *HAT, "--save", "fair")
    assert ask("report", "fair", "--out", folder / "before.html")[0] == 0
    assert ask("book", "fair")[0] == 0
    assert ask("report", "fair", "--out", folder / "after.html")[0] == 0
    assert (folder / "before.html").read_bytes() == (folder / "after.html").read_bytes()


def test_a_plan_whose_yarn_is_used_is_shown_as_it_was_made(ask, folder):
    ask("plan", "breakwater", "tide-shawl", "--save", "fair")
    assert ask("book", "fair", "--used")[0] == 0
    assert ask("report", "fair")[0] == 0
    said = text_of(parsed((folder / "plans" / "fair.html").read_text(encoding="utf-8")))
    assert "Some of this yarn is used by now." in said


def test_of_yarn_as_the_files_have_it_nothing_is_told_twice(ask, folder):
    """Where some of a plan's yarn is used, its page shows all of the files' yarn: what others hold is in it."""
    ask("plan", "breakwater", "tide-shawl", "--save", "fair")
    assert ask("book", "fair", "--used")[0] == 0
    assert ask("report", "fair", "--out", folder / "before.html")[0] == 0
    booked(ask, "gannet-hat")
    assert ask("report", "fair", "--out", folder / "after.html")[0] == 0
    assert (folder / "before.html").read_bytes() == (folder / "after.html").read_bytes()


def test_a_plan_that_does_not_hold_any_more_is_refused(ask, folder):
    ask("plan", "lantern-cowl", "--save", "fair")
    for file in sorted((folder / "stash").glob("*.yaml")):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace("lichen-1: ", "lichen-9: "), encoding="utf-8")
    code, _, err = ask("report", "fair")
    assert code == 3
    assert "the plan does not hold any more" in err
    assert not (folder / "plans" / "fair.html").exists()


def test_a_plan_whose_project_is_gone_is_refused(ask, folder):
    ask("plan", "pilot-hat", "gannet-hat", "--save", "fair")
    saved = folder / "plans" / "fair.json"
    saved.write_text(saved.read_text(encoding="utf-8").replace('"gannet-hat"', '"gone-hat"'), encoding="utf-8")
    code, _, err = ask("report", "fair")
    assert code == 3
    assert "gone-hat" in err


def test_a_plan_that_makes_nothing_has_a_page_too(ask, folder):
    assert ask("plan", "pilot-hat", "--save", "none")[0] == 1
    saved = folder / "plans" / "none.json"
    saved.write_text(
        saved.read_text(encoding="utf-8").replace(
            '"changes": []', '"changes": ["x", {"change": 3}, {"change": "do <b>"}]'
        ),
        encoding="utf-8",
    )
    assert ask("report", "none")[0] == 0
    said = text_of(parsed((folder / "plans" / "none.html").read_text(encoding="utf-8")))
    assert "The plan makes 0 of 1 project" in said
    assert "do <b>" in said


def test_several_ways_stand_side_by_side_as_wide_as_their_shares(ask, folder):
    file = folder / "ways.html"
    code, out, _ = ask("plan", "gannet-hat:adult", "--options", "3", "--report", file)
    assert code == 0
    assert out.endswith(f"\n\n{file} was written.\n")
    root = parsed(file.read_text(encoding="utf-8"))
    document = json.loads(ask("plan", "gannet-hat:adult", "--options", "3", "--json")[1])
    strips = [one for one in every(root, "svg") if one.get("class") == "strip"]
    assert len(strips) == 2 * len(document["options"]) > 2
    for strip, way in zip(strips[::2], document["options"], strict=True):
        wide = [share(one, "width") for one in every(strip, "rect") if one.get("fill")]
        assert wide == pytest.approx([100 * role["share"] for role in way["roles"]], abs=0.0026)  # 0.1 px on 3840
    assert text_of(root).count("Choose it: lotwise plan gannet-hat:adult --only main=") == len(document["options"])


def test_where_there_is_no_way_the_page_says_so(ask, folder):
    file = folder / "ways.html"
    assert ask("plan", "pilot-hat", "--options", "2", "--report", file)[0] == 1
    assert "No way to make it was found." in text_of(parsed(file.read_text(encoding="utf-8")))


def test_ways_are_told_though_their_page_cannot_be_written(ask, folder, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("planner.pages.keeping.create_file", full)
    code, out, err = ask("plan", "gannet-hat:adult", "--options", "2", "--report", folder / "ways.html", "--json")
    assert code == 5
    assert json.loads(out)["options"]
    assert "No page was written" in err
