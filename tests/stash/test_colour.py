"""Colour: sRGB and CSS names to Lab, CIEDE2000 against the paper and two libraries, mixing in linear light."""

import json
import math
import random
import subprocess
import sys
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.colour import TO_XYZ, ColourError, colour_from_lab, difference, mix, nearest_name, read_colour
from stash.colournames import CSS_COLOURS

# Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes, Supplementary Test Data, and
# Mathematical Observations", Color Research and Application 30 (2005), 21-30, Table 1: all 34 pairs.
PAIRS = [
    ((50.0000, 2.6772, -79.7751), (50.0000, 0.0000, -82.7485), 2.0425),
    ((50.0000, 3.1571, -77.2803), (50.0000, 0.0000, -82.7485), 2.8615),
    ((50.0000, 2.8361, -74.0200), (50.0000, 0.0000, -82.7485), 3.4412),
    ((50.0000, -1.3802, -84.2814), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, -1.1848, -84.8006), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, -0.9009, -85.5211), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, 0.0000, 0.0000), (50.0000, -1.0000, 2.0000), 2.3669),
    ((50.0000, -1.0000, 2.0000), (50.0000, 0.0000, 0.0000), 2.3669),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0009), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0010), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0011), 7.2195),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0012), 7.2195),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0009, -2.4900), 4.8045),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0010, -2.4900), 4.8045),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0011, -2.4900), 4.7461),
    ((50.0000, 2.5000, 0.0000), (50.0000, 0.0000, -2.5000), 4.3065),
    ((50.0000, 2.5000, 0.0000), (73.0000, 25.0000, -18.0000), 27.1492),
    ((50.0000, 2.5000, 0.0000), (61.0000, -5.0000, 29.0000), 22.8977),
    ((50.0000, 2.5000, 0.0000), (56.0000, -27.0000, -3.0000), 31.9030),
    ((50.0000, 2.5000, 0.0000), (58.0000, 24.0000, 15.0000), 19.4535),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.1736, 0.5854), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.2972, 0.0000), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 1.8634, 0.5757), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.2592, 0.3350), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
SOME = [f"#{random.Random(7 * seed).randrange(1 << 24):06x}" for seed in range(200)]


def _difference(first, second):
    return difference(colour_from_lab(*first), colour_from_lab(*second))


@pytest.mark.parametrize(("first", "second", "expected"), PAIRS)
def test_differences_are_those_of_the_paper(first, second, expected):
    assert expected == round(_difference(first, second), 4)


def test_there_are_34_pairs_in_the_paper():
    assert len(PAIRS) == 34


def test_differences_agree_with_coloraide():
    coloraide = pytest.importorskip("coloraide")
    pairs = [(one, two) for one, two, _ in PAIRS]
    pairs += [(read_colour(one).lab, read_colour(two).lab) for one, two in pairwise(SOME)]
    for one, two in pairs:
        first, second = coloraide.Color("lab-d65", one), coloraide.Color("lab-d65", two)
        assert first.delta_e(second, method="2000", space="lab-d65") == pytest.approx(_difference(one, two), abs=1e-9)


def test_differences_agree_with_colour_science():
    pytest.importorskip("numpy")
    script = (
        "import json, sys, warnings; warnings.simplefilter('ignore')\n"
        "try:\n    from colour.difference import delta_E_CIE2000\nexcept ImportError:\n    sys.exit(3)\n"
        "one, two = json.load(sys.stdin)\n"
        "print(json.dumps([float(x) for x in delta_E_CIE2000(one, two)]))"
    )
    given = json.dumps([[one for one, _, _ in PAIRS], [two for _, two, _ in PAIRS]])
    # a process of its own: the library warns as it is imported, and takes its time
    ran = subprocess.run([sys.executable, "-c", script], input=given, capture_output=True, text=True, check=False)
    if ran.returncode == 3:
        pytest.skip("colour-science is not installed")
    expected = json.loads(ran.stdout)
    assert expected == pytest.approx([_difference(one, two) for one, two, _ in PAIRS], abs=1e-9)


def test_the_matrix_is_that_of_its_primaries_and_white():
    # IEC 61966-2-1 prints it to four decimals (from memory).
    printed = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    assert printed == tuple(tuple(round(cell, 4) for cell in row) for row in TO_XYZ)


def test_white_is_exactly_l_100_without_colour():
    assert pytest.approx(read_colour("white").lab, abs=1e-12) == (100, 0, 0)
    assert pytest.approx(read_colour("black").lab, abs=1e-12) == (0, 0, 0)


def test_lab_agrees_with_coloraide():
    coloraide = pytest.importorskip("coloraide")
    for code in SOME:
        assert coloraide.Color(code).convert("lab-d65").coords() == pytest.approx(read_colour(code).lab, abs=1e-9)


