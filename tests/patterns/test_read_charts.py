"""Charts and stripes in a pattern's file: what they say, and the amounts counted in them."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from patterns.charts import Work
from patterns.needs import Amount, Pattern
from patterns.read import read_pattern

# A loop of sqrt(23.1 / (2.1 x 2.75)) = 2 cm and a stitch of 1/2.1 cm.
HAT = """\
yarn: dk
gauge: {{stitches: 21, rows: 27.5}}
chart: {{legend: {{".": main, "x": motif}}, rows: ["x..", "..."]{more}}}
needs: {{main: {{}}, motif: {{}}}}
sizes:
  child: {{main: {main}, motif: chart}}
  adult: {{main: 90 m, motif: 30 m}}
"""


def pattern_of(text: str) -> Pattern:
    pattern, faults = read_pattern("hat.yaml", text.encode())
    assert faults == []
    assert pattern is not None
    return pattern


def hat(more: str = "", main: str = "chart") -> Pattern:
    return pattern_of(HAT.format(more=more, main=main))


def test_a_chart_is_kept_as_it_is_seen() -> None:
    chart = hat(", repeat: 30 x 4, worked: flat, floats: no").chart
    assert chart is not None
    assert (chart.rows, chart.legend) == (("x..", "..."), {".": "main", "x": "motif"})
    assert (chart.flat, chart.floats) == (True, False)
    assert chart.repeats == {"child": (30, 4), "adult": (30, 4)}
    assert chart.high == Fraction(210, 275)


def test_what_a_chart_leaves_unsaid_is_one_repeat_plain_in_the_round_with_floats() -> None:
    chart = hat().chart
    assert chart is not None
    assert (chart.flat, chart.floats, chart.work) == (False, True, Work(Fraction(1), 0.10))
    assert chart.repeats == {"child": (1, 1), "adult": (1, 1)}


def test_repeats_may_differ_by_size_and_be_left_out_where_nothing_is_counted() -> None:
    chart = hat(", repeat: {child: 30 x 4}").chart
    assert chart is not None
    assert chart.repeats == {"child": (30, 4)}


def test_an_amount_may_be_what_the_chart_counts() -> None:
    # 30 across and 4 up: main has 5 x 120 loops and is carried behind 120 stitches, motif 120 loops and 240 stitches.
    child = hat(", repeat: 30 x 4").sizes["child"]
    assert child["main"] == {None: Amount(12 + Fraction(120, 210), 0.10)}
    assert child["motif"] == {None: Amount(Fraction("2.4") + Fraction(240, 210), 0.10)}


def test_a_list_of_amounts_adds_up_whatever_they_are() -> None:
    # 40 m are known to 5 %, 20 m from the chart to 10 %, and both may err the same way: (2 + 2) / 60.
    amount = hat(", repeat: 50 x 4, floats: no", "[chart, 40 m]").sizes["child"]["main"][None]
    assert amount.metres == 60
    assert amount.relative_u == pytest.approx(4 / 60)


def test_a_part_may_be_what_the_chart_counts() -> None:
    parts = hat(", repeat: 30 x 4", "{brim: 9 m, crown: chart}").sizes["child"]["main"]
    assert [amount.metres for amount in parts.values()] == [9, 12 + Fraction(120, 210)]


@pytest.mark.parametrize(
    ("said", "factor", "u"),
    [
        ("stitch: plain", "1", 0.10),
        ("stitch: garter", "1.12", math.hypot(0.10, 0.06)),
        ("stitch-factor: 1.5", "1.5", 0.15),
    ],
)
def test_a_stitch_takes_its_factor_of_yarn(said: str, factor: str, u: float) -> None:
    chart = hat(f", {said}").chart
    assert chart is not None
    assert chart.work == Work(Fraction(factor), u)


def test_the_gauge_may_lack_rows() -> None:
    # Kw / stitches = 4.2 / 2.1 = 2 cm a loop (Munden 1959); without rows a stitch is drawn square.
    text = HAT.format(more=", repeat: 30 x 4", main="chart").replace(", rows: 27.5", "")
    pattern = pattern_of(text)
    assert pattern.chart is not None
    assert pattern.chart.high == 1
    assert pattern.sizes["child"]["motif"] == {None: Amount(Fraction("2.4") + Fraction(240, 210), 0.10)}


STRIPED = """\
yarn: dk
gauge: {stitches: 21, rows: 27.5}
stripes: {rows: [main 20, sea green 2 rows, main 2], stitches: {S: 100, M: 110}, repeat: {S: 2, M: 3}}
needs: {main: {}, sea green: {}}
sizes: {S: {main: [stripes, 6 m], sea green: stripes}, M: {main: {body: stripes}, sea green: stripes}}
"""


def test_stripes_are_counted_by_their_rows() -> None:
    sizes = pattern_of(STRIPED).sizes
    assert sizes["S"]["main"][None].metres == 22 * 100 * 2 * Fraction(2, 100) + 6
    assert sizes["S"]["sea green"] == {None: Amount(Fraction(8), 0.10)}
    assert sizes["M"]["main"] == {"body": Amount(Fraction("145.2"), 0.10)}


def test_stripes_ask_no_contrast() -> None:
    assert [need.colour.against for need in pattern_of(STRIPED).needs.values()] == [(), ()]


def test_a_chart_of_500_by_500_is_read() -> None:
    rows = "".join(f'    - "{"x." * 250}"\n' for _ in range(500))
    text = (
        'yarn: dk\nneeds: {main: {}, motif: {}}\nsizes: {one: {main: 9 m, motif: 9 m}}\nchart:\n  legend: {".": main, '
    )
    chart = pattern_of(f'{text}"x": motif}}\n  rows:\n{rows}').chart
    assert chart is not None
    assert (len(chart.rows), chart.width) == (500, 500)


def test_the_faults_of_a_chart_are_told_once() -> None:
    _, faults = read_pattern("hat.yaml", HAT.format(more=", repeat: many", main="chart").encode())
    assert [(fault.place.line, fault.message) for fault in faults] == [
        (3, "'many' does not say how many repeats there are")
    ]
