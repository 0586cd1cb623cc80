"""Published figures that no single module's tests hold; the others stand in the tests of the module they belong to."""

import math
from fractions import Fraction
from pathlib import Path

import pytest

from patterns.needs import ColourRule
from planner.cli import main
from planner.options import Contrast
from planner.prepwashing import fahrenheit
from planner.show.options import contrast_text
from planner.yarns import STRANDS_APART
from stash.count import TENSION_U, count_from_wraps, read_count
from stash.fabric import KC, KS, KW, Gauge, metres_per_square_metre
from stash.fibre import allowance, read_blend
from stash.measuring import pool
from stash.units import POUND_G, YARD_M
from stash.weightclass import class_mean, class_of, m_per_100g, read_class
from tests.stash.measured import laid

WOOL = read_blend("wool")
DEMO = Path(__file__).parents[1] / "planner" / "demo"


def test_knitting_is_reckoned_fully_relaxed():
    """Munden 1959, as handbooks restate it: Kc and Kw dry relaxed, wet relaxed, fully relaxed."""
    states = {"dry": ("5.0", "3.8"), "wet": ("5.3", "4.1"), "fully relaxed": ("5.5", "4.2")}
    products = {state: Fraction(kc) * Fraction(kw) for state, (kc, kw) in states.items()}
    assert (Fraction("5.5"), Fraction("4.2"), products["fully relaxed"]) == (KC, KW, KS)
    assert max(products.values()) == KS  # at one gauge, the most yarn


# A handbook's drop-shoulder pullover of 1534 square inches, 0.990 m2: stitches in 10 cm in the middle of each class's
# gauge, the yards worked out from them, and the handbook's own range (Knitting & Crocheting All-in-One, Dummies, table).
PULLOVER = {
    1: (30, 1786, 1500, 3200),
    2: ("24.5", 1459, 1200, 2500),
    3: (22, 1310, 1000, 2000),
    4: (18, 1072, 800, 1500),
    5: ("13.5", 803, 600, 1200),
    6: (9, 536, 400, 800),
}


@pytest.mark.parametrize("number", PULLOVER)
def test_a_pullover_by_geometry_lies_within_the_handbooks_range(number):
    across, yards, low, high = PULLOVER[number]
    stitches = Fraction(across) / 10
    area = 1534 * Fraction("0.0254") ** 2
    found = area * metres_per_square_metre(Gauge(stitches, stitches * KC / KW)) / YARD_M
    assert round(float(area), 3) == 0.990
    assert float(found) == pytest.approx(yards, abs=1)
    assert low <= found <= high


def test_a_52_gram_sample_on_a_gram_scale_is_400_tex_give_or_take_3():
    """52 g read to 1 g, u = 1/sqrt(12) g (JCGM 100 F.2.2.1, from memory), in 130.0 m to 0.5 %: 400.0 tex, u 2.99.

    The tension of a hand-held yarn comes on top of these two.
    """
    uncertainties = pytest.importorskip("uncertainties")
    mass = uncertainties.ufloat(52, 1 / math.sqrt(12))
    tex = 1000 * mass / uncertainties.ufloat(130.0, 0.005 * 130.0)
    pooled = pool([laid(130, 52)])
    assert (round(tex.n, 1), round(tex.s, 2)) == (400.0, 2.99)
    assert tex.n == pytest.approx(float(pooled.tex), rel=1e-12)
    assert tex.s / tex.n == pytest.approx(math.hypot(pooled.parts["scale"], pooled.parts["length"]), rel=1e-9)
    assert pooled.count().relative_u == pytest.approx(math.hypot(tex.s / tex.n, TENSION_U), rel=1e-9)


def test_metres_in_100_grams_and_yards_in_a_pound_from_tex():
    """Worked out: 100000 / tex and 496054.65 / tex."""
    for tex in (20, 238, 1000):
        assert m_per_100g(Fraction(tex)) == Fraction(100_000, tex)
        assert float(POUND_G * 1000 / YARD_M / tex) == pytest.approx(496054.65 / tex, rel=1e-8)


