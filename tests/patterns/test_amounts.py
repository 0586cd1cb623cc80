"""How much yarn a need takes, from each way of writing it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patterns.needs import Amount
from patterns.read import read_pattern
from stash.fabric import Gauge, metres_per_square_metre

PATTERN = (
    "yarn: dk\ngauge: {{stitches: 22, rows: 28.8, over: 10 cm}}\nneeds: {{main: {{}}}}\nsizes: {{one: {{main: {}}}}}\n"
)


def parts_of(written: str) -> dict[str | None, Amount]:
    pattern, faults = read_pattern("cowl.yaml", PATTERN.format(written).encode())
    assert [fault for fault in faults if not fault.warning] == []
    assert pattern is not None
    return dict(pattern.sizes["one"]["main"])


def amount_of(written: str) -> Amount:
    return parts_of(written)[None]


def test_a_length_is_known_to_five_percent() -> None:
    assert Amount(Fraction("192.024"), 0.05) == amount_of("210 yd")


def test_seven_balls_are_six_and_a_half_give_or_take_half_a_ball() -> None:
    amount = amount_of("7 balls of 115 m")
    assert Fraction("747.5") == amount.metres
    assert pytest.approx(amount.relative_u) == 0.5 / 3**0.5 / 6.5


def test_nine_balls_of_125_m_cover_the_1080_m_they_were_bought_for() -> None:
    # ball count: 1080 m at 125 m a ball is 9 balls (a printed pattern's own table)
    amount = amount_of("9 balls of 125 m")
    assert abs(amount.metres - 1080) <= Fraction(125, 2)


def test_two_balls_are_read_with_a_warning() -> None:
    _, faults = read_pattern("cowl.yaml", PATTERN.format("2 balls of 115 m").encode())
    assert [fault.warning for fault in faults] == [True]
    _, faults = read_pattern("cowl.yaml", PATTERN.format("3 balls of 115 m").encode())
    assert faults == []


def test_parts_keep_their_order_and_names() -> None:
    parts = parts_of("{body: 560 m, left sleeve: 150 m, right sleeve: 2 balls of 80 m}")
    assert list(parts) == ["body", "left sleeve", "right sleeve"]
    assert [amount.metres for amount in parts.values()] == [560, 150, 120]


def test_loops_of_half_a_centimetre_take_4620_metres_a_square_metre() -> None:
    # l = 0.5 cm, Kc 5.5, Kw 4.2: 92.4 loops in a cm2 (GATE Textile 2015, question 54); 92.4 x 0.5 cm = 46.2 m in 100 cm2
    assert metres_per_square_metre(Gauge(Fraction("8.4"), Fraction(11))) == 4620


def test_22_stitches_in_10_cm_take_1210_metres_a_square_metre() -> None:
    # loop 1.91 cm, 28.8 rows in 10 cm (worked from Munden 1959): 1210 m
    assert round(metres_per_square_metre(Gauge(Fraction("2.2"), Fraction("2.88")))) == 1210


def test_a_shape_is_area_times_metres_a_square_metre() -> None:
    amount = amount_of("{width: 50 cm, length: 60 cm, times: 2}")
    assert metres_per_square_metre(Gauge(Fraction("2.2"), Fraction("2.88"))) * Fraction("0.6") == amount.metres
    assert amount.relative_u == 0.10


def test_a_drop_shoulder_pullover_is_0_990_square_metres() -> None:
    # Two pieces of 20 x 28 in, two sleeves (8 + 15)/2 x 18 in: 1534 in2 (a handbook's pullover); at 22 stitches 1310 yd,
    # inside the handbook's 1000-2000 yd for its class 3
    parts = parts_of(
        "{body: {width: 20 in, length: 28 in, times: 2}, sleeves: {width: [8 in, 15 in], length: 18 in, times: 2}}"
    )
    metres = sum(amount.metres for amount in parts.values())
    assert 1534 * Fraction("0.0254") ** 2 * metres_per_square_metre(Gauge(Fraction("2.2"), Fraction("2.88"))) == metres
    assert pytest.approx(float(metres / Fraction("0.9144")), abs=2) == 1310


def test_another_stitch_takes_its_factor_and_is_less_sure() -> None:
    plain, cabled = (
        amount_of("{width: 50 cm, length: 60 cm}"),
        amount_of("{width: 50 cm, length: 60 cm, stitch-factor: 1.2}"),
    )
    assert plain.metres * Fraction("1.2") == cabled.metres
    assert plain.relative_u < cabled.relative_u


def test_a_swatch_overrides_the_gauge() -> None:
    # 31 m in 0.04 m2, 0.3 m2 wanted: 232.5 m
    swatch = "{length: 31 m, width: 20 cm, height: 20 cm}"
    assert Amount(Fraction("232.5"), 0.03) == amount_of(f"{{width: 50 cm, length: 60 cm, swatch: {swatch}}}")
