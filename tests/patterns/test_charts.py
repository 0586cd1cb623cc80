"""Stitches, floats and neighbours of charts: by hand, and against a count of every single stitch."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.charts import (
    Chart,
    Stripes,
    Work,
    chart_amount,
    chart_stitches,
    float_stitches,
    is_long,
    longest_float,
    neighbours,
    stripe_amount,
    stripe_stitches,
)
from patterns.needs import Amount
from patterns.patches import SHAPE_U
from stash.fabric import Gauge, loop_length_m

PLAIN = Work(Fraction(1), SHAPE_U)
LEGEND = {".": "main", "x": "motif", "o": "edging", "v": "motif"}
# Counted by hand, a square at a time: 13 of main, 7 of motif (x and v), 4 of edging, 24 in all.
HAND = (
    "..x..x",
    "x.xv..",
    ".oo..v",
    ".o.o.x",
)


def chart_of(
    rows: tuple[str, ...], across: int = 1, up: int = 1, *, flat: bool = False, floats: bool = True, work: Work = PLAIN
) -> Chart:
    return Chart(rows, LEGEND, {"one": (across, up)}, flat, floats, work)


def pairs(*names: str) -> frozenset[frozenset[str]]:
    """Pairs of needs, each written as "main motif"."""
    return frozenset(frozenset(one.split()) for one in names)


@pytest.mark.parametrize(("need", "stitches"), [("main", 13), ("motif", 7), ("edging", 4), ("cuff", 0)])
def test_the_stitches_of_a_chart_are_those_counted_by_hand(need: str, stitches: int) -> None:
    # main 4 + 3 + 3 + 3, motif 2 + 3 + 1 + 1, edging 0 + 0 + 2 + 2.
    assert stitches == chart_stitches(chart_of(HAND), need, "one")
    assert stitches * 15 == chart_stitches(chart_of(HAND, 5, 3), need, "one")


@pytest.mark.parametrize(("need", "behind"), [("main", 11), ("motif", 17), ("edging", 8)])
def test_in_the_round_floats_lie_behind_all_other_stitches_of_a_row(need: str, behind: int) -> None:
    # main 2 + 3 + 3 + 3; motif 4 + 3 + 5 + 5; edging is in two rows only: 4 + 4.
    assert behind == float_stitches(chart_of(HAND), need, "one")
    assert behind * 6 == float_stitches(chart_of(HAND, 3, 2), need, "one")


@pytest.mark.parametrize(("need", "behind"), [("main", 7), ("motif", 3), ("edging", 1)])
def test_worked_flat_floats_end_at_the_outermost_stitches(need: str, behind: int) -> None:
    # Row by row: main 1 (..x..), 2 (.xv..), 2 (.oo..), 2 (.o.o.); motif 2 (x..x), 1 (x.xv); edging 0 (oo), 1 (o.o).
    assert behind == float_stitches(chart_of(HAND, flat=True), need, "one")


def test_worked_flat_the_repeats_are_bridged() -> None:
    # x.. three times: x..x..x.. has two floats of two stitches.
    assert float_stitches(chart_of(("x..",), 3, flat=True), "motif", "one") == 4


def test_what_is_not_carried_has_no_floats() -> None:
    chart = chart_of(HAND, 3, 2, floats=False)
    assert [float_stitches(chart, need, "one") for need in ("main", "motif")] == [0, 0]
    assert longest_float(chart, "motif") == (0, 0)


def test_the_longest_float_goes_over_the_seam() -> None:
    rows = ("x.x...", ".x.x..")
    assert longest_float(chart_of(rows), "motif") == (3, 0)
    assert longest_float(chart_of(rows, flat=True), "motif") == (1, 0)
    assert longest_float(chart_of(rows, 2, flat=True), "motif") == (3, 0)
    assert longest_float(chart_of(("......", "...x.."), flat=True), "motif") == (0, 0)
    assert longest_float(chart_of(("......", "...x..")), "motif") == (5, 1)


def test_a_float_is_long_over_five_stitches_or_over_an_inch_broadly() -> None:
    """More than 5 stitches, or more than 2.5 cm; common practice, no source."""
    dk, chunky = Gauge(Fraction("2.2"), None), Gauge(Fraction("1.2"), None)
    assert [is_long(stitches, dk) for stitches in (5, 6)] == [False, True]
    assert [is_long(stitches, chunky) for stitches in (3, 4)] == [False, True]  # 3 / 1.2 = 2.5 cm
    assert [is_long(stitches, None) for stitches in (5, 6)] == [False, True]


def test_a_need_takes_a_loop_a_stitch_and_the_width_of_what_it_is_carried_behind() -> None:
    # With 21 stitches and 27.5 rows in 10 cm a loop is sqrt(23.1 / (2.1 x 2.75)) = 2 cm (Munden 1959), a stitch 1/2.1
    # cm wide. Motif, 5 repeats across and 3 up: 105 loops, 2.1 m; behind 255 stitches, 255 / 210 m.
    gauge = Gauge(Fraction("2.1"), Fraction("2.75"))
    assert loop_length_m(gauge) == Fraction(2, 100)
    chart = chart_of(HAND, 5, 3)
    assert chart_amount(chart, "motif", "one", gauge) == Amount(Fraction("2.1") + Fraction(255, 210), 0.10)
    worked = chart_of(HAND, 5, 3, work=Work(Fraction(3, 2), 0.15))
    assert chart_amount(worked, "motif", "one", gauge) == Amount(Fraction("3.15") + Fraction(255, 210), 0.15)


def test_stripes_take_a_loop_a_stitch() -> None:
    gauge = Gauge(Fraction("2.1"), Fraction("2.75"))
    # 22 rows of main and 4 of ochre, each of 96 stitches, three times.
    stripes = Stripes((("main", 20), ("ochre", 4), ("main", 2)), {"one": 96}, {"one": 3}, PLAIN)
    assert [stripe_stitches(stripes, need, "one") for need in ("main", "ochre")] == [6336, 1152]
    assert stripe_amount(stripes, "ochre", "one", gauge) == Amount(Fraction("23.04"), 0.10)


def test_needs_side_by_side_are_those_whose_stitches_share_an_edge() -> None:
    rows = ("..x", "..x", "o..")
    assert neighbours(chart_of(rows, flat=True)) == pairs("main motif", "main edging")
    assert neighbours(chart_of(("..xo",), flat=True)) == pairs("main motif", "motif edging")
    assert neighbours(chart_of(("..xo",))) == pairs("main motif", "motif edging", "main edging")
    assert neighbours(chart_of(("..", "xx", "oo"), up=2)) == pairs("main motif", "motif edging", "main edging")
    assert neighbours(chart_of(("..", "xx", "oo"))) == pairs("main motif", "motif edging")


def test_corners_are_no_edges() -> None:
    assert neighbours(chart_of(("x.", ".o"), flat=True)) == pairs("main motif", "main edging")


charts = st.builds(
    lambda columns, cells, across, up, flat, floats: chart_of(
        tuple("".join(cells[at : at + columns]) for at in range(0, len(cells) - len(cells) % columns, columns))
        or ("".join(cells),),
        across,
        up,
        flat=flat,
        floats=floats,
    ),
    st.integers(1, 7),
    st.lists(st.sampled_from(".xov"), min_size=1, max_size=40),
    st.integers(1, 3),
    st.integers(1, 3),
    st.booleans(),
    st.booleans(),
)


def drawn(chart: Chart) -> list[list[str]]:
    """The whole fabric, a need a stitch."""
    across, up = chart.repeats["one"]
    return [[chart.legend[symbol] for _ in range(across) for symbol in row] for _ in range(up) for row in chart.rows]


@given(charts)
def test_stitches_are_those_of_the_whole_fabric(chart: Chart) -> None:
    fabric = [need for row in drawn(chart) for need in row]
    for need in ("main", "motif", "edging"):
        assert fabric.count(need) == chart_stitches(chart, need, "one")


def carried(row: list[str], need: str, *, flat: bool) -> list[int]:
    """Walk along a row from each stitch of the need to its next: over how many others each time."""
    own = [at for at, one in enumerate(row) if one == need]
    walks = []
    for start in own:
        at, over = start + 1, 0
        while at < len(row) * 2 and row[at % len(row)] != need:
            over += 1
            at += 1
        if not (flat and at >= len(row)):
            walks.append(over)
    return walks


@given(charts)
def test_floats_are_those_walked_stitch_by_stitch(chart: Chart) -> None:
    for need in ("main", "motif", "edging"):
        walks = [carried(row, need, flat=chart.flat) if chart.floats else [] for row in drawn(chart)]
        assert sum(map(sum, walks)) == float_stitches(chart, need, "one")
        assert max((over for row in walks for over in row), default=0) == longest_float(chart, need)[0]


@given(charts)
def test_neighbours_are_those_of_an_independent_pixel_count(chart: Chart) -> None:
    """Every pixel of the whole fabric looks right and up; in the round the row goes on at its beginning."""
    fabric = drawn(chart)
    met: dict[frozenset[str], int] = {}
    for y, row in enumerate(fabric):
        for x, need in enumerate(row):
            beside = [row[x + 1]] if x + 1 < len(row) else [] if chart.flat else [row[0]]
            above = [fabric[y - 1][x]] if y else []
            for other in (*beside, *above):
                if other != need:
                    met[frozenset((need, other))] = met.get(frozenset((need, other)), 0) + 1
    assert met.keys() == neighbours(chart)
