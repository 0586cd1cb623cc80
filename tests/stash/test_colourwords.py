"""The word for a colour: a plain CSS name nearest by CIEDE2000, light or dark by our own rule (no source)."""

import pytest

from stash.colour import difference, read_colour
from stash.colournames import CSS_COLOURS
from stash.colourwords import APART, DARK_BELOW, LIGHT_ABOVE, WORDS, _shades, word_for


@pytest.mark.parametrize("word", WORDS)
def test_the_word_for_a_named_colour_is_its_name(word):
    assert word_for(read_colour(word)) == word


def test_every_name_looked_at_is_a_css_name_and_stands_once():
    names = [name for name, _, _ in _shades()]
    assert set(names) <= set(CSS_COLOURS)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("code", sorted(set(CSS_COLOURS.values())))
def test_the_last_word_is_that_of_the_nearest_name(code):
    colour = read_colour(code)
    nearest = min(difference(colour, shade) for _, _, shade in _shades())
    nearest_words = {word for _, word, shade in _shades() if difference(colour, shade) == nearest}
    assert word_for(colour).split()[-1] in nearest_words


@pytest.mark.parametrize("code", sorted(set(CSS_COLOURS.values())))
def test_light_is_said_of_what_is_light_and_lighter_than_the_word_and_dark_likewise(code):
    colour = read_colour(code)
    said = word_for(colour).split()
    above = colour.lightness - read_colour(said[-1]).lightness
    assert (said[0] == "light") == (colour.lightness > LIGHT_ABOVE and above > APART)
    assert (said[0] == "dark") == (colour.lightness < DARK_BELOW and above < -APART)


@pytest.mark.parametrize(
    ("code", "word"),
    [
        ("#c9dccb", "light green"),
        ("#27479b", "blue"),
        ("#232f55", "navy"),
        ("#5b6770", "grey"),
        ("#ffefd5", "beige"),  # papayawhip in the list of names
        ("#2f5d50", "dark teal"),
    ],
)
def test_words_a_knitter_would_say(code, word):
    """By eye, no source."""
    assert word_for(read_colour(code)) == word
