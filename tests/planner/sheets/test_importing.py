"""`lotwise import`: what is new goes into a new file that `check` accepts, what cannot be read is kept beside it."""

import datetime as dt
import json
import os

import pytest

from planner.measure.newlot import known_stash
from planner.sheets.importing import Asked, import_sheet
from tests.planner.sheets.books import HEADS, ROW, ods, xlsx
from tests.planner.terminal import run_in_terminal

HAT = "gauge: {stitches: 22, rows: 30, over: 10 cm}\nyarn: dk\nneeds: {main: {}}\nsizes: {one: {main: 100 m}}\n"
RUST = ["rust-1", "rust", "wool", "sienna", "dk", 50]


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "ws" / "patterns").mkdir(parents=True)
    (tmp_path / "ws" / "patterns" / "hat.yaml").write_text(HAT)
    return tmp_path / "ws"


@pytest.fixture
def sheet(tmp_path):
    def write(data, name="shelf.xlsx"):
        (tmp_path / name).write_bytes(data if isinstance(data, bytes) else data.encode())
        return tmp_path / name

    return write


@pytest.fixture
def imported(run, folder):
    def run_import(path, *more):
        return run("import", path, "--workspace", folder, *more)

    return run_import


def document(answer):
    code, out, err = answer
    assert err == ""
    return code, json.loads(out)


def files(folder):
    return sorted(path.name for path in (folder / "stash").iterdir()) if (folder / "stash").is_dir() else []


@pytest.mark.parametrize(("name", "make"), [("shelf.xlsx", xlsx), ("shelf.ods", ods)])
def test_rows_become_a_stash_file_that_check_accepts(run, folder, sheet, imported, name, make):
    code, out, err = imported(sheet(make({"Stash": [HEADS, ROW, RUST]}), name))
    assert (code, err) == (0, "")
    assert "New: 2 skeins of 2 lots.\n\nstash/import-shelf.yaml was written.\n" in out
    assert (folder / "stash" / "import-shelf.yaml").read_text() == (
        f"# Written by `lotwise import`, once; yours to change from here on.\n# From {name}.\n"
        "lots:\n"
        "  slate:\n"
        "    fibre: 80% wool, 20% polyamide\n"
        '    colour: "#5b6770"\n'
        "    count: 230 m/100g\n"
        "    skeins:\n"
        "      slate-1: 118 g\n"
        "  rust:\n"
        "    fibre: wool\n"
        "    colour: sienna\n"
        "    count: dk\n"
        "    skeins:\n"
        "      rust-1: 50 g\n"
    )
    code, out, _ = run("check", "--workspace", folder)
    assert (code, out) == (0, "no faults: 0 donors, 2 lots, 2 skeins, 1 pattern, 0 projects\n")


def test_it_shows_how_it_understood_each_column(sheet, imported):
    _, out, _ = imported(sheet(xlsx({"Stash": [["My yarn"], [], [*HEADS, "Length"], [*ROW, "271 m"]]})))
    assert out.startswith(
        "Sheet Stash, headers in row 3:\n"
        "\n"
        "     column header  is      unit          such as                  rows\n"
        "  A  skein          skein                 slate-1                     1\n"
        "  B  lot            lot                   slate                       1\n"
        "  C  fibre          fibre                 80% wool, 20% polyamide     1\n"
        "  D  colour         colour                #5b6770                     1\n"
        "  E  count          count                 230 m/100g                  1\n"
        "  F  mass (g)       mass    g             118                         1\n"
        "  G  Length         length  in the cells  271 m                       1\n"
    )


def test_run_again_it_adds_only_what_is_new(folder, sheet, imported):
    imported(sheet(xlsx({"Stash": [HEADS, ROW]})))
    again = sheet(xlsx({"Stash": [HEADS, ["SLATE-1", *ROW[1:]], RUST]}))
    code, out, _ = imported(again)
    assert code == 0
    assert "New: 1 skein of 1 lot.\nIn the stash already, and left out: 1 row (SLATE-1).\n" in out
    assert files(folder) == ["import-shelf-2.yaml", "import-shelf.yaml"]
    code, out, _ = imported(again)
    assert code == 0
    assert "There is nothing new to write.\n" in out
    assert files(folder) == ["import-shelf-2.yaml", "import-shelf.yaml"]


