"""A garment whose yarn is known, read with realistic errors many times over: the interval holds the truth."""

import math
import random
from fractions import Fraction

import pytest

from stash.fabric import Gauge
from stash.garment import Garment, Panel
from stash.reclaiming import Z90, reclaim

DRAWS = 5000
CM = Fraction(1, 100)

# Invented pullovers: stitches and rows of front and back (2) and sleeves (2, narrow and wide end), loop length in cm.
# Dk by hand; aran by hand; fine, from a machine.
GARMENTS = (
    {"loop": 1.90, "body": (114, 176), "sleeves": (46, 84, 132), "stitches_to_rows": 1.31},
    {"loop": 2.35, "body": (96, 140), "sleeves": (36, 68, 104), "stitches_to_rows": 1.28},
    {"loop": 0.66, "body": (330, 540), "sleeves": (140, 250, 390), "stitches_to_rows": 1.33},
)
KINDS_OF_READING = (
    {"seams": "linked", "scale": 1},
    {"seams": "linked", "scale": 10},
    {"seams": "cut", "scale": 1},
    {"seams": "cut", "scale": None},
)
# What can be had of the yarn is drawn from a beta law of this mean and standard deviation: linked panels keep 85 %, all
# but a few between 75 and 93 %; cut ones 75 % (common practice, no source).
KEPT = {"linked": (0.85, 0.05), "cut": (0.75, 0.075)}


def draw(randomly, made, seams, scale):
    """A garment as read, and the metres truly to be had of it."""
    body_stitches, body_rows = made["body"]
    cuff, top, sleeve_rows = made["sleeves"]
    loops = 2 * body_stitches * body_rows + (cuff + top) * sleeve_rows
    metres = loops * made["loop"] / 100
    # Its own Ks: relaxed wool lies round 23.1, wet relaxed 21.7 (Munden 1959); fabrics differ by 5 % besides.
    own_ks = randomly.gauss(23.1, 0.05 * 23.1)
    dense = own_ks / made["loop"] ** 2  # stitches in a relaxed cm2
    # It hangs and is folded: 2 % too wide or narrow, too long or short; gauge and panels are taken as it lies.
    across = math.sqrt(dense / made["stitches_to_rows"]) / (1 + randomly.gauss(0, 0.02))
    up = math.sqrt(dense * made["stitches_to_rows"]) / (1 + randomly.gauss(0, 0.02))
    gauge = Gauge(_half(10 * across) / 10, _half(10 * up) / 10)
    panels = (
        _panel(randomly, 2, (body_stitches, body_stitches), body_rows, across, up),
        _panel(randomly, 2, (cuff, top), sleeve_rows, across, up),
    )
    mass = None
    if scale is not None:
        # sqrt(tex) to the cm of loop: by hand 10.4, fine machine knitting 14, one in six 12 % beyond either way
        tight = 14.0 if made["loop"] < 1 else 10.4
        tex = (made["loop"] * tight * math.exp(randomly.gauss(0, 0.12))) ** 2
        # labels, thread and buttons: up to 3 % more than the yarn
        mass = Fraction(scale * round(metres * tex / 1000 * (1 + randomly.uniform(-0.005, 0.03)) / scale))
    mean, spread = KEPT[seams]
    size = mean * (1 - mean) / spread**2 - 1
    kept = randomly.betavariate(mean * size, (1 - mean) * size)
    step = Fraction(scale or 1)
    seen = Garment(mass_g=mass, scale_g=step, gauge=gauge, panels=panels, seams=seams)
    return seen, metres * kept


def _half(number):
    """Counted to the half stitch."""
    return Fraction(round(2 * number), 2)


def _panel(randomly, times, stitches, rows, across, up):
    """Taped to 1 cm, each side laid 1 % too short or too long."""
    sides = [number / across for number in stitches] + [rows / up]
    narrow, wide, long = (Fraction(round(side * (1 + randomly.gauss(0, 0.01)))) * CM for side in sides)
    return Panel(times, (narrow, wide), long, CM)


@pytest.mark.parametrize("reading", KINDS_OF_READING, ids=lambda one: f"{one['seams']}, scale {one['scale']} g")
def test_nine_in_ten_intervals_hold_the_truth(reading):
    """5,000 garments each; of what linked ones give the interval reaches 11.5 % either way, of cut ones 17.6 %."""
    randomly = random.Random(20 + (reading["scale"] or 0))
    held = widths = 0.0
    for number in range(DRAWS):
        seen, truth = draw(randomly, GARMENTS[number % len(GARMENTS)], reading["seams"], reading["scale"])
        length = reclaim(seen).length_m
        low, high = length.interval(Z90)
        held += low <= truth <= high
        widths += (high - low) / 2 / length.best
    assert 0.87 <= held / DRAWS <= 0.93
    assert round(widths / DRAWS, 3) == {"linked": 0.115, "cut": 0.176}[reading["seams"]]
