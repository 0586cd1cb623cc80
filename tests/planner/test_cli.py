"""Commands end as they promise: answers on stdout, everything else on stderr, one code for each kind of ending."""

import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from planner import checked, covering, plan, planning
from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED
from planner.cli import COMMANDS, called
from planner.commands.cover import ending_of
from planner.commands.shared import Ending
from planner.plan import Plan

ROOT = Path(__file__).parents[2]
HEAVY = ("pulp", "highspy", "numpy", "pydantic", "jinja2", "yaml", "rich", "distributed")
SOLVER = ("pulp", "highspy")

# Two lots of 230 m/100g, u 3 % and the scale: 100 g of slate hold 218.6 m for sure, 30 g of fog 65.5 m. A hat takes
# 100 m and a tenth kept back, a cowl 300 m.
STASH = """\
lots:
  slate: {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 100 g}}
  fog: {fibre: wool, colour: "#d0d4d8", count: 230 m/100g, skeins: {fog-1: 30 g}}
"""
PATTERN = """\
name: {name}
craft: knitting
gauge: {{stitches: 22, rows: 30, over: 10 cm}}
yarn: dk
strands: 1
needs: {{main: {{lots: one}}}}
sizes:
{sizes}
"""


def write_workspace(folder, *, projects=None):
    (folder / "patterns").mkdir()
    (folder / "stash.yaml").write_text(STASH)
    (folder / "patterns" / "hat.yaml").write_text(PATTERN.format(name="Hat", sizes="  one: {main: 100 m}"))
    cowl = PATTERN.format(name="Cowl", sizes="  small: {main: 150 m}\n  large: {main: 300 m}")
    (folder / "patterns" / "cowl.yaml").write_text(cowl)
    if projects is not None:
        (folder / "projects.yaml").write_text(projects)


@pytest.fixture
def folder(tmp_path):
    write_workspace(tmp_path)
    return tmp_path


def in_a_process(*arguments, **options):
    code = "from planner.cli import main; main()"
    return subprocess.run([sys.executable, "-c", code, *map(str, arguments)], cwd=ROOT, check=False, **options)


@pytest.mark.parametrize("terminal", ["ascii", "latin-1", "cp1252"])
def test_a_terminal_that_lacks_a_sign_is_shown_its_escape(folder, terminal):
    (folder / "patterns" / "hat.yaml").write_text(
        PATTERN.format(name="Hat", sizes="  大: {main: 100 m}"), encoding="utf-8"
    )
    environment = {**os.environ, "PYTHONIOENCODING": terminal, "PYTHONUTF8": "0"}
    ended = in_a_process("cover", "--workspace", folder, capture_output=True, env=environment)
    assert (ended.returncode, b"Traceback" in ended.stderr) == (1, False)
    assert b"hat:\\u5927" in ended.stdout


def loaded_by(arguments, names):
    """What a command says first, and which of these libraries it loads."""
    code = (
        "import sys\nfrom planner.cli import main\n"
        f"try:\n    main({list(map(str, arguments))!r})\nexcept SystemExit as ended:\n    assert ended.code in (0, 1, None)\n"
        f"sys.stderr.write(' '.join(name for name in {names!r} if name in sys.modules))"
    )
    ended = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return ended.stdout.partition(" ")[0], ended.stderr


def test_help_loads_nothing_heavy():
    assert loaded_by(["--help"], HEAVY) == ("Usage:", "")


@pytest.mark.parametrize("command", ["cover", "shortfall"])
def test_what_a_search_settles_loads_no_solver(folder, command):
    said, loaded = loaded_by([command, "--workspace", folder], SOLVER)
    assert said
    assert loaded == ""


def test_help_has_a_whole_line_for_every_command(run):
    code, out, _ = run("--help")
    assert code == 0
    assert [line.split()[0] for line in out.split("Commands:\n")[1].splitlines()] == [called(c) for c, _ in COMMANDS]
    assert "..." not in out.split("Commands:")[1]


@pytest.mark.parametrize("command", [called(command) for command, _ in COMMANDS])
def test_every_command_takes_a_workspace_units_and_json(run, command):
    code, out, _ = run(command, "--help")
    assert code == 0
    for flag in ("--workspace FOLDER", "--units metric|imperial", "--json"):
        assert flag in out
    assert "<" not in out  # no programmer's words for what is written there


