from itertools import pairwise

import pytest

from planner.rack.verdict import DECIDES, DOUBTFUL, IN_DOUBT, LEAVE, WORTH, Reason, reasons_for, verdict_of
from stash.fabric import Gauge
from stash.fibre import read_blend
from stash.garment import Garment, read_panel
from stash.pieces import pieces_of
from stash.reclaiming import reclaim
from stash.units import read_number

WHOLE = Garment(
    gauge=Gauge(read_number("2.2"), read_number("3")), panels=(read_panel("2 x 50 cm x 60 cm"),), seams="linked"
)


def reasons(opened=0, **changes):
    garment = Garment(**{**vars(WHOLE), **changes})
    found = reclaim(garment)
    return reasons_for(garment, found, pieces_of(garment, found), read_blend("wool"), opened)


@pytest.mark.parametrize(
    ("against", "verdict"),
    [((), WORTH), ((IN_DOUBT - 1,), WORTH), ((IN_DOUBT,), DOUBTFUL), ((30, 25), DOUBTFUL), ((DECIDES,), LEAVE)],
)
def test_one_grave_reason_settles_it_and_small_ones_add_up(against, verdict):
    assert verdict_of([Reason(str(weight), weight) for weight in against]) == verdict


def test_what_speaks_for_it_outweighs_no_grave_reason():
    assert verdict_of([Reason("felted", 100), Reason("unlocks", 80, speaks_for=True)]) == LEAVE


def test_reasons_stand_in_order_of_weight():
    found = reasons(opened=2, pilled=True, holes=3, moths=True, smell=True)
    assert all(one.weight >= other.weight for one, other in pairwise(found))
    assert found[0].key == "unlocks"


@pytest.mark.parametrize(
    ("changes", "key", "verdict"),
    [
        ({}, "linked", WORTH),
        ({"felted": "felted"}, "felted", LEAVE),
        ({"seams": "cut"}, "cut", LEAVE),
        ({"felted": "slightly"}, "slightly-felted", DOUBTFUL),
        ({"moths": True}, "moths", DOUBTFUL),
        ({"holes": 12}, "holes", DOUBTFUL),
        ({"seams": None}, "seams-unknown", WORTH),
        ({"pilled": True}, "pilled", WORTH),
        ({"colours": 2}, "colours", WORTH),
        ({"fancy": True}, "fancy", WORTH),
    ],
)
def test_each_state_has_its_reason_and_verdict(changes, key, verdict):
    found = reasons(**changes)
    assert key in {one.key for one in found}
    assert verdict_of(found) == verdict


def test_little_yarn_is_a_doubt():
    assert verdict_of(reasons(panels=(read_panel("20 cm x 20 cm"),))) == DOUBTFUL
