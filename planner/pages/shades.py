"""Colours as pages draw them: yarn of a colour, with the lighter and darker strokes that make it look twisted."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from stash.colour import colour_from_lab, nearest_name

if TYPE_CHECKING:
    from stash.colour import Colour

STROKE = 9.0  # L* that a stroke is lighter or darker than the yarn; by eye
_CODE = re.compile(r"#[0-9a-f]{6}")


@dataclass(frozen=True, order=True)
class Shade:
    """A colour's code and name, how light it is (L*), and the codes of its strokes."""

    code: str
    name: str
    lightness: float
    lighter: str
    darker: str

    def __post_init__(self) -> None:
        for one in (self.code, self.lighter, self.darker):
            if not _CODE.fullmatch(one):
                raise ValueError(f"not a colour code: {one!r}")

    @property
    def texture(self) -> str:
        """The id of its texture in the page."""
        return f"yarn-{self.code[1:]}"

    @property
    def fill(self) -> str:
        """What to fill a shape with: the texture, or the plain colour where that cannot be drawn."""
        return f"url(#{self.texture}) {self.code}"

    @property
    def light(self) -> str:
        """How light it is, in words."""
        return f"L* {self.lightness:.0f}"


@dataclass
class Palette:
    """Gives out shades and keeps those it gave, so that a page defines the texture of each once."""

    _given: dict[str, Shade] = field(default_factory=dict)

    def shade(self, colour: Colour) -> Shade:
        code = colour.hex
        if code not in self._given:
            self._given[code] = shade_of(colour)
        return self._given[code]

    def grey(self, colour: Colour) -> Shade:
        """The grey that is as light as the colour, as a black-and-white photograph shows it."""
        return self.shade(colour_from_lab(colour.lightness, 0, 0))

    @property
    def shades(self) -> list[Shade]:
        return sorted(self._given.values())


def shade_of(colour: Colour) -> Shade:
    """A colour as pages draw it; where it is near black or white its strokes keep to the one side there is."""
    return Shade(
        colour.hex, nearest_name(colour), colour.lightness, _towards(colour, STROKE), _towards(colour, -STROKE)
    )


def _towards(colour: Colour, step: float) -> str:
    lightness, a, b = colour.lab
    return colour_from_lab(min(max(lightness + step, 0.0), 100.0), a, b).hex
