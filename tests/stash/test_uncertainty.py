"""Every count form's uncertainty, skeins of one lot together, against the `uncertainties` package and simulation.

Each form is built twice more from what is read in it: as correlated variables whose derivatives the package (PyPI)
follows, and as 20,000 seeded draws of every reading. Neither knows how the product adds its parts up.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from stash.colour import read_colour
from stash.count import count_from_class, count_from_wraps, read_count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lengths import guarded_factor, length_m, own_u, shared_u
from stash.lots import Lot, Skein
from stash.measuring import Sample, pool
from stash.weightclass import CLASSES, class_mean, mean_bounds
from tests.stash.measured import laid, wound

HERE = Place("stash.yaml", 1, 1)
BLEND = read_blend("80% wool, 20% polyamide")
MOISTURE = 0.8 * 17 + 0.2 * 6.25  # agreed allowance in %, Regulation (EU) 1007/2011, Annex IX
DRAWS = 20_000
DIFFERENCE = Sample(Fraction(180), Fraction(42), (Fraction(1), Fraction(1, 10)), Fraction(120), apart=False, text="")
SAMPLES = {  # each measured on the same swift by the same hand
    "turns": [wound(120, "1.5", 42)],
    "few turns": [wound(12, "1.5", 5)],
    "laid out": [laid("12.4", "5.1", "0.1")],
    "by difference": [DIFFERENCE],
    "weighed apart": [wound(120, "1.5", 42, apart=True)],
    "three pooled": [wound(40, "1.5", 14), wound(25, "1.5", 9, "0.1"), wound(60, "1.5", 21)],
    "turns and laid out": [wound(40, "1.5", 14), laid(60, 14)],
}
NAMED = {
    "label": (read_count("420 m/100g", BLEND), 0.03),
    "number": (read_count("Nm 2/12", BLEND), 0.02),
    "wraps": (count_from_wraps(Fraction(16), BLEND), 0.20),
}
FORMS = [*SAMPLES, *NAMED, "class"]
SKEINS = (118, 96)  # g, on a scale of 1 g
STATED = 210  # m, a skein of stated length beside them
STATED_U = 0.0112


def lot_of(form):
    if form == "class":
        count = count_from_class(CLASSES[3], BLEND)
    else:
        count = NAMED[form][0] if form in NAMED else pool(SAMPLES[form]).count()
    weighed = [Skein(f"a-{g}", Fraction(g), None, Fraction(1), (Fraction(1),), False, HERE) for g in SKEINS]
    stated = Skein("b", None, Fraction(STATED), Fraction(0), (Fraction(1),), False, HERE)
    return Lot("a", None, BLEND, read_colour("navy"), count, None, None, (*weighed, stated), HERE)


def total_u(lot):
    """The lot's total as lengths.py has it: what its weighed skeins share, and what each has for itself."""
    metres = [float(length_m(lot, skein)) for skein in lot.skeins]
    shared = sum(long * shared_u(lot, skein) for long, skein in zip(metres, lot.skeins, strict=True))
    return math.hypot(shared, *(long * own_u(lot, skein) for long, skein in zip(metres, lot.skeins, strict=True)))


class Package:
    """Readings as variables of the `uncertainties` package."""

    def __init__(self):
        self.ufloat = pytest.importorskip("uncertainties").ufloat

    def normal(self, best, u):
        return self.ufloat(best, u)

    def even(self, best, half):
        return self.ufloat(best, half / math.sqrt(3))


class Drawn:
    """Readings as draws."""

    def __init__(self):
        self.random = np.random.default_rng(20_000)

    def normal(self, best, u):
        return self.random.normal(best, u, DRAWS)

    def even(self, best, half):
        return self.random.uniform(best - half, best + half, DRAWS)


def metres_per_gram(form, readings):
    """The count as metres in a gram, made of its readings."""
    if form == "class":
        low, high = (float(end) for end in mean_bounds(CLASSES[3]))
        wool_tex = 100_000 / float(class_mean(CLASSES[3]))
        per_gram = 1000 / wool_tex * (wool_tex / float(lot_of(form).count.tex))
        return per_gram * (1 + readings.even(0.0, (high - low) / 2) / float(class_mean(CLASSES[3])))
    if form in NAMED:
        count, u = NAMED[form]
        return 1000 / float(count.tex) * readings.normal(1.0, u)
    pooled = pool(SAMPLES[form])
    shared = readings.normal(1.0, 0.005) * readings.normal(1.0, 0.01)  # once round or the tape; the pull of the hand
    tex = 0
    for weight, sample in zip(pooled.weights, SAMPLES[form], strict=True):
        mass = float(sample.mass_g) + sum(readings.even(0.0, float(step) / 2) for step in sample.steps_g)
        length = float(sample.length_m)
        if sample.turns is not None:
            length = length / float(sample.turns) * readings.even(float(sample.turns), 1.0)
        tex = tex + float(weight) * 1000 * mass / length
    return 1000 * shared / tex