def test_cover_is_done_when_every_project_is_enough(run, folder):
    code, out, err = run("cover", "hat", "--workspace", folder)
    assert (code, err) == (0, "")
    assert out.startswith("There is enough for 1 of 1 project. ")


def test_cover_without_a_list_asks_every_pattern_in_every_size(run, folder):
    code, out, _ = run("cover", "--workspace", folder, "--json")
    document = json.loads(out)
    assert code == 1
    assert [(p["project"], p["size"], p["verdict"]) for p in document["projects"]] == [
        ("cowl:small", "small", "enough"),
        ("cowl:large", "large", "short"),
        ("hat:one", "one", "enough"),
    ]


def test_plan_without_a_list_makes_each_pattern_in_one_of_its_sizes(run, folder):
    # slate holds 218.6 m: a small cowl takes 165.3 m of it, a hat 110.3 m; both do not fit, and fog is too little
    code, out, _ = run("plan", "--workspace", folder, "--json")
    document = json.loads(out)
    assert code == 1
    assert [(p["project"], p["made"], p["size"]) for p in document["projects"]] == [
        ("cowl", True, "small"),
        ("hat:one", False, None),
    ]
    # 150 m at 230 m/100g
    assert document["totals"]["used_g"] == pytest.approx(150 / 2.3)
    assert document["totals"]["proof"] == "optimal"


def test_plan_is_done_when_every_project_is_made(run, folder):
    code, out, _ = run("plan", "hat", "--workspace", folder)
    assert code == 0
    assert out.startswith("1 of 1 project made: best possible.")


def test_shortfall_tells_what_the_large_cowl_lacks(run, folder):
    code, out, _ = run("shortfall", "cowl:large", "--workspace", folder, "--json")
    document = json.loads(out)
    assert code == 1
    assert document["projects"][0]["verdict"] == "short"
    assert document["projects"][0]["needs"][0]["kind"] == "replace"


def test_lots_lists_what_there_is(run, folder):
    code, out, _ = run("lots", "--workspace", folder)
    assert code == 0
    assert out.startswith("You have 2 lots, 130 g in all")
    assert run("lots", "--workspace", folder, "--units", "imperial")[1].startswith("You have 2 lots, 4.6 oz in all")


def test_what_may_be_asked_of_schema_is_told_in_one_line_each(run):
    code, _, err = run("schema")
    assert (code, len(err.splitlines())) == (2, 2)
    assert "Choose from: stash, pattern, projects" in err


@pytest.mark.parametrize("command", ["check", "lots", "tags", "history"])
def test_a_stash_without_patterns_can_be_counted(run, folder, tmp_path, command):
    shutil.rmtree(folder / "patterns")
    (folder / "projects.yaml").unlink(missing_ok=True)
    page = ("--out", tmp_path / "tags.html") if command == "tags" else ()
    assert run(command, "--workspace", folder, *page)[0] == 0


@pytest.mark.parametrize("command", ["cover", "plan", "shortfall", "card"])
def test_what_is_asked_of_patterns_says_that_there_are_none(run, folder, command):
    shutil.rmtree(folder / "patterns")
    (folder / "projects.yaml").unlink(missing_ok=True)
    code, out, err = run(command, "--workspace", folder)
    assert (code, out) == (3, "")
    assert err.startswith("patterns/:1:1: error: there are no patterns here\n")
    assert "lotwise needs --save" in err


@pytest.mark.parametrize("command", ["lots", "cover", "plan", "shortfall"])
def test_the_same_files_give_the_same_bytes(run, folder, command):
    assert run(command, "--workspace", folder, "--json")[1] == run(command, "--workspace", folder, "--json")[1]


def test_confidence_moves_what_is_enough(run, folder):
    # slate's best guess is 230 m; 205 m and a tenth need 225.8 m with the ends
    (folder / "patterns" / "hat.yaml").write_text(PATTERN.format(name="Hat", sizes="  one: {main: 205 m}"))
    assert run("cover", "hat", "--workspace", folder)[0] == 1
    assert run("cover", "hat", "--workspace", folder, "--confidence", "60%")[0] == 0


