"""A find is called by a name that nothing in the stash has, nor a skein of it would have."""

import pytest

from planner.racklist.trials import _free_name
from stash.read import read_stash

LOT = "  {name}: {{fibre: wool, colour: navy, count: 250 m/100g, skeins: {{{skein}: 90 g}}}}\n"


@pytest.mark.parametrize(
    ("lots", "name"),
    [
        ([("slate", "slate-1")], "find"),
        ([("find", "slate-1")], "find2"),
        ([("Find", "slate-1"), ("find2", "b")], "find3"),
        ([("slate", "find-1")], "find2"),
        ([("slate", "finder-1")], "find"),
    ],
)
def test_the_first_name_that_is_free_is_taken(lots, name):
    text = "lots:\n" + "".join(LOT.format(name=lot, skein=skein) for lot, skein in lots)
    assert _free_name(read_stash([("stash.yaml", text.encode())]).stash) == name
