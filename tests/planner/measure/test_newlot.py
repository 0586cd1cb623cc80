"""A lot that `measure --add` writes is a file that is read back as it was measured, and nothing else is touched."""

import random
from fractions import Fraction

import pytest
import yaml

from planner.asking import AskError
from planner.measure.answering import run_measure
from planner.measure.newlot import quoted
from planner.show.lots import lot_row
from planner.workspace import load_workspace
from stash.faults import FaultyFilesError

DONOR = "donors:\n  crew: {garment: pullover, fibre: wool, mass: 90 kg}\n"
HAT = "gauge: {stitches: 22, rows: 30, over: 10 cm}\nyarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 100 m}}\n"
TURNS = {"--turns": "120", "--around": "1.5 m", "--mass": "42 g", "--fibre": "80% wool, 20% polyamide"}
LOT = {"--colour": "#5b6770", "--skein": ["118 g"]}


@pytest.fixture
def folder(tmp_path):
    return a_workspace(tmp_path)


def a_workspace(folder):
    (folder / "stash").mkdir(parents=True)
    (folder / "patterns").mkdir()
    (folder / "stash" / "crew.yaml").write_text(DONOR)
    (folder / "patterns" / "hat.yaml").write_text(HAT)
    return folder


def add(folder, name="tide", *, yarn=TURNS, lot=LOT, rehearse=False):
    return run_measure(folder, yarn, lot, name, None, rehearse=rehearse)


