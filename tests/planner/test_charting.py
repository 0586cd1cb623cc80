"""`lotwise plan --chart`: the charts of what is made go into a new image file, and never over anything."""

import json
import shutil
from pathlib import Path

import pytest

from planner import cli

DEMO = Path(__file__).parents[2] / "planner" / "demo"


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")
    return tmp_path


@pytest.fixture
def run(folder, capsys):
    def run(*arguments):
        with pytest.raises(SystemExit) as ending:
            cli.main(["plan", *arguments, "--workspace", str(folder / "demo")])
        said = capsys.readouterr()
        return ending.value.code, said.out, said.err

    return run


def test_the_chart_is_drawn_into_a_new_file_in_the_plans_colours(folder, run):
    file = folder / "hat.svg"
    code, out, _ = run("gannet-hat", "--chart", str(file))
    assert code == 0
    assert out.endswith(f"\n\n{file} was written.\n")
    plan = json.loads(run("gannet-hat", "--json")[1])
    lots = lots_of(plan)
    assert len(lots) == 2
    drawn = file.read_text(encoding="utf-8")
    assert all(f": {lot} (" in drawn for lot in lots)


def test_the_same_plan_draws_the_same_bytes_also_beside_json(folder, run):
    assert run("gannet-hat", "--chart", str(folder / "one.svg"))[0] == 0
    code, out, _ = run("gannet-hat", "--chart", str(folder / "two.svg"), "--json")
    assert code == 0
    assert json.loads(out) == json.loads(run("gannet-hat", "--json")[1])
    assert (folder / "one.svg").read_bytes() == (folder / "two.svg").read_bytes()


@pytest.mark.parametrize(
    ("name", "project", "said"),
    [
        ("hat.png", "gannet-hat", "does not end in .svg"),
        ("mine.svg", "gannet-hat", "already, and nothing is written over"),
        ("link.svg", "gannet-hat", "already, and nothing is written over"),
        ("nowhere/hat.svg", "gannet-hat", "there is no folder"),
        ("hat.svg", "gull-vest", "nothing that is asked has a chart or stripes in its pattern"),
    ],
)
def test_what_cannot_be_drawn_is_refused_before_anything_is_planned(folder, run, monkeypatch, name, project, said):
    (folder / "mine.svg").write_text("mine", encoding="utf-8")
    (folder / "link.svg").symlink_to(folder / "nothing-there")
    monkeypatch.setattr("planner.planning.plan", lambda *_, **__: pytest.fail("it was planned all the same"))
    before = sorted(folder.rglob("*"))
    code, out, err = run(project, "--chart", str(folder / name))
    assert (code, out) == (2, "")
    assert f"--chart: {said}" in err or said in err
    assert before == sorted(folder.rglob("*"))
    assert (folder / "mine.svg").read_text(encoding="utf-8") == "mine"


def test_a_plan_is_told_though_its_chart_cannot_be_written(folder, run, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("planner.charting.create_file", full)
    file = folder / "hat.svg"
    code, out, _ = run("gannet-hat", "--chart", str(file))
    assert code == 5
    assert out.startswith("1 of 1 project made")
    assert out.endswith(f"No chart was drawn: {file}: No space left on device.\n")
    code, out, err = run("gannet-hat", "--json", "--chart", str(file))
    assert (code, json.loads(out)["projects"][0]["made"]) == (5, True)
    assert f"lotwise: No chart was drawn: {file}: No space left on device\n" in err


@pytest.mark.parametrize("asked", [("--options", "3"), ("--lean", "warm")])
def test_several_ways_to_make_one_thing_are_not_drawn(folder, run, asked):
    code, out, err = run("gannet-hat", *asked, "--chart", str(folder / "hat.svg"))
    assert (code, out) == (2, "")
    assert "--chart draws one plan, and --options or --lean ask for several" in err
    assert not (folder / "hat.svg").exists()


def test_the_lot_a_need_is_kept_to_is_the_one_drawn(folder, run):
    file = folder / "hat.svg"
    assert run("gannet-hat:child", "--only", "motif=rust", "--chart", str(file))[0] == 0
    assert "motif: rust (" in file.read_text(encoding="utf-8")


def test_a_chart_of_what_is_not_made_is_not_drawn(folder, run):
    code, out, _ = run("pilot-hat", "--chart", str(folder / "hat.svg"))
    assert code == 1
    assert out.endswith("No chart was drawn, since nothing with a chart or stripes is made.\n")
    assert not (folder / "hat.svg").exists()


STASH = """\
lots:
  slate: {{fibre: wool, colour: {{lab: [40, 0, 0]}}, count: 230 m/100g, bleeds: no, skeins: {{slate-1: 100 g}}}}
  fog: {{fibre: wool, colour: {{lab: [{lightness}, 0, 0]}}, count: 230 m/100g, bleeds: no, skeins: {{fog-1: 100 g}}}}
"""
BAND = """\
yarn: dk
strands: 1
wash: hand
gauge: {{stitches: 22, rows: 30}}
{chart}needs: {{main: {{}}, motif: {{colour: {rule}}}}}
sizes: {{one: {{main: 60 m, motif: 60 m}}}}
"""
CHART = 'chart: {legend: {".": main, "x": motif}, rows: ["x."]}\n'


@pytest.mark.parametrize(
    ("lightness", "chart", "rule", "serving"),
    [
        (50, "", "{not: main}", {"slate", "fog"}),
        (50, CHART, "{not: main}", set()),
        (59.9, CHART, "{not: main}", set()),
        (60, CHART, "{not: main}", {"slate", "fog"}),
        (60, CHART, "{against: main, lightness: 25, not: main}", set()),
        (50, CHART, "{against: main, lightness: 10, not: main}", {"slate", "fog"}),
    ],
)
def test_needs_side_by_side_in_a_chart_are_served_by_lots_20_apart_in_lightness(
    folder, capsys, lightness, chart, rule, serving
):
    """Two lots, each enough for one need and by `not` never for both: only how far apart they are decides."""
    band = folder / "band"
    (band / "patterns").mkdir(parents=True)
    (band / "stash.yaml").write_text(STASH.format(lightness=lightness), encoding="utf-8")
    (band / "patterns" / "band.yaml").write_text(BAND.format(chart=chart, rule=rule), encoding="utf-8")
    with pytest.raises(SystemExit):
        cli.main(["plan", "--json", "--workspace", str(band)])
    assert serving == lots_of(json.loads(capsys.readouterr().out))


def lots_of(plan):
    """Every lot that a plan takes yarn of."""
    return {
        lot
        for project in plan["projects"]
        for need in project["needs"]
        for yarn in need["yarns"]
        for lot in yarn["lots"]
    }
