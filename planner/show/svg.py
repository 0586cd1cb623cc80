"""An SVG image of drawings below one another.

SVG 1.1 of the plainest sort: no script, no style, no link; every text escaped, every colour as #rrggbb.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape as escape_markup
from typing import TYPE_CHECKING

from planner.faultprint import safe_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from stash.colour import Colour

NAMESPACE = "http://www.w3.org/2000/svg"
MARGIN, LINE, LETTER = 16.0, 20.0, 8.5  # round it all; a line of text; a character, broadly
NO_YARN = "#ffffff"
INK, PAPER, EDGE = "#000000", "#ffffff", "#808080"
FONT = 'font-family="sans-serif"'


@dataclass(frozen=True)
class Drawing:
    """One picture: what it is, how wide and high, and its elements when it begins so far down."""

    title: str
    width: float
    height: float
    parts: Callable[[float], Iterable[str]]


def image(drawings: Sequence[Drawing], enlarged: float = 1.0) -> str:
    """The drawings below one another, shown so many times as large; the same drawings give the same text."""
    parts: list[str] = []
    top = MARGIN
    for one in drawings:
        parts += one.parts(top)
        top += one.height + 2 * MARGIN
    width, height = max((one.width for one in drawings), default=0.0) + 2 * MARGIN, top - MARGIN
    seen = f'width="{number(enlarged * width)}" height="{number(enlarged * height)}"'
    wide, high = number(width), number(height)
    said = escape("; ".join(one.title for one in drawings))
    return "\n".join(
        (
            f'<svg xmlns="{NAMESPACE}" version="1.1" {seen} viewBox="0 0 {wide} {high}" role="img">',
            f"<title>{said}</title>",
            f'<rect width="{wide}" height="{high}" fill="{PAPER}"/>',
            *parts,
            "</svg>\n",
        )
    )


def escape(text: str) -> str:
    """Foreign text for an image: nothing that marks up, and nothing that turns writing round or does not show."""
    return escape_markup(safe_text(text))


def line_of_text(x: float, y: float, text: str, *, size: int, anchor: str = "start") -> str:
    return (
        f'<text x="{number(x)}" y="{number(y)}" {FONT} font-size="{size}" text-anchor="{anchor}" '
        f'fill="{INK}">{escape(text)}</text>'
    )


def box(x: float, y: float, width: float, height: float, colour: Colour | None) -> str:
    """A box filled with a colour, with an edge that shows on white too."""
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" '
        f'fill="{fill(colour)}" stroke="{EDGE}"/>'
    )


def fill(colour: Colour | None) -> str:
    return NO_YARN if colour is None else colour.hex


def ink(colour: Colour | None) -> str:
    """Black on what is light, white on what is dark."""
    return INK if colour is None or colour.lightness >= 50 else PAPER


def number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