def test_a_row_that_says_otherwise_than_the_stash_is_told_and_changes_nothing(folder, sheet, imported):
    heads = [*HEADS, "length"]
    imported(sheet(xlsx({"Stash": [HEADS, ROW, RUST]})))
    before = (folder / "stash" / "import-shelf.yaml").read_bytes()
    for mass, length in ((120, None), (118, "9 m"), ("heavy", None)):
        path = sheet(xlsx({"Stash": [heads, [*ROW[:5], mass, length], [*RUST, None]]}))
        code, out, _ = imported(path)
        assert code == 0
        assert "Another mass or length than in your files, which stay as they are: slate-1.\n" in " ".join(
            out.split(" ")
        )
    assert files(folder) == ["import-shelf.yaml"]
    assert (folder / "stash" / "import-shelf.yaml").read_bytes() == before


def test_a_date_in_place_of_a_name_is_refused(sheet, imported):
    row = [dt.date(2024, 2, 12), *ROW[1:]]
    code, told = document(imported(sheet(xlsx({"Stash": [HEADS, row]})), "--json"))
    assert (code, told["refused"][0]["cell"]) == (3, "Stash!A2")
    assert told["refused"][0]["message"] == "a date stands here, 2024-02-12"


def test_rows_that_do_not_fit_into_one_file_are_refused_as_a_whole(folder, sheet, imported):
    rows = [[f"s{at}", f"l{at}", "wool", "navy", "dk", 50, "毛" * 200] for at in range(8000)]  # 4.8 MB of notes
    code, _, err = imported(sheet(xlsx({"Stash": [[*HEADS, "note"], *rows]})))
    assert code == 3
    assert err.startswith("lotwise: the rows cannot become one file: this file is 5.")
    assert err.splitlines()[1].startswith("hint: split it into several files")
    assert files(folder) == []


def test_a_dry_run_shows_the_files_to_the_last_byte_and_writes_none(folder, sheet, imported):
    wrong = ["moss-1", "moss", "wool", "mossy", "dk", 50]
    path = sheet(xlsx({"Stash": [HEADS, ROW, wrong]}))
    code, out, _ = imported(path, "--dry-run")
    _, told = document(imported(path, "--dry-run", "--json"))
    assert (code, files(folder), told["written"]) == (3, [], False)
    imported(path)
    for file in told["files"]:
        data = (folder / file["file"]).read_bytes()
        assert file["text"].encode() == data
        shown = data.decode().removeprefix("\ufeff").replace("\r\n", "\n")
        assert f"--- {file['file']} ---\n{shown}--- end ---" in out
    assert files(folder) == ["import-shelf.rows.csv", "import-shelf.yaml"]


def test_rows_that_were_put_right_can_be_imported_from_the_file_beside(folder, sheet, imported):
    formula = ["moss-2", "moss", "wool", "mossy", "dk", 50]
    heads = [*HEADS, "note"]
    rows = [heads, [*ROW, ""], [*formula, "'=1+1"]]
    code, _, _ = imported(sheet(xlsx({"Stash": rows})))
    beside = folder / "stash" / "import-shelf.rows.csv"
    assert code == 3
    beside.write_text(beside.read_text(encoding="utf-8").replace("mossy", "olive"), encoding="utf-8")
    code, told = document(imported(beside, "--json"))
    assert (code, told["skeins_added"], [file["file"] for file in told["files"]]) == (
        0,
        ["moss-2"],
        ["stash/import-shelf-2.yaml"],
    )
    assert 'note: "\'=1+1"' in told["files"][0]["text"]


def test_the_same_refused_rows_are_kept_once(folder, sheet, imported):
    path = sheet(xlsx({"Stash": [HEADS, [*ROW[:5], "heavy"]]}))
    imported(path)
    code, out, _ = imported(path)
    assert code == 3
    assert "The rows that were not read lie in stash/import-shelf.rows.csv already.\n" in out
    assert files(folder) == ["import-shelf.rows.csv"]


