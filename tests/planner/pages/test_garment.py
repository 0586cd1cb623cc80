"""A garment put together has the measures of its pieces, whatever shape of `lotwise needs` it is."""

import math
from fractions import Fraction
from itertools import pairwise
from types import SimpleNamespace
from typing import NamedTuple

import pytest

from patterns.needs import Amount
from patterns.patches import Patch
from patterns.shapes import SHAPES, draw
from planner.pages.garment import garment_of
from planner.pages.outlines import Outline, outlines_of
from planner.pages.shades import shade_of
from planner.pages.strips import Span
from planner.pages.yarns import Band
from planner.plan import PlannedNeed, PlannedProject, YarnRun
from stash.colour import read_colour

SHADE = shade_of(read_colour("#5b6770"))
BAND = Band("A", "main", "slate", "1 m", "100 %", Span(0, 100), 50.0, SHADE, SHADE, ())


def drawn(name, construction="plain", group="woman"):
    """The schematic of a shape in its first size of a group, and its outlines as a pattern file has them."""
    body = next(one for one in SHAPES[name].sizes if one.group == group)
    schematic = draw(SHAPES[name], construction, body)
    found = {}
    for one in schematic.pieces:
        own = found.setdefault(
            (one.part, one.lower, one.upper, one.length), Outline(one.part, one.lower, one.upper, one.length)
        )
        own.times += one.times
        own.shares = {BAND: Fraction(1)}
    return schematic, list(found.values())


def corners(laid):
    return [tuple(map(float, pair.split(","))) for pair in laid.points.split()]


def sides(laid):
    """How long its foot, its right side and its top are."""
    one, other, across, back = corners(laid)
    return (
        math.dist(one, other),
        math.dist(*(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in ((one, other), (across, back)))),
        math.dist(across, back),
    )


def measures(schematic, name):
    return next(one for one in schematic.pieces if one.name == name)


@pytest.mark.parametrize("name", ["pullover", "cardigan"])
@pytest.mark.parametrize("construction", ["drop shoulder", "raglan", "round yoke"])
@pytest.mark.parametrize("group", ["baby", "child", "woman", "man"])
def test_body_sleeves_and_cuffs_are_on_one_scale(name, construction, group):
    schematic, outlines = drawn(name, construction, group)
    found = garment_of(outlines, "metric")
    sleeve, cuff = (measures(schematic, one) for one in ("sleeves", "cuffs"))
    laid = [sides(one) for one in found.laid]
    hem = laid[4 + (1 if name == "pullover" else 2)]
    scale = laid[4][1] / float(measures(schematic, "back").length)
    assert hem[1] == pytest.approx(float(measures(schematic, "hem").length) * scale, abs=0.01)
    for place in (0, 2):
        assert laid[place][0] == pytest.approx(float(sleeve.lower) / 2 * scale, abs=0.01)
        assert laid[place][2] == pytest.approx(float(sleeve.upper) / 2 * scale, abs=0.01)
        assert laid[place + 1] == pytest.approx(
            [float(cuff.lower) / 2 * scale, float(cuff.length) * scale, float(cuff.lower) / 2 * scale], abs=0.01
        )
    if construction == "drop shoulder":
        assert laid[0][1] == pytest.approx(float(sleeve.length) * scale, abs=0.01)
    assert hem[0] == pytest.approx(float(measures(schematic, "back").lower) * scale, abs=0.01)
    if name == "pullover":
        assert laid[4][0] == pytest.approx(float(measures(schematic, "back").lower) * scale, abs=0.01)


@pytest.mark.parametrize("construction", ["raglan", "round yoke"])
def test_a_yoke_goes_from_the_sleeves_to_the_neckband(construction):
    schematic, outlines = drawn("pullover", construction)
    found = garment_of(outlines, "imperial")
    rings = [one for one in schematic.pieces if one.part == "yoke"]
    laid = [sides(one) for one in found.laid[6:]]
    assert len(laid) == len(rings) + 1
    scale = laid[0][0] / (float(rings[0].lower) / 2)
    for ring, after in pairwise(laid):
        assert ring[2] == pytest.approx(after[0], abs=0.02)
    assert math.fsum(ring[1] for ring in laid[:-1]) == pytest.approx(
        float(sum(ring.length for ring in rings)) * scale, abs=0.05
    )
    assert [label.said.endswith(" in") for label in found.labels] == [True] * 3


