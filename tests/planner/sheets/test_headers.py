"""Headers in a knitter's words are known with their units, wherever they stand; what is not clear is left open."""

import pytest

from planner.asking import AskError
from planner.sheets.headers import headed, map_flag, read_maps, refuse_twice, refuse_unused
from planner.sheets.table import Cell, Table


def sheet(*rows, told=()):
    return headed(Table("Stash", tuple(tuple(map(Cell, row)) for row in rows)), read_maps(told))


def meant(header, *below, told=()):
    """What a column of this header is, beside one that is known anyway."""
    found = sheet(("fibre", "bleeds", header), *(("wool", "no", cell) for cell in below), told=told)
    return (found.columns[2].field, found.columns[2].unit)


@pytest.mark.parametrize(
    ("header", "field", "unit"),
    [
        ("length (m)", "length", "m"),
        ("Length [yd]", "length", "yd"),
        ("Length in metres", "length", "m"),
        ("Weight [g]", "mass", "g"),
        ("Weight (ounces)", "mass", "oz"),
        ("Yardage", "length", ""),
        ("Metres", "length", "m"),
        ("yards", "length", "yd"),
        ("grams", "mass", "g"),
        ("m/100g", "count", "m/100g"),
        ("m / 100 g", "count", "m/100g"),
        ("yards per 50 g", "count", "yd/50g"),
        ("Count (tex)", "count", "tex"),
        ("Weight (m/100g)", "count", "m/100g"),
        ("WPI", "wraps", ""),
        ("Fiber content", "fibre", ""),
        ("COLOUR_CODE", "colour", ""),
        ("colour (hex)", "colour", ""),
        ("Donor weight (g)", "donor mass", "g"),
        ("reckoned length (m)", "leave-out", "m"),
        ("lotwise/stash-1 guarded", "leave-out", ""),
        ("Bought at", None, ""),
        ("Price (EUR)", None, ""),
    ],
)
def test_a_header_is_known_by_its_words_and_its_unit(header, field, unit):
    assert meant(header) == (field, unit)


@pytest.mark.parametrize(
    ("below", "field"), [(("dk", "worsted"), "count"), (("118 g", "2 oz"), "mass"), (("118", "dk"), None), ((), None)]
)
def test_what_a_weight_is_its_cells_tell(below, field):
    assert meant("Weight", *below)[0] == field


def test_headers_are_found_below_a_title_and_blank_rows():
    found = sheet(("Yarn of the quay",), (), ("", "Lot", "Fibre"), ("", "slate", "wool"))
    assert found.row == 2
    assert [(one.field, one.place, one.example, one.filled) for one in found.columns] == [
        ("lot", 1, "slate", 1),
        ("fibre", 2, "wool", 1),
    ]


def test_a_sheet_without_two_known_headers_has_none():
    assert sheet(("lot", "and so on"), ("slate", "wool")) is None


@pytest.mark.parametrize(
    ("heads", "fields"),
    [
        (("name", "fibre"), ["lot", "fibre"]),
        (("lot", "id", "fibre"), ["lot", "skein", "fibre"]),
        (("skein", "name", "fibre"), ["skein", "lot", "fibre"]),
        (("lot", "skein", "name"), ["lot", "skein", None]),
        (("skein", "fibre"), ["lot", "fibre"]),
    ],
)
def test_a_name_is_that_of_the_lot_unless_the_lot_has_one(heads, fields):
    assert [one.field for one in sheet(heads).columns] == fields


def test_what_the_user_says_of_a_column_goes_before_its_words():
    assert meant("Bought at", told=["bought  AT=note"])[0] == "note"
    assert meant("Yardage", told=["Yardage=leave-out"])[0] == "leave-out"
    assert sheet(("tag", "fibre"), told=["tag=skein"]).columns[0].field == "skein"


@pytest.mark.parametrize(
    ("text", "said", "hint"),
    [
        ("Wt", "--map: 'Wt' has no '='", 'write --map "Their header=colour"'),
        ("=mass", "--map: '=mass' has no '='", 'write --map "Their header=colour"'),
        ("Wt=masss", "--map: 'masss' is nothing a column can be", "did you mean 'mass'?"),
    ],
)
def test_a_map_that_cannot_be_read_is_refused(text, said, hint):
    with pytest.raises(AskError) as wrong:
        read_maps([text])
    assert (str(wrong.value), wrong.value.hint) == (said, hint)


def test_a_map_of_a_header_that_is_not_there_is_refused():
    with pytest.raises(AskError, match="no column is headed 'wt'"):
        refuse_unused(read_maps(["Wt=mass"]), [sheet(("lot", "fibre"))])


def test_two_columns_cannot_be_one_thing():
    with pytest.raises(AskError) as wrong:
        refuse_twice(sheet(("length (m)", "length (yd)")))
    assert str(wrong.value) == "2 columns are the length: 'length (m)' (Stash!A1) and 'length (yd)' (Stash!B1)"
    assert wrong.value.hint == 'leave one out: --map "length (m)=leave-out" or --map "length (yd)=leave-out"'
    assert map_flag("a\n b", "note") == '--map "a b=note"'
