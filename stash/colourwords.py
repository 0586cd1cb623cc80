"""A word for a colour that can be said aloud at a rack: one of few plain names, with light or dark before it.

The names are those of CSS Color Module Level 4; which of them may be said, and when one is light or dark, is our own
rule, no source. A word is never all that is told of a colour: its code stands beside it.
"""

from __future__ import annotations

from functools import lru_cache

from stash.colour import Colour, difference, read_colour
from stash.colournames import CSS_COLOURS

# Each word stands for itself, and for the names of the list that are shades of it.
_SAID: dict[str, str] = {
    "black": "",
    "white": "whitesmoke ghostwhite floralwhite ivory snow",
    "grey": "darkgrey dimgrey lightgrey slategrey lightslategrey gainsboro silver",
    "beige": "antiquewhite linen oldlace bisque blanchedalmond wheat papayawhip",
    "tan": "burlywood",
    "brown": "saddlebrown sienna",
    "red": "darkred firebrick crimson indianred orangered",
    "maroon": "",
    "pink": "lightpink hotpink deeppink palevioletred mistyrose",
    "orange": "darkorange sandybrown coral",
    "gold": "goldenrod darkgoldenrod",
    "yellow": "lightyellow lemonchiffon khaki palegoldenrod",
    "olive": "olivedrab darkolivegreen",
    "green": "darkgreen forestgreen seagreen darkseagreen lightgreen palegreen mediumseagreen limegreen honeydew",
    "teal": "darkcyan",
    "turquoise": "mediumturquoise darkturquoise paleturquoise",
    "blue": "darkblue mediumblue royalblue steelblue cadetblue skyblue lightblue powderblue lightsteelblue slateblue "
    "darkslateblue cornflowerblue dodgerblue deepskyblue",
    "navy": "midnightblue",
    "purple": "rebeccapurple mediumpurple indigo darkmagenta plum thistle orchid",
}
LIGHT_ABOVE, DARK_BELOW = 70.0, 40.0  # L*
APART = 8.0  # L* from the word's own colour, for what is lighter or darker than the word says


@lru_cache(maxsize=4096)
def word_for(colour: Colour) -> str:
    """The word for a colour, "light green": the plain word of the CSS name nearest by CIEDE2000."""
    _, _, word = min((difference(colour, shade), name, word) for name, word, shade in _shades())
    above = colour.lightness - read_colour(word).lightness
    if colour.lightness > LIGHT_ABOVE and above > APART:
        return f"light {word}"
    if colour.lightness < DARK_BELOW and above < -APART:
        return f"dark {word}"
    return word


@lru_cache(maxsize=1)
def _shades() -> tuple[tuple[str, str, Colour], ...]:
    """(name, word, colour) of every name looked at."""
    names = [(name, word) for word, more in _SAID.items() for name in (word, *more.split())]
    return tuple((name, word, read_colour(CSS_COLOURS[name])) for name, word in names)


WORDS: tuple[str, ...] = tuple(_SAID)
