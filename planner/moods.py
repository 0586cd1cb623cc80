"""Moods a colourwork may lean to: nothing but lightness, chroma and hue (CIE L*C*h) of its working yarns."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.aims import Aim

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from planner.columns import Columns
    from planner.program import Terms
    from stash.colour import Colour

WARMEST = 60.0  # hue angle in degrees, between red and yellow; its opposite is the coldest. Our own rule, no source
STEP = 0.005  # of a mood: half of what two palettes may differ by without being told apart


def _warm(colour: Colour) -> float:
    """How far towards orange: the part of a*, b* that points there."""
    _, a, b = colour.lab
    angle = math.radians(WARMEST)
    return a * math.cos(angle) + b * math.sin(angle)


def _chroma(colour: Colour) -> float:
    return math.hypot(*colour.lab[1:])


MOODS: Mapping[str, Callable[[Colour], float]] = {
    "warm": _warm,
    "cool": lambda colour: -_warm(colour),
    "muted": lambda colour: -_chroma(colour),
    "vivid": _chroma,
    "light": lambda colour: colour.lightness,
    "dark": lambda colour: -colour.lightness,
}


def leaning(mood: str) -> Aim:
    """The aim that leans to a mood: the mean of its measure over the lengths knitted, made most."""
    measure = MOODS[mood]

    def terms(columns: Columns) -> Terms:
        whole = {
            index: sum(sized.planned_cm for sized in making.needs)
            for index, making in enumerate(columns.instance.makings)
        }
        return tuple(
            term
            for use in columns.uses
            if use.yarn is not None
            for term in use.length_terms(-measure(use.yarn.colour) / whole[use.making])
        )

    return Aim(f"leaning {mood}", terms, STEP)
