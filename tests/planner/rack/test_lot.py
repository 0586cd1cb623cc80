"""The lot a garment would become: readable whatever the garment, and no longer than can be counted on."""

import json
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.asking import AskError
from planner.rack.judging import judge_garment
from planner.rack.lot import shrinks
from planner.rack.verdict import DOUBTFUL, LEAVE, WORTH
from planner.show.documents import write
from planner.show.rack import rack_text
from planner.show.rackdocument import rack_document
from stash.colour import colour_from_lab, read_colour
from stash.fabric import Gauge
from stash.fibre import read_blend
from stash.garment import FELTED, KINDS, SIZES, Garment, Panel
from stash.lengths import guarded_cm
from stash.read import read_stash
from stash.reclaiming import Z90
from stash.stitches import STITCHES

SURE = Fraction(95, 100)
SIDES = st.integers(1, 200).map(lambda cm: Fraction(cm, 100))
PANELS = st.builds(Panel, st.integers(1, 4), st.tuples(SIDES, SIDES), SIDES, st.just(Fraction(1, 100)))
GARMENTS = st.builds(
    Garment,
    kind=st.sampled_from(list(KINDS)),
    size=st.sampled_from([None, *SIZES]),
    blend=st.sampled_from([None, *map(read_blend, ("wool", "80% cotton, 20% linen", "50% unknown, 50% wool"))]),
    mass_g=st.none() | st.integers(1, 3000).map(Fraction),
    gauge=st.builds(
        Gauge,
        st.integers(6, 80).map(lambda n: Fraction(n, 10)),
        st.none() | st.integers(6, 90).map(lambda n: Fraction(n, 10)),
    ),
    stitch=st.sampled_from(list(STITCHES.values())),
    panels=st.lists(PANELS, max_size=4).map(tuple),
    seams=st.sampled_from([None, "linked", "cut"]),
    felted=st.sampled_from(FELTED),
    pilled=st.booleans(),
    holes=st.integers(0, 100),
    stains=st.integers(0, 100),
    moths=st.booleans(),
    colours=st.integers(1, 12),
    main_share=st.none() | st.fractions(Fraction(1, 100), 1),
    fancy=st.booleans(),
    plies=st.integers(1, 4),
    colour=st.sampled_from([None, read_colour("navy"), colour_from_lab(40.1, -12.25, 3.5)]),
)


@settings(max_examples=60, deadline=None)
@given(GARMENTS, st.sampled_from([None, "buoy", "x" * 64]))
def test_whatever_is_seen_there_is_an_answer_and_the_lot_can_be_read(garment, donor):
    try:
        judged = judge_garment(garment, donor, None, SURE)
    except AskError as error:
        told = str(error)
    else:
        told = ""
    if told:
        assert "than any yarn" in told or "any garment" in told
        return
    assert judged.verdict in {WORTH, DOUBTFUL, LEAVE}
    for units in ("metric", "imperial"):
        assert all(len(line) <= 80 for line in rack_text(judged, units).splitlines())
    assert json.loads(write(rack_document(judged, SURE)))["verdict"] == judged.verdict
    if judged.expected is None:
        return
    donors = f"donors: {{{donor}: {{garment: coat}}}}\n" if donor is not None else ""
    read = read_stash([("one.yaml", (donors + judged.expected.text).encode())])
    assert [fault.message for fault in read.faults if not fault.warning] == []
    (lot,) = read.stash.lots.values()
    assert (lot.donor, lot.colour.lab) == (donor, pytest.approx(garment.colour.lab))
    held = sum(sum(guarded_cm(lot, skein, SURE)) for skein in lot.skeins) / 100
    assert held <= judged.found.length_m.interval(Z90)[0] + 1e-6


def test_a_fibre_nobody_can_name_may_be_wool():
    """By the rule of the files an unknown fibre is no wool; where it is to be washed it may be."""
    assert shrinks(read_blend("unknown")) is None
    assert shrinks(read_blend("wool")) is True
    assert shrinks(read_blend("cotton")) is False


@pytest.mark.parametrize(
    "changes",
    [
        {"panels": (Panel(99, (Fraction(20), Fraction(20)), Fraction(20), Fraction(1, 100)),)},
        {"seams": "cut", "panels": (Panel(99, (Fraction(1, 100), Fraction(1, 100)), Fraction(20), Fraction(1, 100)),)},
    ],
)
def test_more_yarn_or_rows_than_in_any_garment_are_not_believed(changes):
    garment = Garment(gauge=Gauge(Fraction(3), Fraction(4)), **changes)
    with pytest.raises(AskError, match="any garment"):
        judge_garment(garment, None, None, SURE)