def test_moisture_is_that_of_carded_wool_and_staple_polyamide():
    """Regulation (EU) No 1007/2011, Annex IX: wool combed 18.25, carded or unknown 17.00; polyamide staple 6.25, filament 5.75.

    A label tells neither, and reclaimed yarn does not show it: the regulation's figure for not knowing, and the hand
    knitter's spun polyamide.
    """
    assert allowance(read_blend("wool")) == Fraction(17)
    assert allowance(read_blend("polyamide")) == Fraction("6.25")
    # taking the one for the other would move a dry mass by about one part in a hundred, less than a label's 3 %
    assert (Fraction("118.25") / 117 - 1) < Fraction("0.011")


@pytest.mark.parametrize(("wraps", "number"), [(30, 0), (40, 0), (1, 7), (4, 7)])
def test_wraps_at_the_ends_of_the_standard_fall_in_its_first_and_last_class(wraps, number):
    """Craft Yarn Council, standard yarn weight system: lace 30-40 and more wraps in an inch, jumbo 1-4."""
    count = count_from_wraps(Fraction(wraps), WOOL)
    assert class_of(m_per_100g(count.tex)).number == number


def test_six_stitches_and_fewer_are_jumbo():
    """Craft Yarn Council, standard yarn weight system: 6 and fewer stitches in 4 in for class 7.

    Stitches go with the square root of m/100 g, from 22.5 in the middle of dk.
    """
    dk = read_class("dk")
    assert dk is not None
    assert class_of(class_mean(dk) * Fraction(6 * 6) / Fraction("22.5") ** 2).number == 7


def test_alike_is_3_and_different_is_8():
    """Our own rule, no source: colours told by a phone are several units off, so 3 looks alike and 8 is different."""
    assert (STRANDS_APART, ColourRule().within) == (3.0, 8.0)


def test_a_motif_stands_out_by_20():
    """Our own rule, no source: lightness 20 or more apart is a clear motif."""
    assert ColourRule().against_lightness == 20.0


def test_a_count_of_one_in_each_system_is_told_apart():
    """1 lb and 1 yd are exact, so Ne 1 = 590.5412 tex, and 840 yards of it weigh a pound."""
    tex = read_count("Ne 1", WOOL).tex
    assert tex * 840 * YARD_M / 1000 == POUND_G


def sheet(capsys, *arguments):
    """What `prep` prints of a garment, its lines joined."""
    with pytest.raises(SystemExit) as ended:
        main(["prep", *arguments, "--workspace", str(DEMO)])
    assert ended.value.code == 0
    return " ".join(capsys.readouterr().out.split())


def test_moths_are_frozen_at_minus_20_for_a_week(capsys):
    """The Textile Museum; US National Park Service, Conserve O Gram 3/6: a sealed bag, -20 C or colder, a week.

    Many home freezers are not cold enough, and that is said beside it; the rack and the shopping list say the same.
    """
    told = sheet(capsys, "buoy-guernsey")
    assert "in the sealed bag at -20 C (-4 F) or colder for a week" in told
    assert "Many home freezers are not cold enough" in told
    assert fahrenheit(-20) == -4
    with pytest.raises(SystemExit):
        main(["rack", "--stitches", "22", "--mass", "400 g", "--moths", "yes", "--workspace", str(DEMO)])
    assert "-20 C or colder, a week" in " ".join(capsys.readouterr().out.split())


def test_no_nightwear_for_children_is_planned(capsys):
    """16 CFR 1615 and 1616: children's sleepwear has to pass flame tests."""
    assert "No children's nightwear from reclaimed yarn: it has to pass flame tests (16 CFR 1615 and 1616" in sheet(
        capsys, "buoy-guernsey"
    )


@pytest.mark.parametrize(
    ("lightness", "said"), [(30.0, "clear"), (20.0, "clear"), (15.0, "soft"), (10.0, "soft"), (9.9, "hardly seen")]
)
def test_stranded_contrast_is_clear_soft_or_lost(lightness: float, said: str) -> None:
    # our own rule, no source: L* apart 20 and more clear, 10 to 20 soft, below 10 the motif is lost
    assert contrast_text(Contrast("main", "motif", lightness)).endswith(f"({said})")
