"""Patches: their yarn, how surely, and as the text of a pattern file that reads back the same."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from patterns.needs import Amount
from patterns.patches import Patch, Swatch, patch_amount, patch_text, plain_decimal, together
from patterns.read import MOST_METRES, read_pattern
from stash.fabric import KW, Gauge
from stash.stitches import STITCHES

GAUGE = Gauge(Fraction("2.2"), Fraction("2.88"))
FILE = "yarn: dk\ngauge: {{stitches: 22, rows: 28.8}}\nneeds: {{main: {{}}}}\nsizes: {{one: {{main: {}}}}}\n"
millimetres = st.integers(1, 9999).map(lambda whole: Fraction(whole, 1000))
swatches = st.builds(Swatch, millimetres, millimetres, millimetres)


@st.composite
def patches(draw: st.DrawFn) -> Patch:
    worked = draw(st.sampled_from(["plain", "stitch", "factor", "swatch"]))
    return Patch(
        draw(millimetres | st.just(Fraction(0))),
        draw(millimetres),
        draw(millimetres),
        Fraction(draw(st.integers(1, 9))),
        Fraction(draw(st.integers(100, 1_000_000)), 1_000_000),
        draw(st.sampled_from(list(STITCHES.values()))) if worked == "stitch" else None,
        Fraction(draw(st.integers(1, 99)), 10) if worked == "factor" else None,
        draw(swatches) if worked == "swatch" else None,
    )


def read(written: str) -> Amount:
    pattern, faults = read_pattern("cowl.yaml", FILE.format(written).encode())
    assert [fault.message for fault in faults] == []
    assert pattern is not None
    return pattern.sizes["one"]["main"][None]


@given(patches())
def test_a_patch_reads_back_to_the_same_metres_as_surely(patch: Patch) -> None:
    expected = patch_amount(patch, GAUGE)
    assume(expected.metres <= MOST_METRES)  # more is refused
    assert expected == read(patch_text(patch))


@given(st.lists(patches(), min_size=1, max_size=4))
def test_several_patches_read_back_as_their_sum(several: list[Patch]) -> None:
    expected = together([patch_amount(one, GAUGE) for one in several])
    assume(expected.metres <= MOST_METRES)
    assert expected == read(f"[{', '.join(map(patch_text, several))}]")


@given(patches(), st.integers(1, 9999))
def test_two_shares_that_make_a_whole_take_what_the_whole_takes(patch: Patch, part: int) -> None:
    shares = (Fraction(part, 10_000), 1 - Fraction(part, 10_000))
    metres = sum(patch_amount(replace(patch, share=share), GAUGE).metres for share in shares)
    assert patch_amount(replace(patch, share=Fraction(1)), GAUGE).metres == metres


def test_a_named_stitch_brings_its_factor_and_its_own_uncertainty() -> None:
    plain, rib = (read(f"{{width: 50 cm, length: 60 cm, stitch: {one}}}") for one in ("plain", "rib"))
    assert plain.metres * STITCHES["rib"].factor ** 2 == rib.metres
    assert plain.relative_u == 0.10
    assert rib.relative_u == math.hypot(0.10, 2 * 0.08)


def test_errors_of_one_thing_add_up_and_do_not_average_out() -> None:
    # 3 + 1 parts at 10 % and 18 %: (3 x 10 + 1 x 18) / 4 = 12 %
    found = together([Amount(Fraction(300), 0.10), Amount(Fraction(100), 0.18)])
    assert (found.metres, found.relative_u) == (400, pytest.approx(0.12))
    assert together([Amount(Fraction(9), 0.1)] * 4).relative_u == pytest.approx(0.1)


def test_nothing_together_is_nothing() -> None:
    assert together([]) == Amount(Fraction(0), 0.0)


def test_a_stranded_fabric_holds_one_float_a_stitch_more() -> None:
    # a float lies behind each stitch, one stitch wide: l / Kw of a loop of l (Munden 1959); 1 + 1 / 4.2 = 1.238
    stranded = patch_amount(Patch(Fraction(1), Fraction(1), Fraction(1), stitch=STITCHES["stranded"]), GAUGE)
    plain = patch_amount(Patch(Fraction(1), Fraction(1), Fraction(1)), GAUGE)
    assert float(stranded.metres / plain.metres) == pytest.approx(float(1 + 1 / KW), abs=0.005)


def test_a_triangle_is_written_with_one_end_of_no_width() -> None:
    assert patch_text(Patch(Fraction(0), Fraction("1.2"), Fraction("0.6"))) == "{width: [0 cm, 120 cm], length: 60 cm}"
    triangle, half = read("{width: [0 cm, 120 cm], length: 60 cm}"), read("{width: 60 cm, length: 60 cm}")
    assert triangle == half


def test_a_patch_without_swatch_or_gauge_says_so() -> None:
    with pytest.raises(ValueError, match="needs a gauge"):
        patch_amount(Patch(Fraction(1), Fraction(1), Fraction(1)), None)


def test_what_a_file_cannot_hold_is_not_written() -> None:
    assert plain_decimal(Fraction("28.8")) == "28.8"
    with pytest.raises(ValueError, match="four decimals"):
        plain_decimal(Fraction(1, 3))