def test_an_unknown_project_is_wrong_usage(run, folder):
    code, out, err = run("plan", "hta", "--workspace", folder)
    assert (code, out) == (2, "")
    assert err == "lotwise: no project or pattern is called hta\nhint: did you mean hat?\n"


def test_an_unknown_project_is_told_as_a_document_too(run, folder):
    code, out, err = run("plan", "hta", "--workspace", folder, "--json")
    assert (code, err) == (2, "")
    document = json.loads(out)
    assert next(iter(document)) == "format"
    assert document == {
        "format": "lotwise/error-1",
        "message": "no project or pattern is called hta",
        "hint": "did you mean hat?",
        "faults": [],
    }


@pytest.mark.parametrize(
    "arguments",
    [
        ("plan", "--wrkspace", "x"),
        ("knit",),
        (),
        ("plan", "--aim", "metres"),
        ("plan", "--time-limit", "30"),
        ("plan", "--within", "1"),
        ("cover", "--confidence", "20%"),
        ("lots", "--units", "ells"),
    ],
)
def test_wrong_usage_ends_with_2_and_says_nothing_on_stdout(run, folder, monkeypatch, arguments):
    monkeypatch.chdir(folder)
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("lotwise: ")
    assert "\nhint: " in err


def test_wrong_usage_is_a_document_where_one_is_asked_for(run):
    code, out, err = run("plan", "--wrkspace", "x", "--json")
    assert (code, err) == (2, "")
    assert json.loads(out)["format"] == "lotwise/error-1"


@pytest.mark.parametrize("command", ["lots", "cover", "plan", "shortfall"])
def test_faulty_files_end_with_3_and_are_all_told(run, folder, command):
    (folder / "stash.yaml").write_text(STASH.replace("100 g", "100").replace("30 g", "30"))
    code, out, err = run(command, "--workspace", folder)
    assert (code, out) == (3, "")
    assert err.count(": error: ") == 2
    assert err.startswith("stash.yaml:2:")
    code, out, err = run(command, "--workspace", folder, "--json")
    assert (code, err) == (3, "")
    document = json.loads(out)
    assert document["format"] == "lotwise/error-1"
    assert [(fault["file"], fault["line"]) for fault in document["faults"]] == [("stash.yaml", 2), ("stash.yaml", 3)]


def test_warnings_do_not_touch_the_answer(run, folder):
    calm = run("lots", "--workspace", folder, "--json")
    (folder / "stash.yaml").write_text(
        STASH + "  air: {fibre: wool, colour: red, count: 2000 m/100g, skeins: {a: 1 g}}\n"
    )
    code, out, err = run("lots", "--workspace", folder, "--json")
    assert code == calm[0] == 0
    assert ": warning: " in err
    assert len(json.loads(out)["lots"]) == 3