def test_a_lot_goes_in_whole_or_waits(sheet, imported):
    other = ["slate-2", "slate", "", "", "", "heavy"]
    code, told = document(imported(sheet(xlsx({"Stash": [HEADS, ROW, other, RUST]})), "--json"))
    assert (code, told["skeins_added"]) == (3, ["rust-1"])
    assert [(one["cell"], one["message"]) for one in told["refused"]] == [
        ("Stash!B2", "another row of lot slate was not read (Stash!F3), and a lot goes in whole"),
        ("Stash!F3", "'heavy' is not a mass"),
    ]


def test_a_new_skein_of_a_lot_that_is_in_the_stash_is_told_where_to_write_it(sheet, imported):
    imported(sheet(xlsx({"Stash": [HEADS, ROW]})))
    code, told = document(imported(sheet(xlsx({"Stash": [HEADS, ROW, ["slate-2", *ROW[1:]]]})), "--json"))
    assert code == 3
    assert told["refused"] == [
        {
            "cell": "Stash!A3",
            "message": "lot slate is in stash/import-shelf.yaml already, without this skein",
            "hint": "write it there, a line under its skeins, such as slate-2: 118 g",
        }
    ]


def test_cells_left_blank_below_say_what_the_first_row_of_the_lot_says(folder, sheet, imported):
    rows = [
        HEADS,
        ROW,
        ["slate-2", "slate", None, None, None, 96.5],
        [None] * 6,
        ["slate-3", "slate", None, None, None, 2],
    ]
    assert imported(sheet(xlsx({"Stash": rows})))[0] == 0
    (lot,) = known_stash(folder).lots.values()
    assert [(skein.id, float(skein.mass_g)) for skein in lot.skeins] == [
        ("slate-1", 118),
        ("slate-2", 96.5),
        ("slate-3", 2),
    ]


def test_a_donor_that_is_only_named_is_written_with_its_name(folder, sheet, imported):
    rows = [[*HEADS, "Garment"], [*ROW, "Harbour crew, blue"], [*RUST, "quay"]]
    assert imported(sheet(xlsx({"Stash": rows})))[0] == 0
    stash = known_stash(folder)
    assert {name: donor.garment for name, donor in stash.donors.items()} == {
        "Harbour-crew-blue": "Harbour crew, blue",
        "quay": None,
    }
    assert [lot.donor for lot in stash.lots.values()] == ["quay", "Harbour-crew-blue"]


def test_skeins_that_are_not_named_are_named_after_their_lots(folder, sheet, imported):
    rows = [["yarn", *HEADS[2:]], ["Slate blue", *ROW[2:]], ["Slate blue", *ROW[2:]], ["rust", *RUST[2:]]]
    code, out, _ = imported(sheet(xlsx({"Stash": rows})))
    assert code == 0
    assert "made to fit: 'Slate\nblue' as Slate-blue." in out
    assert "they are named after their lots: Slate-blue-1,\nSlate-blue-2, rust-1." in out
    assert [skein.id for lot in known_stash(folder).lots.values() for skein in lot.skeins] == [
        "Slate-blue-1",
        "Slate-blue-2",
        "rust-1",
    ]


def test_a_sample_may_stand_in_columns_of_its_own(folder, sheet, imported):
    heads = ["lot", "fibre", "colour", "turns", "around (m)", "sample mass (g)", "mass (g)"]
    assert imported(sheet(xlsx({"Stash": [heads, ["slate", "wool", "navy", 120, 1.5, 42, 118]]})))[0] == 0
    assert known_stash(folder).lots["slate"].count.text == "120 turns of 1.5 m, 42 g"