def written(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_file_is_as_a_person_would_write_it(folder):
    _, added = add(
        folder,
        yarn={**TURNS, "--scale": "0.1 g", "--apart": "yes"},
        lot={**LOT, "--donor": "crew", "--bleeds": "no", "--felts": "unknown", "--skein": ["118 g", "tide-x= 96 g in 3 pieces", "210 yd in 1 piece"]},
    )  # fmt: skip
    expected = """\
# Written by `lotwise measure`, once; yours to change from here on.
lots:
  tide:
    donor: crew
    fibre: 80% wool, 20% polyamide
    colour: "#5b6770"
    scale: 0.1 g
    count: {turns: 120, around: 1.5 m, mass: 42 g, weighed: apart}
    felts: unknown
    bleeds: no
    skeins:
      tide-1: 118 g
      tide-x: {mass: 96 g, pieces: 3}
      tide-3: {length: 210 yd, pieces: 1}
"""
    assert expected == (folder / "stash" / "tide.yaml").read_text()
    assert (expected, "stash/tide.yaml", True) == (added.text, added.file, added.written)


def test_nothing_else_is_touched(folder):
    before = written(folder)
    add(folder)
    after = written(folder)
    assert set(after) - set(before) == {"stash/tide.yaml"}
    assert {name: after[name] for name in before} == before


def test_a_rehearsal_writes_nothing(folder):
    before = written(folder)
    _, added = add(folder, rehearse=True)
    assert (False, before) == (added.written, written(folder))
    add(folder)
    assert (folder / "stash" / "tide.yaml").read_text() == added.text


def test_without_a_skein_the_whole_batch_is_one(folder):
    add(folder, yarn={**TURNS, "--batch": "440 g"}, lot={"--colour": "navy"})
    assert [(s.id, s.mass_g) for s in load_workspace(folder).stash.lots["tide"].skeins] == [("tide-1", 440)]


def test_a_file_in_its_place_is_left_as_it_is(folder):
    (folder / "stash" / "tide.yaml").write_text("# notes\ndonors: {vest: {garment: vest}}\n")
    before = written(folder)
    with pytest.raises(FileExistsError):
        add(folder)
    assert before == written(folder)


@pytest.mark.parametrize("name", ["tide", "TIDE", "crew", "tide-1", "a/b", "..", "-x", "a" * 65])
def test_a_name_that_is_taken_or_cannot_be_is_refused(folder, name):
    add(folder)
    before = written(folder)
    with pytest.raises(AskError) as refused:
        add(folder, name)
    assert refused.value.hint
    assert before == written(folder)


@pytest.mark.parametrize(
    ("yarn", "lot", "message"),
    [
        (TURNS, {"--skein": ["9 g"]}, "--colour is missing"),
        (TURNS, {"--colour": "blu", "--skein": ["9 g"]}, "--colour: 'blu' is not a colour"),
        (TURNS, {"--colour": "blue"}, "--skein is missing"),
        (TURNS, {"--colour": "blue", "--skein": ["9"]}, "--skein: '9' has no unit"),
        (TURNS, {"--colour": "blue", "--skein": ["9 g in 0 pieces"]}, "--skein: '0' pieces cannot be"),
        (TURNS, {"--colour": "blue", "--skein": ["a=9 g", "A=8 g"]}, "--skein: the name A is taken"),
        (TURNS, {**LOT, "--donor": "crow"}, "--donor: there is no donor 'crow'"),
        (TURNS, {**LOT, "--bleeds": "maybe"}, "--bleeds: 'maybe' is not one of them"),
        ({**TURNS, "--fibre": None}, LOT, "--fibre is missing"),
        ({**TURNS, "--mass": None}, LOT, "a lot needs a count"),
    ],
)
def test_what_a_lot_lacks_or_has_wrong_is_refused_and_nothing_written(folder, yarn, lot, message):
    before = written(folder)
    with pytest.raises(AskError, match=message):
        add(folder, yarn=yarn, lot=lot)
    assert before == written(folder)


def test_a_lot_without_a_name_is_refused(folder):
    with pytest.raises(AskError, match="--colour tells of a new lot, but none is named"):
        add(folder, None)


def test_faulty_files_are_not_added_to(folder):
    (folder / "stash" / "crew.yaml").write_text("lots: 5\n")
    with pytest.raises(FaultyFilesError):
        add(folder)
    assert not (folder / "stash" / "tide.yaml").exists()


def test_more_yarn_than_the_donor_weighs_is_a_warning_of_the_new_lot_alone(folder):
    (folder / "stash" / "crew.yaml").write_text(DONOR.replace("90 kg", "100 g"))
    _, added = add(folder, lot={**LOT, "--donor": "crew"})
    assert [fault.message for fault in added.warnings] == [
        "the skeins from donor 'crew' weigh 118 g, more than the garment's 100 g"
    ]
    assert add(folder, "second")[1].warnings == ()


def test_a_stash_in_one_file_is_not_added_to_but_the_lines_are_given(tmp_path):
    (tmp_path / "patterns").mkdir()
    (tmp_path / "patterns" / "hat.yaml").write_text(HAT)
    (tmp_path / "stash.yaml").write_text(DONOR)
    before = written(tmp_path)
    _, added = add(tmp_path)
    assert (added.written, added.one_file, before) == (False, True, written(tmp_path))
    assert "  tide:\n" in added.text


def test_the_first_lot_of_all_makes_the_folder(tmp_path):
    add(tmp_path)
    assert written(tmp_path).keys() == {"stash/tide.yaml"}
    add(tmp_path, "second")
    assert written(tmp_path).keys() == {"stash/tide.yaml", "stash/second.yaml"}


def test_a_folder_made_for_nothing_is_removed_again(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.link", full)
    with pytest.raises(OSError, match="No space"):
        add(tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["con", "NUL", "lpt1"])
def test_a_name_no_file_may_have_everywhere_is_given_another_files_name(folder, name):
    assert add(folder, name)[1].file == f"stash/lot-{name}.yaml"
    assert name in load_workspace(folder).stash.lots


@pytest.mark.parametrize(
    "text", ["no", "Yes", "null", "123", "0x1F", "1e3", "2024-01-02", "007", "off", "y", "1_000", "12a"]
)
def test_what_other_programs_read_as_something_else_is_quoted(folder, text):
    # 12a is text everywhere; the quotes do no harm
    assert quoted(text) == f'"{text}"'
    assert yaml.safe_load(f"{quoted(text)}: {quoted(text)}") == {text: text}
    add(folder, text)
    assert text in yaml.safe_load((folder / "stash" / f"{text}.yaml").read_text())["lots"]


@pytest.mark.parametrize("text", ["slate", "80% wool, 20% polyamide", "100% wool", "four-ply", "a_b-c"])
def test_plain_text_stands_bare(text):
    assert quoted(text) == text
    assert yaml.safe_load(quoted(text)) == text


@pytest.mark.parametrize("text", ["#5b6770", "a: b", "it's", '"', "\\", "- x", "a #b", "é", " a", "a ", ""])
def test_any_other_text_is_quoted_so_that_it_comes_back(text):
    assert yaml.safe_load(quoted(text)) == text
    assert quoted(text) != text


def a_mass(draw, low, high):
    digits = draw.choice([0, 1, 2])
    return (
        f"{draw.uniform(low, high):.{digits}f} g"
        if draw.random() < 0.8
        else f"{draw.uniform(low / 28, high / 28):.2f} oz"
    )


def a_sample(draw):
    """A sample's flags and its words."""
    weighed = {"--mass": a_mass(draw, 30, 60)}
    if draw.random() < 0.4:
        weighed = {"--before": a_mass(draw, 200, 300), "--after": a_mass(draw, 100, 150)}
    heavy = " - ".join(weighed.values())
    if draw.random() < 0.5:
        turns, around = draw.choice(["120", "99.5", "80.25"]), draw.choice(["1.5 m", "59 in", "1.64 yd", "150cm"])
        return {"--turns": turns, "--around": around, **weighed}, f"{turns} turns of {around}, {heavy}"
    length = draw.choice(["180 m", "162.5 yd", "0.2 km", "500 ft"])
    return {"--length": length, **weighed}, f"{length}, {heavy}"


def a_case(draw):
    """Flags of a yarn and of a lot, any form, any unit."""
    form = draw.choice(["sample", "sample", "samples", "wraps"])
    yarn = {"sample": lambda: a_sample(draw)[0], "wraps": lambda: {"--wraps": draw.choice(["16", "12.5", "30"])},
            "samples": lambda: {"--sample": [a_sample(draw)[1] for _ in range(draw.randint(1, 4))]}}[form]()  # fmt: skip
    yarn["--fibre"] = draw.choice(["unknown", "wool", "70% mohair, 30% silk", "52% wool, 48% nylon", "linen"])
    if form != "wraps" and draw.random() < 0.3:
        yarn["--apart"] = "yes"
    if draw.random() < 0.3:
        yarn["--scale"] = draw.choice(["0.1 g", "0.05 oz", "2 g"])
    lot = {"--colour": draw.choice(["#5b6770", "navy", "#FF0000", "tan"]), "--donor": draw.choice([None, "crew"])}
    lot["--bleeds"], lot["--felts"] = draw.choice([None, "yes", "no"]), draw.choice([None, "yes", "no", "unknown"])
    lot["--skein"] = [
        f"{a_mass(draw, 60, 200)}{draw.choice(['', ' in 1 piece', ' in 4 pieces'])}" for _ in range(draw.randint(1, 3))
    ]
    return yarn, lot


@pytest.mark.parametrize("seed", range(120))
def test_what_was_measured_is_what_check_and_lots_read(tmp_path, seed):
    draw = random.Random(seed)
    yarn, lot = a_case(draw)
    a_workspace(tmp_path)
    name = draw.choice(["tide", "no", "0123", "A-b_c"])
    found, added = add(tmp_path, name, yarn=yarn, lot=lot)
    read = load_workspace(tmp_path).stash.lots[name]  # raises what `check` would tell
    shown = found.yarn.count
    assert (read.count.tex, read.count.relative_u, read.count.apart) == (shown.tex, shown.relative_u, shown.apart)
    assert read == added.lot
    assert lot_row(read, Fraction(95, 100)).m_per_100g == pytest.approx(found.yarn.m_per_100g.best, rel=1e-12)
    assert {"--bleeds": read.bleeds, "--donor": read.donor} == {
        "--bleeds": {None: None, "yes": True, "no": False}[lot["--bleeds"]],
        "--donor": lot["--donor"],
    }
    assert [skein.mass_g is not None for skein in read.skeins] == [True] * len(lot["--skein"])