def test_a_vest_narrows_above_the_underarm():
    schematic, outlines = drawn("vest")
    found = garment_of(outlines, "metric")
    body, hem, above, neck = [sides(one) for one in found.laid]
    scale = body[0] / float(measures(schematic, "back").lower)
    assert hem[0] == pytest.approx(body[0], abs=0.01)
    assert above[0] == pytest.approx(float(measures(schematic, "above the underarm").lower) * scale, abs=0.01)
    assert neck[0] == pytest.approx(float(measures(schematic, "neckband").lower) / 2 * scale, abs=0.01)


def test_the_picture_fits_on_the_narrowest_phone_and_everything_into_the_picture():
    for construction in ("drop shoulder", "raglan", "round yoke"):
        found = garment_of(drawn("pullover", construction, "man")[1], "metric")
        assert found.width <= 288  # 320 px less the page's margins of 16 px
        for laid in found.laid:
            assert all(0 <= x <= found.width and 0 <= y <= found.height for x, y in corners(laid))


def test_both_sides_are_alike():
    found = garment_of(drawn("pullover", "raglan")[1], "metric")
    left, right = (sorted(corners(found.laid[place])) for place in (0, 2))
    mirrored = sorted((found.width - x, y) for x, y in right)
    assert [value for pair in left for value in pair] == pytest.approx(
        [value for pair in mirrored for value in pair], abs=0.01
    )


@pytest.mark.parametrize("name", ["hat", "socks", "scarf", "blanket", "cowl"])
def test_other_things_are_told_by_their_pieces_alone(name):
    body = SHAPES[name].sizes[0]
    pieces = draw(SHAPES[name], SHAPES[name].constructions[0], body).pieces
    outlines = [
        Outline(one.part, one.lower, one.upper, one.length, Fraction(one.times), {BAND: Fraction(1)}) for one in pieces
    ]
    assert garment_of(outlines, "metric") is None


def test_a_body_alone_is_no_garment_and_edgings_need_not_be_there():
    half = Outline("body", Fraction("0.5"), Fraction("0.5"), Fraction("0.4"), Fraction(2), {BAND: Fraction(1)})
    slanted = Outline("body", Fraction("0.5"), Fraction("0.4"), Fraction("0.4"), Fraction(2), {BAND: Fraction(1)})
    sleeve = Outline("sleeves", Fraction("0.2"), Fraction("0.3"), Fraction("0.4"), Fraction(2), {BAND: Fraction(1)})
    assert garment_of([], "metric") is None
    assert garment_of([half], "metric") is None
    assert garment_of([slanted, sleeve], "metric") is None
    assert len(garment_of([half, sleeve], "metric").laid) == 3


class Colour(NamedTuple):
    """What `outlines_of` asks of a band."""

    need: str
    lot: str


def outlined(planned, sizes):
    """Outlines as (name, how many, shares by lot) of needs planned as lot -> cm."""
    needs = tuple(
        PlannedNeed(name, 100, tuple(YarnRun({lot: 1}, cm, None, ()) for lot, cm in runs.items()))
        for name, runs in planned.items()
    )
    bands = SimpleNamespace(of=lambda need, run: Colour(need, *run.lots))
    found = outlines_of(PlannedProject("x", "x", "M", needs), SimpleNamespace(sizes={"M": sizes}), bands)
    return [(one.name, one.times, {band.lot: share for band, share in one.shares.items()}) for one in found]


def patched(share, often, *, times=1):
    body = Patch(Fraction(1, 2), Fraction(1, 2), Fraction(2, 5), Fraction(times), Fraction(share))
    return Amount(Fraction(9), 0.1, (body,) * often)


@pytest.mark.parametrize("written", [{"often": 2}, {"often": 1, "times": 2}])
def test_a_back_and_a_front_in_bands_are_two_pieces_of_both_yarns(written):
    main, band = patched(Fraction(5, 6), **written), patched(Fraction(1, 6), **written)
    for sizes in ({"main": {"body": main}, "ochre": {"body": band}}, {"main": {None: main}, "ochre": {None: band}}):
        ((name, times, shares),) = outlined({"main": {"navy": 100}, "ochre": {"rust": 20}}, sizes)
        assert name in {"body", "main"}
        assert (times, shares) == (2, {"navy": Fraction(5, 6), "rust": Fraction(1, 6)})


def test_several_yarns_of_a_need_share_its_pieces_as_they_share_its_metres():
    sizes = {"main": {None: patched(Fraction(5, 6), 1)}, "ochre": {None: patched(Fraction(1, 6), 1)}}
    ((_, _, shares),) = outlined({"main": {"navy": 300, "slate": 100}, "ochre": {"rust": 20}}, sizes)
    assert shares == {"navy": Fraction(5, 8), "slate": Fraction(5, 24), "rust": Fraction(1, 6)}
    assert sum(shares.values()) == 1