def test_of_several_sheets_the_one_with_the_headers_is_read(sheet, imported):
    path = sheet(xlsx({"Notes": [["lot", "fibre"], ["x", "wool"]], "Yarn": [HEADS, ROW], "Blank": []}))
    _, out, _ = imported(path, "--dry-run")
    assert out.startswith("Sheet Yarn, headers in row 1:\n")
    assert "Not read: sheets Notes, Blank. Read another with --sheet NAME.\n" in out


def test_a_sheet_can_be_named(sheet, imported):
    path = sheet(xlsx({"A": [HEADS, ROW], "B": [HEADS, RUST]}))
    _, told = document(imported(path, "--dry-run", "--json", "--sheet", "B"))
    assert (told["skeins_added"], told["sheets_not_read"]) == (["rust-1"], ["A"])
    code, _, err = imported(path, "--sheet", "C")
    assert (code, err) == (3, "lotwise: there is no sheet 'C'\nhint: the sheets are: A, B\n")


def test_without_headers_it_is_said_what_they_may_be(sheet, imported):
    code, _, err = imported(sheet(xlsx({"A": [["x", "y"], [1, 2]]})))
    assert (code, err) == (
        3,
        (
            "lotwise: no row with headers that lotwise knows was found in A\n"
            "hint: head the columns with words such as skein, lot, fibre, colour, count, mass (g), length (m)\n"
        ),
    )


def test_a_column_that_is_not_clear_is_refused_with_the_flag_that_tells(sheet, imported):
    path = sheet(xlsx({"A": [[*HEADS, "Bought at", "Wt"], [*ROW, "quay", "3 oz"]]}))
    code, _, err = imported(path)
    assert code == 2
    assert err.startswith(
        "lotwise: it is not clear what this is: the column headed 'Bought at' (A!G1), such as 'quay'; "
        "the column headed 'Wt' (A!H1), such as '3 oz'\n"
        'hint: say what each is, or that it is to be left out: --map "Bought at=leave-out" --map "Wt=leave-out"; '
    )
    code, told = document(imported(path, "--map", "Bought at=note", "--map", "Wt=leave-out", "--json"))
    assert code == 0
    assert "note: quay" in told["files"][0]["text"]


def test_a_column_without_a_header_must_get_one(sheet, imported):
    code, _, err = imported(sheet(xlsx({"A": [[*HEADS, None], [*ROW, "quay"]]})))
    assert code == 2
    assert "the column without a header (A!G1), such as 'quay'\nhint: write a header above it" in err


def test_a_sheet_that_cannot_tell_what_a_lot_needs_is_refused(sheet, imported):
    code, _, err = imported(
        sheet(xlsx({"A": [["lot", "fibre", "mass (g)", "Shades"], ["slate", "wool", 118, "navy"]]}))
    )
    assert code == 2
    path = sheet(xlsx({"A": [["lot", "fibre", "mass (g)", "Shades"], ["slate", "wool", 118, "navy"]]}))
    code, _, err = imported(path, "--map", "Shades=leave-out")
    assert (code, err) == (
        2,
        (
            "lotwise: no column tells the colour (its colour) nor the count (how thick it is)\n"
            'hint: add one to the sheet, or say which it is: --map "Shades=colour"\n'
        ),
    )


def test_a_person_is_asked_what_a_column_is(folder, sheet):
    path = sheet(xlsx({"A": [[*HEADS, "Bought at", "Wt"], [*ROW, "quay", "3 oz"]]}))
    screen, code = run_in_terminal(["import", str(path), "--workspace", str(folder)], ["notes", "note", ""], folder)
    assert code == 0
    assert "the column headed 'Bought at' (A!G1), such as 'quay': what is it?" in " ".join(screen.split())
    assert "'notes' is nothing a column can be" in screen
    assert "note: quay" in (folder / "stash" / "import-shelf.yaml").read_text()


def test_a_stash_with_faults_is_not_added_to(folder, sheet, imported):
    (folder / "stash.yaml").write_text("lots: {a: }\n")
    code, _, err = imported(sheet(xlsx({"A": [HEADS, ROW]})))
    assert code == 3
    assert "stash.yaml:1:" in err
    assert files(folder) == []


