"""Reading a stash: donors, lots, skeins and what follows from how they are written."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from stash.read import read_stash

if TYPE_CHECKING:
    from stash.lots import Lot, Skein

LOT = """\
{scale_file}donors:
  crew: {{garment: crew-neck pullover, fibre: "80% wool, 20% polyamide", mass: 486 g, seams: linked}}
lots:
  slate:
    donor: crew
    fibre: 80% wool, 20% polyamide
    colour: "#5b6770"
    count: {count}
    {more}
    skeins:
      s: {skein}
"""


def lot_of(*, skein: str = "118 g", count: str = "420 m/100g", more: str = "", scale_file: str = "") -> Lot:
    text = LOT.format(skein=skein, count=count, more=more, scale_file=scale_file)
    found = read_stash([("stash.yaml", text.encode())])
    assert found.faults == ()
    return found.stash.lots["slate"]


def skein_of(skein: str, **how: str) -> Skein:
    return lot_of(skein=skein, **how).skeins[0]


def test_a_donor_keeps_what_is_said_of_it() -> None:
    text = LOT.format(skein="118 g", count="dk", more="", scale_file="")
    donor = read_stash([("stash.yaml", text.encode())]).stash.donors["crew"]
    assert ("crew-neck pullover", Fraction(486), "linked") == (donor.garment, donor.mass_g, donor.seams)
    assert donor.blend is not None
    assert {"polyamide": Fraction(1, 5), "wool": Fraction(4, 5)} == dict(donor.blend.shares)


def test_a_skein_is_a_mass_or_a_length_or_both() -> None:
    assert (Fraction(118), None) == (skein_of("118 g").mass_g, skein_of("118 g").length_m)
    assert (None, Fraction("192.024")) == (skein_of("210 yd").mass_g, skein_of("210 yd").length_m)
    both = skein_of("{mass: 100 g, length: 415 m}")
    assert (Fraction(100), Fraction(415)) == (both.mass_g, both.length_m)


def test_three_pieces_are_taken_to_be_equal_and_said_to_be() -> None:
    skein = skein_of("{mass: 96 g, pieces: 3}")
    assert ((Fraction(1, 3),) * 3, True) == (skein.shares, skein.assumed_equal)


def test_one_piece_is_no_assumption() -> None:
    assert not skein_of("{mass: 96 g, pieces: 1}").assumed_equal


def test_measured_pieces_are_shares_of_the_whole() -> None:
    skein = skein_of("{length: 210 yd, pieces: [90 yd, 60 yd, 60 yd]}")
    assert ((Fraction(3, 7), Fraction(2, 7), Fraction(2, 7)), False) == (skein.shares, skein.assumed_equal)


@pytest.mark.parametrize(
    ("pieces", "fits"), [("[106 m, 106 m]", False), ("[105 m, 106.1 m]", False), ("[105 m, 106.09 m]", True)]
)
def test_pieces_may_miss_the_stated_length_by_one_percent(pieces: str, fits: bool) -> None:
    text = LOT.format(skein=f"{{length: 209 m, pieces: {pieces}}}", count="dk", more="", scale_file="")
    assert fits == (read_stash([("stash.yaml", text.encode())]).faults == ())


@pytest.mark.parametrize(
    ("mass", "scale"),
    [("42 g", "1"), ("5.1 g", "0.1"), ("4 oz", "1"), ("0.118 kg", "1"), ("1.75 oz", "0.2834952313")],
)
def test_without_a_stated_scale_the_last_digit_counts_never_coarser_than_a_gram(mass: str, scale: str) -> None:
    assert float(Fraction(scale)) == pytest.approx(float(skein_of(mass).scale_g), abs=1e-9)


def test_the_nearest_stated_scale_counts() -> None:
    assert Fraction(5) == skein_of("118 g", scale_file="scale: 5 g\n").scale_g
    assert Fraction(2) == skein_of("118 g", scale_file="scale: 5 g\n", more="scale: 2 g").scale_g
    of_sample = "{length: 100 m, mass: 42 g, scale: 0.1 g}"
    near = lot_of(count=of_sample, more="scale: 2 g")
    far = lot_of(count="{length: 100 m, mass: 42 g}", more="scale: 2 g")
    assert near.count.relative_u < far.count.relative_u
    assert Fraction(2) == near.skeins[0].scale_g


def test_a_length_alone_has_no_scale() -> None:
    assert Fraction(0) == skein_of("210 m").scale_g


def test_a_sample_of_turns_gives_the_count() -> None:
    # 42 g in 120 turns of 1.5 m = 180 m: 233.3 tex (worked by hand)
    count = lot_of(count="{turns: 120, around: 1.5 m, mass: 42 g, weighed: apart}").count
    assert (Fraction(700, 3), True) == (count.tex, count.apart)


def test_felting_follows_the_blend_unless_it_is_stated() -> None:
    assert lot_of().felts is True  # 80 % wool
    assert lot_of(more="felts: no").felts is False
    assert lot_of(more="felts: unknown").felts is None


@pytest.mark.parametrize(("written", "bleeds"), [("yes", True), ("no", False), ("untested", None)])
def test_bleeding_is_yes_no_or_untested(written: str, bleeds: bool | None) -> None:
    assert bleeds == lot_of(more=f"bleeds: {written}").bleeds


def test_untested_is_what_nothing_said_means() -> None:
    assert lot_of().bleeds is None


def test_a_colour_may_be_measured_lab() -> None:
    assert pytest.approx(_colour("{lab: [45.5, 10, -3.25]}")) == (45.5, 10.0, -3.25)


def _colour(written: str) -> tuple[float, float, float]:
    text = LOT.format(skein="118 g", count="dk", more="", scale_file="").replace('"#5b6770"', written)
    return read_stash([("stash.yaml", text.encode())]).stash.lots["slate"].colour.lab


def test_lots_are_in_the_order_of_their_names_whatever_the_files() -> None:
    def one(name: str) -> bytes:
        return f"lots: {{{name}: {{fibre: wool, colour: navy, count: dk, skeins: {{{name}-1: 5 g}}}}}}".encode()

    forth = read_stash([("a.yaml", one("slate")), ("b.yaml", one("ochre"))])
    back = read_stash([("a.yaml", one("ochre")), ("b.yaml", one("slate"))])
    assert ["ochre", "slate"] == list(forth.stash.lots) == list(back.stash.lots)


def test_a_lot_with_a_fault_is_still_known_by_its_name() -> None:
    found = read_stash([("a.yaml", b"lots: {slate: {fibre: wol}}")])
    assert ({}, frozenset({"slate"})) == (found.stash.lots, found.lot_ids)


def test_a_donor_may_lie_in_another_file() -> None:
    lot = b"lots: {slate: {donor: crew, fibre: wool, colour: navy, count: dk, skeins: {slate-1: 5 g}}}"
    assert read_stash([("a.yaml", lot), ("b.yaml", b"donors: {crew: {mass: 486 g}}")]).faults == ()


def test_mass_and_length_may_differ_by_two_combined_uncertainties() -> None:
    # 100 g of 420 m/100g (3 %): 420 m, u = hypot(12.6, 1.2 for the scale); the length 1.12 %. At 390 m: 2 x hypot(12.66, 4.37) = 26.8 m
    def faults(metres: int) -> int:
        text = LOT.format(skein=f"{{mass: 100 g, length: {metres} m}}", count="420 m/100g", more="", scale_file="")
        return len(read_stash([("stash.yaml", text.encode())]).faults)

    assert [faults(394), faults(392)] == [0, 1]


def test_a_no_break_space_may_stand_between_a_number_and_its_unit() -> None:
    text = "lots: {slate: {fibre: wool, colour: navy, count: 420 m/100g, skeins: {a: 210\u00a0m, b: 50\u00a0g}}}\n"
    found = read_stash([("stash.yaml", text.encode())])
    assert found.faults == ()
    assert [skein.length_m for skein in found.stash.lots["slate"].skeins] == [210, None]


def test_wraps_are_a_count_that_says_so() -> None:
    text = "lots: {slate: {fibre: wool, colour: navy, count: {wraps: 16}, skeins: {a: 50 g}}}\n"
    found = read_stash([("stash.yaml", text.encode())])
    assert found.faults == ()
    assert found.stash.lots["slate"].count.text == "16 wraps in an inch"


def test_notes_in_a_stash_change_nothing() -> None:
    plain = lot_of(scale_file="scale: 1 g\n")  # as long as the other, which lets places be compared
    assert lot_of(more="note: smells of cedar", scale_file="note: the chest\n") == plain


@pytest.mark.parametrize("more", ["fiber: 50% wol", "Colour: nothing", "cuont: 5"])
def test_what_stands_under_a_misspelt_key_beside_the_right_one_is_not_looked_at(more: str) -> None:
    text = LOT.format(skein="118 g", count="420 m/100g", more=more, scale_file="")
    (fault,) = read_stash([("stash.yaml", text.encode())]).faults
    assert fault.message == f"'{more.partition(':')[0]}' is not a key of a lot"


def test_of_two_misspelt_keys_the_first_is_taken_for_the_right_one() -> None:
    text = LOT.format(skein="118 g", count="420 m/100g", more="fiber: wool\n    fibr: wol", scale_file="")
    text = text.replace("    fibre: 80% wool, 20% polyamide\n", "")
    assert [fault.message for fault in read_stash([("stash.yaml", text.encode())]).faults] == [
        "'fiber' is not a key of a lot",
        "'fibr' is not a key of a lot",
    ]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("garment: pullover, fibre: wool", "'slate' stands below 'lots:', but is written as a donor"),
        ("seams: cut, fibre: wool", "'slate' stands below 'lots:', but is written as a donor"),
        ("garment: pullover, count: 230 m/100g", "'garment' is not a key of a lot"),
        ("garment: pullover, donor: crew", "'garment' is not a key of a lot"),
        ("garment: pullover, skeins: {a: 9 g}", "'garment' is not a key of a lot"),
    ],
)
def test_what_stands_below_lots_is_a_donor_only_where_nothing_in_it_is_a_lots(written: str, told: str) -> None:
    assert told in [
        fault.message for fault in read_stash([("stash.yaml", f"lots:\n  slate: {{{written}}}\n".encode())]).faults
    ]


@pytest.mark.parametrize(("written", "example"), [("1.2.3 m", "12.5 m"), ("1.2.3 g", "12.5 g")])
def test_what_is_no_number_is_answered_in_the_unit_that_is_meant(written: str, example: str) -> None:
    text = f"lots:\n  slate: {{fibre: wool, colour: navy, count: dk, skeins: {{s-1: {written}}}}}\n"
    (hint,) = [fault.hint for fault in read_stash([("stash.yaml", text.encode())]).faults if not fault.warning]
    assert hint.endswith(f"for example {example}")
