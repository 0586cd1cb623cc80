"""Files of every format come in as tables of text; what is too large, locked or of another kind is refused."""

import datetime as dt
import os
import sys
import tracemalloc

import pytest

from planner.asking import AskError
from planner.sheets import reading, unpacking
from planner.sheets.reading import read_csv, read_tables
from planner.sheets.table import Cell, SheetError, letters
from tests.planner.sheets.books import HEADS, ROW, ods, rezipped, xlsx

CONTENT = (
    '<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"'
    ' xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"'
    ' xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>'
    '<table:table table:name="A"><table:table-row table:number-rows-repeated="{rows}"><table:table-cell'
    ' table:number-columns-repeated="{columns}" office:value-type="string"><text:p>x</text:p></table:table-cell>'
    "</table:table-row></table:table></office:spreadsheet></office:body></office:document-content>"
)


def read(tmp_path, name, data):
    path = tmp_path / name
    path.write_bytes(data)
    return read_tables(path)


def texts(table):
    return [[cell.text for cell in row] for row in table.rows]


def refusal(tmp_path, name, data):
    with pytest.raises(SheetError) as wrong:
        read(tmp_path, name, data)
    return str(wrong.value)


@pytest.mark.parametrize(("name", "make"), [("a.xlsx", xlsx), ("a.ods", ods)])
def test_sheets_and_cells_come_in_order_and_whole_numbers_without_decimals(tmp_path, name, make):
    tables = read(tmp_path, name, make({"Stash": [HEADS, [*ROW[:5], 118.0]], "Other": [["x", 42.35]]}))
    assert [table.name for table in tables] == ["Stash", "Other"]
    assert texts(tables[0]) == [HEADS, [*ROW[:5], "118"]]
    assert tables[1].rows == ((Cell("x"), Cell("42.35", "number")),)


@pytest.mark.parametrize(("number", "text"), [(117.99999999999999, "118"), (0.1 + 0.2, "0.3"), (1e20, "1e+20")])
def test_what_a_machine_adds_beyond_15_digits_is_not_read(tmp_path, number, text):
    # spreadsheets hold 15 significant digits: ECMA-376 leaves it to IEEE 754; the figure is common practice
    assert texts(read(tmp_path, "a.xlsx", xlsx({"A": [[number]]}))[0]) == [[text]]


def test_dates_are_told_as_such_and_truth_as_yes_and_no(tmp_path):
    row = [dt.date(2024, 3, 4), dt.datetime.fromisoformat("2024-03-04T05:06"), True, False]
    (table,) = read(tmp_path, "a.xlsx", xlsx({"A": [row]}))
    dates = (Cell("2024-03-04", "date"), Cell("2024-03-04 05:06:00", "date"))
    assert table.rows == ((*dates, Cell("yes"), Cell("no")),)


def test_a_formula_is_what_it_came_to_and_blank_where_nobody_reckoned_it(tmp_path):
    (table,) = read(tmp_path, "a.xlsx", xlsx({"A": [["a", "=1+1", "b"]]}))  # openpyxl reckons none
    assert texts(table) == [["a", "", "b"]]


def test_every_cell_of_a_merged_range_says_what_the_range_says(tmp_path):
    rows = [["lot", "skein"], ["slate", "s1"], [None, "s2"], [None, "s3"], ["rust", "r1"]]
    (table,) = read(tmp_path, "a.xlsx", xlsx({"A": rows}, merged=("A2:A4",)))
    assert [row[0].text for row in table.rows] == ["lot", "slate", "slate", "slate", "rust"]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"])
def test_a_text_table_is_parted_by_what_makes_its_headers_readable(mark, start):
    lines = [
        "My yarn",
        mark.join(HEADS),
        mark.join(['"slate, 1"', "slate", '"80% wool; 20% silk"', "navy", "dk", "118"]),
    ]
    table = read_csv(start + "\r\n".join(lines).encode(), "a.csv")
    assert texts(table)[1:] == [HEADS, ["slate, 1", "slate", "80% wool; 20% silk", "navy", "dk", "118"]]


@pytest.mark.parametrize(
    "data", ["fibre;\u00e9".encode("latin-1"), "fibre".encode("utf-16"), "fibre".encode("utf-16-le")]
)
def test_text_in_another_encoding_is_refused_with_a_remedy(tmp_path, data):
    with pytest.raises(SheetError) as wrong:
        read(tmp_path, "a.csv", data)
    assert "is not in UTF-8" in str(wrong.value)
    assert "UTF-8" in wrong.value.hint


def test_a_quote_that_is_not_closed_is_refused(tmp_path):
    assert "cannot be read as a table" in refusal(tmp_path, "a.csv", b'skein,lot\n"slate-1,slate\n')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("x," * 100_000, "a.csv has 100,000 columns; 1,000 is the most"),
        (("x," * 900 + "\n") * 300, "a.csv has 270,000 cells; 250,000 is the most"),
    ],
)
def test_a_text_table_of_too_many_cells_is_refused(text, said):
    with pytest.raises(SheetError) as wrong:
        read_csv(text.encode(), "a.csv")
    assert str(wrong.value) == said


def test_blanks_at_the_end_of_a_text_table_s_rows_do_not_count():
    assert texts(read_csv(b"skein,lot" + b"," * 16_000 + b"\na-1,a" + b", " * 16_000, "a.csv")) == [
        ["skein", "lot"],
        ["a-1", "a"],
    ]


