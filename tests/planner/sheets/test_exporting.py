"""`lotwise export`: what a knitter wants in a spreadsheet, as plain text and numbers, into a file that is new."""

import csv
import io
import json
import sys

import openpyxl
import pytest

from planner.sheets.writing import Sheet, csv_bytes, guarded

FORMULAS = ("=1+1", "+1", "-1", "@a", "\t=1", "\r=1", "\n=1")  # OWASP, CSV Injection


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A small workspace in which one project is short and another is not."""
    folder = tmp_path_factory.mktemp("export")
    (folder / "patterns").mkdir()
    for name, metres in (("hat", 100), ("coat", 900)):
        (folder / "patterns" / f"{name}.yaml").write_text(
            "gauge: {stitches: 22, rows: 30, over: 10 cm}\nyarn: dk\n"
            f"needs: {{main: {{}}}}\nsizes: {{one: {{main: {metres} m}}}}\n"
        )
    (folder / "stash.yaml").write_text(
        "scale: 2 g\n"
        "donors:\n  crew: {garment: '=pullover', mass: 486 g}\n"
        "lots:\n"
        "  slate:\n    donor: crew\n    fibre: 100% wool\n    colour: {lab: [45.1, 12, -3.5]}\n"
        "    count: {turns: 120, around: 1.5 m, mass: 80 g}\n    note: '-soft'\n"
        "    skeins:\n      slate-1: 118 g\n      slate-2: {length: 100 yd, pieces: [60 yd, 40 yd]}\n"
    )
    return folder


@pytest.fixture
def exported(run, folder, tmp_path):
    def run_export(what, name, *more):
        return run("export", what, tmp_path / name, "--workspace", folder, *more)

    return run_export


def table(path):
    return list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"), newline="")))


def test_the_stash_is_a_row_a_skein_as_written_with_what_is_reckoned_beside(exported, tmp_path):
    code, out, err = exported("stash", "stash.csv")
    assert (code, err) == (0, "")
    assert out == "stash.csv was written: skeins (2 rows), donors (1 row).\n"
    heads, *rows = table(tmp_path / "stash.csv")
    told = [{head: cell for head, cell in zip(heads, row, strict=True) if cell} for row in rows]
    sample = "{turns: 120, around: 1.5 m, mass: 80 g}"
    lot = {"lot": "slate", "donor": "crew", "fibre": "100% wool", "colour": "lab(45.1 12 -3.5)", "count": sample}
    lot |= {"scale": "2 g", "note": "'-soft", "reckoned count (m/100g)": "225.0"}
    # 118 g x 180 m / 80 g = 265.5 m; 100 yd = 91.44 m, x 80 g / 180 m = 40.64 g
    reckoned = {"reckoned length (m)": "265.5", "reckoned mass (g)": "118.0"}
    assert told[0] == {"skein": "slate-1", "mass": "118 g", **lot, **reckoned}
    reckoned = {"reckoned length (m)": "91.4", "reckoned mass (g)": "40.6"}
    assert told[1] == {"skein": "slate-2", "length": "100 yd", "pieces": "60 yd, 40 yd", **lot, **reckoned}
    assert told[2] == {"donor": "crew", "donor garment": "'=pullover", "donor mass": "486 g", "donor scale": "2 g"}


def test_what_is_reckoned_follows_the_units(exported, tmp_path):
    exported("stash", "stash.csv", "--units", "imperial")
    heads, first, *_ = table(tmp_path / "stash.csv")
    told = dict(zip(heads, first, strict=True))
    # 265.5 / 0.9144 = 290.4 yd; 118 / 28.3495 = 4.16 oz; 225 m/100g x 0.283495 / 0.9144 = 69.8 yd/oz
    assert [told[f"reckoned {one}"] for one in ("length (yd)", "mass (oz)", "count (yd/oz)")] == [
        "290.4",
        "4.16",
        "69.8",
    ]
    assert told["mass"] == "118 g"


def test_a_workbook_holds_text_and_numbers_and_no_formula(exported, tmp_path):
    # openpyxl tells a formula by its data type "f", text by "s" and a number by "n"
    exported("stash", "stash.xlsx")
    book = openpyxl.load_workbook(tmp_path / "stash.xlsx")
    assert book.sheetnames == ["skeins", "donors"]
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None}
    assert kinds == {"s", "n"}
    assert book["donors"]["B2"].value == "=pullover"
    assert not any(cell.hyperlink for sheet in book for row in sheet.iter_rows() for cell in row)
    skeins = book["skeins"]
    assert [cell.value for cell in skeins[1]][-1] == "lotwise/stash-1"
    assert skeins["O2"].value == 265.5


def test_the_same_stash_gives_the_same_bytes(exported, tmp_path):
    for name in ("a.xlsx", "b.xlsx"):
        exported("stash", name)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


@pytest.mark.parametrize("text", FORMULAS)
def test_text_that_looks_like_a_formula_is_led_by_an_apostrophe_and_quoted(text):
    sheet = Sheet("a", ("a",), ((text,),))
    assert csv_bytes([sheet], raw=False) == b"\xef\xbb\xbf" + f'"a"\r\n"\'{text}"\r\n'.encode()
    assert csv_bytes([sheet], raw=True) == b"\xef\xbb\xbf" + f'"a"\r\n"{text}"\r\n'.encode()


@pytest.mark.parametrize("text", ["a=1", "'tis", "", "'", "118 g", "#5b6770"])
def test_other_text_stays_as_it_is(text):
    assert guarded(text) == text


def test_raw_leaves_the_text_as_it_is_and_the_mark_says_so(exported, tmp_path):
    exported("stash", "stash.csv", "--raw")
    heads, *rows = table(tmp_path / "stash.csv")
    assert "lotwise/stash-1" in heads
    assert "-soft" in rows[0]


def test_a_file_that_is_there_is_never_replaced(exported, tmp_path):
    (tmp_path / "a.csv").write_text("mine")
    code, _, err = exported("stash", "a.csv")
    assert (code, err) == (
        5,
        f"lotwise: {tmp_path}/a.csv: there is one already; give another name\nhint: nothing was changed\n",
    )
    assert (tmp_path / "a.csv").read_text() == "mine"


def test_a_dry_run_shows_the_rows_and_writes_nothing(exported, tmp_path):
    exported("stash", "real.csv")
    shown = (tmp_path / "real.csv").read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    code, out, _ = exported("stash", "a.csv", "--dry-run")
    assert code == 0
    assert f"--- a.csv ---\n{shown}--- end ---" in out
    code, out, _ = exported("stash", "a.xlsx", "--dry-run")
    assert '--- sheet donors ---\n"donor","donor garment","donor mass","donor scale","lotwise/stash-1"\n' in out
    assert sorted(path.name for path in tmp_path.iterdir()) == ["real.csv"]


def test_the_winding_list_is_a_row_a_piece_with_units_in_the_headers(exported, tmp_path):
    code, _, err = exported("plan", "plan.csv", "hat")
    assert (code, err) == (0, "")
    assert table(tmp_path / "plan.csv")[0][-2:] == ["length (m)", "wind off (g)"]
    exported("plan", "plan.xlsx", "hat", "--units", "imperial")
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(tmp_path / "plan.xlsx").worksheets[0]]
    assert rows[0] == [
        *("project", "size", "need", "part", "strand", "lot", "skein", "piece"),
        *("length (yd)", "wind off (oz)"),
    ]
    # 100 m x 1.1 and 0.3 m of ends: 110.3 m = 120.63 yd
    assert rows[1][:9] == ["hat:one", "one", "main", None, 1, "slate", "slate-1", 1, 120.63]


def test_a_saved_plan_is_exported_as_it_was_saved(run, exported, folder, tmp_path):
    _, out, _ = run("plan", "hat", "--json", "--workspace", folder)
    (folder / "plans").mkdir(exist_ok=True)
    (folder / "plans" / "may.json").write_text(out)
    exported("plan", "saved.csv", "--plan", "may")
    exported("plan", "anew.csv", "hat")
    assert (tmp_path / "saved.csv").read_bytes() == (tmp_path / "anew.csv").read_bytes()


@pytest.mark.parametrize(
    ("name", "said", "code"),
    [
        ("../stash", "--plan: there is no saved plan '../stash'", 2),
        ("june", "--plan: there is no saved plan 'june'", 2),
        ("odd", "plans/odd.json is not a saved plan", 3),
        ("torn", "plans/torn.json is not a saved plan", 3),
        ("half", "plans/half.json is not a saved plan", 3),
    ],
)
def test_what_is_not_a_saved_plan_is_refused(exported, folder, name, said, code):
    (folder / "plans").mkdir(exist_ok=True)
    (folder / "plans" / "odd.json").write_text('{"format": "lotwise/cover-1"}')
    (folder / "plans" / "torn.json").write_text("{")
    (folder / "plans" / "half.json").write_text('{"format": "lotwise/plan-1", "projects": [{"needs": 1}]}')
    ended, _, err = exported("plan", "a.csv", "--plan", name)
    assert (ended, err.splitlines()[0]) == (code, f"lotwise: {said}")


def test_what_to_look_for_and_the_list_for_the_rack_are_exported(exported, tmp_path):
    code, _, _ = exported("shortfall", "short.xlsx")
    assert code == 0
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(tmp_path / "short.xlsx").worksheets[0]]
    assert rows[0][:7] == ["project", "size", "verdict", "need", "missing (m)", "kind", "look for (m)"]
    assert [row[:4] for row in rows[1:]] == [["coat:one", "one", "short", "main"]]
    # one lot must do it all: 990 m and 0.3 m of ends
    assert rows[1][5:7] == ["replace", 990.3]
    code, _, _ = exported("list", "list.csv")
    assert code == 0
    heads, *finds = table(tmp_path / "list.csv")
    assert heads[:5] == ["find", "colour", "code", "fibre", "length (m)"]
    assert {row[-1] for row in finds} == {"coat:one"}


def test_what_is_to_be_minded_is_a_sheet_of_its_own_or_stands_below(exported, folder):
    take = {"skein": "s", "piece": 1, "lot": "l", "strand": 1, "take_m": 10.0, "take_g": 4.0}
    need = {"need": "main", "yarns": [{"lots": {"l": 1}, "length_m": 9.7, "part": None, "skeins": [take]}]}
    project = {"project": "hat", "size": "one", "needs": [need], "notes": ["-swatch"], "warnings": ["wash"]}
    (folder / "plans").mkdir(exist_ok=True)
    (folder / "plans" / "told.json").write_text(json.dumps({"format": "lotwise/plan-1", "projects": [project]}))
    code, out, _ = exported("plan", "a.csv", "--plan", "told", "--dry-run")
    assert (code, out.splitlines()[3:]) == (
        0,
        [
            '"project","size","need","part","strand","lot","skein","piece","length (m)","wind off (g)","to mind"',
            '"hat","one","main","",1,"l","s",1,10.0,4.0,""',
            '"hat","","","","","","","","","","\'-swatch"',
            '"hat","","","","","","","","","","wash"',
            "--- end ---",
        ],
    )
    _, out, _ = exported("plan", "a.xlsx", "--plan", "told", "--dry-run")
    assert '--- sheet to mind ---\n"project","to mind"\n"hat","-swatch"\n"hat","wash"\n--- end ---' in out


def test_the_answer_can_be_a_document(exported):
    code, out, _ = exported("stash", "a.xlsx", "--json", "--dry-run")
    told = json.loads(out)
    assert (code, told["format"], told["written"]) == (0, "lotwise/export-1", False)
    assert [(one["sheet"], len(one["rows"])) for one in told["sheets"]] == [("skeins", 2), ("donors", 1)]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("stash", "a.txt"), "'a.txt' ends neither in .xlsx nor in .csv"),
        (("stash", "a.csv", "hat"), "a stash is exported whole"),
        (("stash", "a.csv", "--plan", "may"), "--plan names a saved plan, which has its projects"),
        (("plan", "a.csv", "hat", "--plan", "may"), "--plan names a saved plan, which has its projects"),
    ],
)
def test_what_cannot_be_asked_is_refused(exported, arguments, said):
    code, _, err = exported(*arguments)
    assert (code, err.splitlines()[0]) == (2, f"lotwise: {said}")


def test_without_the_library_it_is_said_what_to_install(exported, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    code, _, err = exported("stash", "a.xlsx")
    assert code == 2
    assert err == (
        "lotwise: spreadsheets cannot be written yet\n"
        "hint: install what reads and writes them: pip install 'lotwise[sheets]', or here pip install '.[sheets]'; "
        "or write a .csv file\n"
    )