def test_css_names_agree_with_coloraide():
    coloraide = pytest.importorskip("coloraide")
    assert {name: coloraide.Color(name).to_string(hex=True) for name in CSS_COLOURS} == CSS_COLOURS


def test_there_are_148_css_names():
    assert len(CSS_COLOURS) == 148  # CSS Color Module Level 4, section 6.1


@given(st.integers(0, 0xFFFFFF))
def test_a_code_comes_back_as_it_was(number):
    assert f"#{number:06x}" == read_colour(f"#{number:06X}").hex


def test_lab_given_and_lab_worked_out_are_one():
    colour = read_colour("#5b6770")
    assert colour.xyz == pytest.approx(colour_from_lab(*colour.lab).xyz, abs=1e-12)
    assert colour.lightness == colour.lab[0]


def test_what_a_screen_cannot_show_is_clipped():
    assert colour_from_lab(50, 150, -150).hex[3:5] == "00"


@given(st.integers(0, 0xFFFFFF), st.integers(0, 0xFFFFFF))
def test_difference_is_symmetric_and_nothing_from_itself(one, two):
    first, second = read_colour(f"#{one:06x}"), read_colour(f"#{two:06x}")
    assert difference(first, second) == pytest.approx(difference(second, first), abs=1e-9)
    assert difference(first, first) == 0
    assert (difference(first, second) == 0) == (one == two)


def test_black_and_white_held_together_are_as_light_as_half_the_light():
    # half the luminance: L* = 116 x cbrt(0.5) - 16 = 76.07, far lighter than the middle grey of L* 50
    marl = mix([(read_colour("black"), 1), (read_colour("white"), 1)])
    assert 116 * math.cbrt(0.5) - 16 == pytest.approx(marl.lightness, abs=1e-9)
    assert marl.text == marl.hex == "#bcbcbc"


def test_the_thicker_strand_weighs_more():
    light = mix([(read_colour("black"), 100), (read_colour("white"), 300)])
    assert 116 * math.cbrt(0.75) - 16 == pytest.approx(light.lightness, abs=1e-9)


def test_a_mix_of_no_weight_is_refused():
    with pytest.raises(ValueError, match="above zero"):
        mix([(read_colour("teal"), 0)])


def test_every_css_colour_is_its_own_nearest():
    doubled = {"aqua": "aqua", "cyan": "aqua", "fuchsia": "fuchsia", "magenta": "fuchsia"}
    for name in CSS_COLOURS:
        assert doubled.get(name, name.replace("gray", "grey")) == nearest_name(read_colour(name))


@given(st.tuples(st.floats(0, 100), st.floats(-150, 150), st.floats(-150, 150)))
def test_no_name_looks_more_like_a_colour_than_the_nearest(lab):
    colour = colour_from_lab(*lab)
    nearest = difference(colour, read_colour(nearest_name(colour)))
    assert nearest == min(difference(colour, read_colour(name)) for name in CSS_COLOURS)


def test_a_colour_near_a_named_one_has_its_name():
    assert nearest_name(read_colour("#018281")) == "teal"


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("#fff", 'write "#ffffff"'),
        ("5b6770", 'write "#5b6770"'),
        ("dark blue", "did you mean darkblue?"),
        ("teel", "did you mean teal?"),
        (
            "dark navy",
            'the nearest name is navy; nearer is the colour itself, as a picture on a screen shows it: "#5b6770"',
        ),
        ("cream", 'write "#5b6770", a CSS colour name such as teal, or {lab: [L, a, b]}'),
        ("rgb(91, 103,112)", 'write "#5b6770"'),
        ("0x5B6770", 'write "#5b6770"'),
        ("#5b6770ff", 'write "#5b6770"'),
        ("“navy”", "did you mean navy?"),
        ("#12345", 'write # and six digits or letters from a to f behind it: "#5b6770"'),
        ("", 'write "#5b6770", a CSS colour name such as teal, or {lab: [L, a, b]}'),
    ],
)
def test_what_is_no_colour_is_refused(text, hint):
    with pytest.raises(ColourError) as caught:
        read_colour(text)
    assert (f"'{text}' is not a colour known here", hint) == (str(caught.value), caught.value.hint)


@pytest.mark.parametrize(
    "lab", [(-1, 0, 0), (101, 0, 0), (50, 201, 0), (50, 0, -201), (math.nan, 0, 0), (50, math.nan, 0)]
)
def test_lab_beyond_all_surfaces_is_refused(lab):
    with pytest.raises(ColourError):
        colour_from_lab(*lab)
