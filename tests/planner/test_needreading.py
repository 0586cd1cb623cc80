"""Answers that `needs` is given, and the figures it makes of gauges, bands and motifs."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.bodies import FLAT, TORSOS
from patterns.shapes import SHAPES
from planner.needfile import pattern_text
from planner.needing import (
    PUBLISHED,
    Band,
    Motif,
    Wish,
    band_shares,
    class_for,
    estimate,
    middle_column,
    motif_share,
    relaxed_rows,
)
from planner.needreading import (
    read_bands,
    read_depth,
    read_ease,
    read_flat,
    read_gauge,
    read_motif,
    read_pattern_name,
    read_sizes,
    read_swatch,
    read_yarn,
)
from stash.units import INCH_M, UnitError
from stash.weightclass import CLASSES

WOMEN = [one for one in TORSOS if one.group == "woman"]


def test_the_middles_of_the_published_gauges() -> None:
    # Craft Yarn Council, standard yarn weight system, stitches in 4 in: 0 33-40, 1 27-32, 2 23-26, 3 21-24, 4 16-20,
    # 5 12-15, 6 7-11, 7 6 and fewer (the most of these is taken)
    middles = [middle_column(one).stitches for one in CLASSES]
    assert middles == [Fraction(one) for one in ("36.5", "29.5", "24.5", "22.5", "18", "13.5", "9", "6")]


def test_rows_lie_beside_stitches_as_in_relaxed_plain_knitting() -> None:
    # Kc / Kw = 5.5 / 4.2 (Munden 1959): 22 stitches, 28.8 rows
    assert relaxed_rows(Fraction(22)) == Fraction("28.8")


@given(st.integers(1, 60))
def test_a_gauge_within_a_class_is_that_class(stitches: int) -> None:
    found = class_for(Fraction(stitches))
    held = [one.number for one, (low, high) in zip(CLASSES, PUBLISHED, strict=True) if low <= stitches <= high]
    assert not held or found.number == held[0]


def test_a_gauge_between_or_beyond_classes_is_the_nearest() -> None:
    assert [class_for(Fraction(one)).number for one in ("60", "20.4", "15.6", "1")] == [0, 4, 4, 7]


@given(st.lists(st.tuples(st.sampled_from(["main", "ochre", "sand"]), st.integers(1, 1000)), min_size=1, max_size=9))
def test_bands_make_a_whole_by_their_rows(bands: list[tuple[str, int]]) -> None:
    shares = band_shares(tuple(Band(*one) for one in bands))
    assert sum(shares.values()) == 1
    for name, share in shares.items():
        rows = sum(own for need, own in bands if need == name)
        assert float(share) == pytest.approx(rows / sum(own for _, own in bands), abs=3e-6)


@given(st.integers(1, 9999))
def test_the_two_colours_of_a_motif_change_places(part: int) -> None:
    one, other = motif_share(Fraction(part, 10_000)), motif_share(1 - Fraction(part, 10_000))
    assert float(one + other) == pytest.approx(1, abs=2e-6)
    assert one >= Fraction(19, 100)  # floats behind all the others: 1 / 4.2 of 1 + 1 / 4.2


def test_sizes_are_taken_in_the_tables_order() -> None:
    assert [one.size for one in read_sizes(WOMEN)("M, S")] == ["S", "M"]
    with pytest.raises(UnitError, match="no size 'Q'"):
        read_sizes(WOMEN)("M, Q")


def test_a_flat_things_own_size_is_width_and_length() -> None:
    (own,) = read_flat(FLAT["scarf"])("12 in x 72 in")
    assert (own["width"], own["length"]) == (12 * INCH_M, 72 * INCH_M)
    assert read_flat(FLAT["scarf"])("30 x 180 cm") == read_flat(FLAT["scarf"])("30 cm x 180 cm")
    assert [one.size for one in read_flat(FLAT["scarf"])("long")] == ["long"]
    for text in ("30 cm", "0 cm x 1 m", "30 m x 1 m"):
        with pytest.raises(UnitError):
            read_flat(FLAT["scarf"])(text)


def test_an_ease_may_be_below_zero() -> None:
    assert [read_ease(text) for text in ("10 cm", "-5 cm", "0 cm", "2 in")] == [
        *(Fraction(1, 10), Fraction(-1, 20), 0, 2 * INCH_M)
    ]
    for text in ("2 m", "loose", "--5 cm"):
        with pytest.raises(UnitError):
            read_ease(text)


def test_a_gauge_has_stitches_and_perhaps_rows_over_a_length() -> None:
    assert read_gauge("22 x 30") == (22, 30, Fraction(1, 10))
    assert read_gauge("22") == (22, None, Fraction(1, 10))
    assert read_gauge("22 × 30.5 over 4 in") == (22, Fraction("30.5"), 4 * INCH_M)
    for text in (
        "",
        "22 x",
        "x 30",
        "22 x 30 x 2",
        "0",
        "-3",
        "22 over 0 cm",
        "900 x 30",
        "22 x 30 over 4",
        "900 over 1 m",
    ):
        with pytest.raises(UnitError):
            read_gauge(text)


def test_a_swatch_is_measured_or_weighed() -> None:
    measured, weighed = read_swatch("20 cm x 18 cm, 31 m"), read_swatch("20 x 18 cm, 14 g of 230 m/100g")
    assert (measured.width, measured.height, measured.length) == (Fraction(1, 5), Fraction(9, 50), 31)
    assert weighed.length == Fraction("32.2")
    for text in ("20 cm, 31 m", "20 x 20 cm", "20 x 20 cm, 14 g", "20 x 20 cm, 14 g of blue", "0 x 2 cm, 3 m"):
        with pytest.raises(ValueError):
            read_swatch(text)


def test_bands_are_names_with_rows() -> None:
    assert read_bands("main 20, sea blue 4 rows") == (Band("main", 20), Band("sea blue", 4))
    for text in (
        "",
        "main",
        "main 0",
        "main 1001",
        "main -3",
        "a#2 5",
        "main 20,",
        ", ".join(f"c{n} 1" for n in range(13)),
    ):
        with pytest.raises(UnitError):
            read_bands(text)


def test_an_edging_may_be_left_out() -> None:
    assert [read_depth(text) for text in ("0 cm", "6 cm")] == [0, Fraction(6, 100)]
    with pytest.raises(UnitError, match="more than can be"):
        read_depth("2 m")


def test_a_motif_may_name_its_part() -> None:
    read = read_motif(("body", "yoke"))
    assert [read("35%"), read("35 % of yoke")] == [Motif(Fraction(35, 100), one) for one in (None, "yoke")]
    for text in ("0%", "100%", "0.35", "35% of hat", "yoke"):
        with pytest.raises(UnitError):
            read(text)


def test_a_class_is_told_by_name_or_number() -> None:
    assert [read_yarn(text).number for text in ("dk", "4", "super fine")] == [3, 4, 1]
    with pytest.raises(UnitError, match="is not a weight class"):
        read_yarn("8")


def test_a_pattern_name_is_a_files_name_anywhere() -> None:
    assert read_pattern_name("harbour-raglan.yaml") == "harbour-raglan"
    for text in ("", "a/b", "..", ".x", "-x", "CON", "lpt1", "x" * 65, "é"):
        with pytest.raises(UnitError):
            read_pattern_name(text)


@given(
    st.lists(st.tuples(st.text(min_size=1, max_size=60).map(str.strip), st.integers(1, 400)), min_size=1, max_size=6)
)
def test_whatever_bands_are_called_they_are_refused_or_read_back_from_the_file(told: list[tuple[str, int]]) -> None:
    try:
        bands = read_bands(", ".join(f"{name} {rows}" for name, rows in told))
    except UnitError:
        return
    scarf = SHAPES["scarf"]
    found = estimate(Wish(scarf, "plain", scarf.sizes, (middle_column(CLASSES[3]),), bands=bands), Fraction(95, 100))
    assert "yarn: dk\n" in pattern_text(found, "scarf")  # which reads it back and compares
