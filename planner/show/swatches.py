"""Colour swatches: a block of the colour where the terminal can show it, its code or name where it cannot."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.colour import nearest_name

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import TextIO

    from stash.colour import Colour
    from stash.units import System

WIDTH = 80


@dataclass(frozen=True)
class Screen:
    """What answers are shown on: in which units, and whether it can show any colour at all."""

    units: System = "metric"
    truecolour: bool = False

    def swatch(self, colour: Colour) -> str:
        """The colour's code, behind a block of it where the screen can show one: nothing is said by colour alone."""
        return f"{self.block(colour, 2)} {colour.hex}" if self.truecolour else colour.hex

    def block(self, colour: Colour, columns: int) -> str:
        """A block of the colour so many columns wide, for a screen that can show it."""
        red, green, blue = (int(colour.hex[at : at + 2], 16) for at in (1, 3, 5))
        return f"\x1b[48;2;{red};{green};{blue}m{' ' * columns}\x1b[0m"

    def named(self, colour: Colour) -> str:
        """The colour's name in brackets for running text, nothing where blocks are shown in the table below it."""
        return "" if self.truecolour else f" ({nearest_name(colour)})"


def screen(units: System, stream: TextIO | None = None, environment: Mapping[str, str] | None = None) -> Screen:
    """The screen on `stream` (stdout); NO_COLOR, where set and not empty, turns colour off."""
    stream = sys.stdout if stream is None else stream
    environment = os.environ if environment is None else environment
    willing = not environment.get("NO_COLOR") and environment.get("TERM") != "dumb"
    able = environment.get("COLORTERM", "").lower() in {"truecolor", "24bit"}
    return Screen(units, truecolour=willing and able and stream.isatty())