def test_a_name_that_something_else_in_the_stash_has_is_refused(folder, sheet, imported):
    (folder / "stash.yaml").write_text("donors: {slate: {}}\nlots: {}\n")
    code, told = document(imported(sheet(xlsx({"A": [HEADS, ROW]})), "--json"))
    assert (code, told["refused"][0]["cell"], told["refused"][0]["message"]) == (
        3,
        "A!B2",
        "the name 'slate' of this lot is taken already: by a donor in stash.yaml, line 1",
    )


def test_a_donor_that_is_in_the_stash_is_left_as_it_is(folder, sheet, imported):
    (folder / "stash.yaml").write_text("donors: {crew: {garment: pullover}}\nlots: {}\n")
    rows = [[*HEADS, "donor", "donor garment"], [*ROW, "crew", None], [None] * 6 + ["crew", "other"]]
    code, told = document(imported(sheet(xlsx({"A": rows})), "--json"))
    assert (code, told["already_there"]) == (0, [{"name": "crew", "file": "stash.yaml", "differs": False}])
    assert known_stash(folder).donors["crew"].garment == "pullover"


def test_lots_wait_for_a_donor_that_could_not_be_read(sheet, imported):
    rows = [[*HEADS, "donor", "donor seams"], [*ROW, "crew", None], [None] * 6 + ["crew", "glued"], [*RUST, None, None]]
    code, told = document(imported(sheet(xlsx({"A": rows})), "--json"))
    assert (code, told["skeins_added"]) == (3, ["rust-1"])
    assert [(one["cell"], one["message"]) for one in told["refused"]] == [
        ("A!G2", "the row of its donor crew could not be read"),
        ("A!H3", "'glued' is not how it is sewn"),
    ]


def test_warnings_of_the_new_file_are_told(sheet, imported):
    code, _, err = imported(sheet(xlsx({"A": [HEADS, [*ROW[:5], 0]]})))
    assert code == 0
    assert err.startswith("stash/import-shelf.yaml:9:16: warning: skein 'slate-1' is 0: there is nothing")


def test_a_file_name_cannot_write_into_the_file(folder, sheet, imported):
    code, _, _ = imported(sheet(xlsx({"A": [HEADS, ROW]}), "a\nlots: {}\n毛.xlsx"))
    assert code == 0
    assert files(folder) == ["import-a-lots.yaml"]
    assert "# From a\\x0alots: {}\\x0a毛.xlsx.\n" in (folder / "stash" / "import-a-lots.yaml").read_text()
    imported(sheet(xlsx({"A": [HEADS, RUST]}), "毛.xlsx"))
    assert files(folder) == ["import-a-lots.yaml", "import-sheet.yaml"]


def test_nothing_is_left_behind_where_the_second_file_cannot_be_written(folder, sheet, monkeypatch):
    made = []

    def create(path, data):
        if made:
            raise OSError(28, "No space left on device", str(path))
        path.write_bytes(data)
        made.append(path)
        return path

    monkeypatch.setattr("planner.sheets.importing.create_file", create)
    path = sheet(xlsx({"A": [HEADS, ROW, [*RUST[:5], "heavy"]]}))
    with pytest.raises(OSError, match="No space left"):
        import_sheet(folder, Asked(path, (), (), rehearse=False))
    assert not (folder / "stash").exists()


def test_a_file_that_is_not_there_is_told_as_such(folder, imported):
    code, _, err = imported(folder / "no.xlsx")
    assert (code, err) == (
        5,
        f"lotwise: {folder}{os.sep}no.xlsx: No such file or directory\nhint: nothing was changed\n",
    )


def test_twenty_wrong_rows_are_shown_and_more_are_counted(sheet, imported):
    rows = [[f"s{at}", f"l{at}", "wool", "mossy", "dk", 50] for at in range(25)]
    code, out, _ = imported(sheet(xlsx({"A": [HEADS, *rows]})))
    assert code == 3
    assert "Not read: 25 rows.\n" in out
    assert "A!D21: 'mossy' is not a colour known here\n" in out
    assert "and 5 more\n" in out
