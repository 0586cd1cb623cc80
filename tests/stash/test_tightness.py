import math

import pytest

from stash.fabric import KW
from stash.fibre import read_blend
from stash.guesses import exactly
from stash.tightness import COARSE, FINE, tightness, usual_tightness
from stash.weightclass import CLASSES, class_mean

# Stitches in 4 in of classes 1 to 5, middles of the standard yarn weight system's ranges (Craft Yarn Council).
STITCHES = {1: 29.5, 2: 24.5, 3: 22.5, 4: 18.0, 5: 13.5}


def class_tightness(number):
    tex = 100_000 / float(class_mean(CLASSES[number]))
    loop_cm = float(KW) / (STITCHES[number] / 10.16)
    return math.sqrt(tex) / loop_cm


def test_hand_knitting_is_as_tight_as_the_standards_stitches_and_our_classes_have_it():
    """Within 10 % for each class, and within 2 % in the mean."""
    found = [class_tightness(number) for number in STITCHES]
    assert all(value == pytest.approx(COARSE, rel=0.10) for value in found)
    assert sum(found) / len(found) == pytest.approx(COARSE, rel=0.02)


def test_fine_machine_knitting_is_tighter():
    """14 to 15 for fine weft-knitted wool (textbooks of knitting, from memory)."""
    assert usual_tightness(0.3) == FINE
    assert usual_tightness(5.0) == COARSE
    assert COARSE < usual_tightness(1.0) < FINE


def test_dk_comes_out_of_its_gauge():
    """22 stitches in 10 cm, a loop of 1.91 cm: (10.4 x 1.91)^2 = 395 tex, 253 m/100 g, class 3."""
    assert tightness(exactly(1.91), None).best == pytest.approx(394.6, abs=0.1)


def test_cotton_as_thick_as_wool_weighs_more():
    wool, cotton = (tightness(exactly(1.9), read_blend(fibre)).best for fibre in ("wool", "cotton"))
    assert cotton / wool == pytest.approx(1.52 / 1.31)