def test_a_missing_folder_ends_with_5(run, tmp_path):
    code, out, err = run("cover", "--workspace", tmp_path / "nowhere")
    assert (code, out) == (5, "")
    assert err.endswith("hint: nothing was changed\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_an_answer_that_cannot_be_written_ends_with_5(folder):
    with Path("/dev/full").open("w") as full:
        ended = in_a_process("lots", "--workspace", folder, stdout=full, stderr=subprocess.PIPE, text=True)
    assert ended.returncode == 5
    assert ended.stderr.startswith("lotwise: the answer could not be written: ")
    assert "Traceback" not in ended.stderr
    assert "Exception ignored" not in ended.stderr


def test_a_reader_that_has_seen_enough_is_no_fault(folder):
    code = (
        "import os\nfrom planner.cli import main\n"
        "reading, writing = os.pipe()\nos.close(reading)\nos.dup2(writing, 1)\nmain()"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code, "lots", "--workspace", str(folder)],
        cwd=ROOT,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (0, "")


def test_an_answer_that_fails_its_check_is_never_shown(run, folder, monkeypatch):
    def refused(*_, **__):
        raise checked.OwnFaultError("hat: 1.00 m planned where 2.00 m is needed")

    monkeypatch.setattr(planning, "plan", refused)
    code, out, err = run("plan", "--workspace", folder)
    assert (code, out) == (70, "")
    assert "hat: 1.00 m planned where 2.00 m is needed" in err
    assert "nothing was changed" in err
    code, out, _ = run("plan", "--workspace", folder, "--json")
    assert code == 70
    document = json.loads(out)
    assert document["format"] == "lotwise/error-1"
    assert "1.00 m planned" in document["bundle"]


def test_anything_unforeseen_is_our_own_fault(run, folder, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError("a stray nought")

    monkeypatch.setattr(covering, "cover", broken)
    code, out, err = run("cover", "--workspace", folder)
    assert (code, out) == (70, "")
    assert "ZeroDivisionError: a stray nought" in err


def test_interrupted_with_nothing_to_show_ends_with_130(run, folder, monkeypatch):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(covering, "cover", interrupted)
    code, out, err = run("cover", "--workspace", folder)
    assert (code, out) == (130, "")
    assert err == "lotwise: interrupted before there was anything to show\nhint: nothing was changed\n"


def test_the_first_interruption_asks_a_plan_for_the_best_so_far(run, folder, monkeypatch):
    def interrupted(_workspace, _projects, confidence, *, stop, **_):
        signal.raise_signal(signal.SIGINT)
        return Plan((), confidence, "grams", 0.0, 0.0, "best-found" if stop.is_set() else "optimal", 0.0)

    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr(planning, "plan", interrupted)
    code, out, _ = run("plan", "--workspace", folder, "--json")
    assert (code, json.loads(out)["totals"]["proof"]) == (0, "best-found")
    assert signal.getsignal(signal.SIGINT) is before


def test_the_second_interruption_ends_a_plan(run, folder, monkeypatch):
    def interrupted(*_, **__):
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(planning, "plan", interrupted)
    code, out, _ = run("plan", "--workspace", folder)
    assert (code, out) == (130, "")


def test_nothing_found_in_time_is_undecided(run, folder, monkeypatch):
    def undecided(*_, **__):
        raise plan.UndecidedError

    monkeypatch.setattr(planning, "plan", undecided)
    assert run("plan", "--workspace", folder)[0] == 4


def test_what_is_asked_of_a_plan_reaches_it(run, folder, monkeypatch):
    seen = {}

    def listening(workspace, projects, confidence, **asked):
        seen.update(asked, names=[p.name for p in projects], confidence=confidence, folder=workspace.folder)
        return Plan((), confidence, asked["aim"], 0.0, 0.0, "optimal", 0.0)

    monkeypatch.setattr(planning, "plan", listening)
    flags = ("--aim", "lots", "--within", "2%", "--time-limit", "1.5s", "--confidence", "90%")
    assert run("plan", "hat", "--workspace", folder, *flags)[0] == 0
    assert (seen["aim"], float(seen["within"]), seen["seconds"]) == ("lots", 0.02, 1.5)
    assert (seen["names"], float(seen["confidence"]), seen["folder"]) == (["hat:one"], 0.9, folder)


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        ([], Ending.DONE),
        ([ENOUGH, ENOUGH], Ending.DONE),
        ([ENOUGH, TIGHT], Ending.NOT_ALL),
        ([ENOUGH, UNDECIDED], Ending.UNDECIDED),
        ([SHORT, UNDECIDED], Ending.NOT_ALL),
    ],
)
def test_a_project_known_to_fail_weighs_more_than_one_not_settled(verdicts, expected):
    assert expected == ending_of(verdicts)


def test_check_lists_the_faults_on_stdout(run, folder):
    assert run("check", "--workspace", folder)[0] == 0
    (folder / "stash.yaml").write_text(STASH.replace("100 g", "100"))
    code, out, err = run("check", "--workspace", folder)
    assert (code, err) == (3, "")
    assert out.startswith("stash.yaml:2:")


def test_an_empty_list_of_projects_asks_nothing(run, tmp_path):
    write_workspace(tmp_path, projects="projects: []\n")
    for command in ("cover", "plan", "shortfall"):
        code, out, _ = run(command, "--workspace", tmp_path)
        assert (code, out) == (0, "Nothing is asked: projects.yaml lists no projects.\n")


def test_a_choice_that_is_none_is_told_in_plain_words(run):
    ending, _, said = run("plan", "--units", "furlongs")
    assert ending == Ending.USAGE
    assert said.startswith("lotwise: invalid value for '--units': 'furlongs' is not one of 'metric', 'imperial'\n")