def test_a_workbook_of_more_elements_than_can_be_gone_through_is_refused(tmp_path, monkeypatch):
    assert unpacking.MOST_ELEMENTS == 1_000_000
    monkeypatch.setattr(unpacking, "MOST_ELEMENTS", 1000)
    content = CONTENT.format(rows=1, columns=1).replace(
        "<table:table-row ", "<table:table-row/>" * 1000 + "<table:table-row "
    )
    data = rezipped(ods({"A": []}), {"content.xml": content.encode()})
    assert refusal(tmp_path, "a.ods", data) == "a.ods holds more than 1,000 cells, texts and formats"


def test_a_small_file_that_unpacks_to_far_more_is_refused_before_it_is_unpacked(tmp_path):
    bomb = rezipped(xlsx({"A": [ROW]}), {"xl/worksheets/sheet1.xml": b" " * 90_000_000})
    assert len(bomb) < 100_000
    tracemalloc.start()
    said = refusal(tmp_path, "a.xlsx", bomb)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "would unpack to 90 MB" in said
    assert most < 20_000_000


def test_a_part_that_is_larger_than_it_says_is_refused(tmp_path):
    honest = rezipped(
        xlsx({"A": [ROW]}), {"xl/worksheets/sheet1.xml": b"<sheetData>" + b" " * 5_000_000 + b"</sheetData>"}
    )
    size = (5_000_023).to_bytes(4, "little")
    assert honest.count(size) == 2
    assert "cannot be unpacked" in refusal(tmp_path, "a.xlsx", honest.replace(size, (1000).to_bytes(4, "little")))


@pytest.mark.parametrize("times", [1, 2])
def test_repeated_rows_that_would_fill_the_memory_are_refused(tmp_path, times):
    content = CONTENT.format(rows=100_000 * times, columns=1_000).encode()
    assert f"spans {100_000_000 * times:,} cells" in refusal(
        tmp_path, "a.ods", rezipped(ods({"A": []}), {"content.xml": content})
    )


def test_two_cells_far_apart_are_refused(tmp_path):
    far = b'<sheetData><row r="1000000"><c r="ALM1000000"><v>1</v></c></row></sheetData>'
    assert "spans 1,001,000,000 cells" in refusal(
        tmp_path, "a.xlsx", rezipped(xlsx({"A": []}), {"xl/worksheets/sheet1.xml": far})
    )


def test_blank_cells_that_are_only_coloured_do_not_count(tmp_path):
    sheet = (
        b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>skein</t></is></c></row>'
        b'<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData></worksheet>'
    )
    (table,) = read(tmp_path, "a.xlsx", rezipped(xlsx({"A": []}), {"xl/worksheets/sheet1.xml": sheet}))
    assert texts(table) == [["skein"]]


def test_a_sheet_with_a_document_type_is_refused(tmp_path):
    bomb = b'<!DOCTYPE a [<!ENTITY b "bb"><!ENTITY c "&b;&b;">]><a>&c;</a>'
    assert "is damaged" in refusal(tmp_path, "a.xlsx", rezipped(xlsx({"A": []}), {"xl/worksheets/sheet1.xml": bomb}))


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.xlsx", b"skein,lot", "is not what its name says"),
        ("a.xlsx", b"\xd0\xcf\x11\xe0", "is in an older format, or locked"),
        ("a.xlsx", b"PK\x03\x04", "is damaged or locked"),
        ("a.xlsx", rezipped(b"PK\x05\x06" + b"\0" * 18, {"a.txt": b"x"}), "not a spreadsheet lotwise reads"),
        ("a.xlsx", rezipped(b"PK\x05\x06" + b"\0" * 18, {"xl/workbook.xml": b"<a/>"}), "cannot be read"),
        ("a.csv", b"x" * 5_000_001, "5 MB is the most"),
        ("a.csv", b"a\n" * 10_001, "has 10,001 rows; 10,000 is the most"),
        ("a.xlsx", xlsx({"A": [["a"]] * 10_001}), "has 10,001 rows; 10,000 is the most"),
    ],
)
def test_what_cannot_be_read_is_refused(tmp_path, name, data, said):
    assert said in refusal(tmp_path, name, data)


def test_a_file_of_more_than_20_mb_is_not_even_opened(tmp_path):
    path = tmp_path / "a.csv"
    with path.open("wb") as file:
        file.truncate(30_000_000)
    with pytest.raises(SheetError, match="is 30 MB"):
        read_tables(path)


def test_only_plain_files_are_read(tmp_path):
    os.mkfifo(tmp_path / "a.csv")
    with pytest.raises(SheetError, match="not a plain file"):
        read_tables(tmp_path / "a.csv")


def test_without_the_library_it_is_said_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "python_calamine", None)
    with pytest.raises(AskError) as wrong:
        read(tmp_path, "a.xlsx", xlsx({"A": [ROW]}))
    assert "pip install 'lotwise[sheets]'" in wrong.value.hint


@pytest.mark.parametrize(("place", "name"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")])
def test_columns_are_named_as_spreadsheets_name_them(place, name):
    assert letters(place) == name


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (dt.datetime(2026, 11, 5, tzinfo=None), "2026-11-05"),  # noqa: DTZ001 (a sheet has no time zones)
        (dt.datetime(2026, 11, 5, 9, 30, tzinfo=None), "2026-11-05 09:30:00"),  # noqa: DTZ001
        (dt.time(9, 30), "09:30:00"),
    ],
)
def test_a_moment_is_shown_as_a_day_where_it_is_midnight(value, shown):
    assert reading._cell(value) == Cell(shown, "date")