def lengths(form, readings):
    """The lengths of the lot's skeins, made of all that is read."""
    per_gram = metres_per_gram(form, readings)
    damp = readings.even(1.0, 0.15 * MOISTURE / (100 + MOISTURE)) if form == "weighed apart" else 1
    weighed = [readings.even(float(grams), 0.5) * damp * per_gram for grams in SKEINS]
    return [*weighed, readings.normal(float(STATED), STATED * STATED_U)]


@pytest.mark.parametrize("form", FORMS)
def test_the_package_finds_the_same_for_each_skein_and_for_the_whole_lot(form):
    lot = lot_of(form)
    found = lengths(form, Package())
    for one, skein in zip(found, lot.skeins, strict=True):
        assert one.n == pytest.approx(float(length_m(lot, skein)), rel=1e-9)
        assert one.s / one.n == pytest.approx(math.hypot(shared_u(lot, skein), own_u(lot, skein)), rel=1e-6)
    assert sum(found).s == pytest.approx(total_u(lot), rel=1e-6)


@pytest.mark.parametrize("form", FORMS)
def test_20_000_draws_scatter_as_much_within_their_own_error(form):
    # The standard deviation of N draws is itself known to about 1/sqrt(2N), 0.5 %; four of these, and what the law of
    # propagation leaves out, which is of the order of u squared.
    lot = lot_of(form)
    total = sum(lengths(form, Drawn()))
    best = sum(float(length_m(lot, skein)) for skein in lot.skeins)
    allowed = 4 / math.sqrt(2 * DRAWS) + (total_u(lot) / best) ** 2
    assert total.std(ddof=1) == pytest.approx(total_u(lot), rel=allowed)
    assert total.mean() == pytest.approx(
        best, abs=4 * total_u(lot) / math.sqrt(DRAWS) + best * (total_u(lot) / best) ** 2
    )


@pytest.mark.parametrize("confidence", [Fraction(9, 10), Fraction(95, 100)])
def test_the_guarded_length_is_there_as_often_as_it_says(confidence):
    # A true yarn, read as the scale and the swift show it; how often the skein holds what is guarded.
    random = np.random.default_rng(7)
    guarded = 0
    draws = 4000
    for _ in range(draws):
        tex, turns, grams = random.uniform(150, 500), random.integers(15, 60), random.uniform(80, 120)
        wound_m = (turns + random.uniform(-1, 1)) * 1.5 * random.normal(1, 0.005) * random.normal(1, 0.01)
        shown, skein_g = round(tex * wound_m / 1000), round(grams)
        count = pool([wound(int(turns), "1.5", shown)]).count()
        skein = Skein("a", Fraction(skein_g), None, Fraction(1), (Fraction(1),), False, HERE)
        lot = Lot("a", None, BLEND, read_colour("navy"), count, None, None, (skein,), HERE)
        guarded += 1000 * grams / tex >= float(length_m(lot, skein)) * guarded_factor(lot, skein, confidence)
    share = float(confidence)
    assert guarded / draws == pytest.approx(share, abs=4 * math.sqrt(share * (1 - share) / draws))


def drawn_samples(random, unevenness):
    """Three samples of one yarn of 300 tex, each off by so much of itself, as they would be read."""
    samples = []
    for turns in (40, 60, 80):
        tex = 300 * random.normal(1, unevenness)
        wound_m = (turns + random.uniform(-1, 1)) * 1.5
        samples.append(wound(turns, "1.5", Fraction(round(tex * wound_m / 1000 * 10), 10), "0.1"))
    return samples


def test_even_yarn_is_seldom_said_to_disagree_and_uneven_yarn_often():
    random = np.random.default_rng(11)
    even = sum(not pool(drawn_samples(random, 0)).scatter.agree for _ in range(2000)) / 2000
    uneven = sum(not pool(drawn_samples(random, 0.06)).scatter.agree for _ in range(500)) / 500
    assert even <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 2000)
    assert uneven > 0.7
