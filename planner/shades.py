"""How dark and how light some yarns are, and which of them may stand beside another."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from types import SimpleNamespace
from typing import TYPE_CHECKING

import numpy as np

from planner.pairs import LIMIT
from stash.colour import LIGHTNESS_APART, apart

if TYPE_CHECKING:
    import numpy.typing as npt

    from planner.pairs import Contrast
    from stash.colour import Colour


ARRAYS = SimpleNamespace(
    hypot=np.hypot,
    atan2=np.arctan2,
    degrees=np.degrees,
    radians=np.radians,
    copysign=np.copysign,
    sqrt=np.sqrt,
    exp=np.exp,
    sin=np.sin,
    cos=np.cos,
)
SLACK = 2 * LIMIT
ROUNDING = 1e-9  # what sums over arrays may be out by, and a mix in arrays from the same mix by itself


@dataclass(frozen=True)
class Shades:
    """The colours of some yarns: rows L*, a*, b*."""

    lab: npt.NDArray[np.float64]
    _near: dict[object, npt.NDArray[np.bool_]] = field(default_factory=dict, compare=False, repr=False)

    @property
    def lightness(self) -> npt.NDArray[np.float64]:
        lightness: npt.NDArray[np.float64] = self.lab[0]
        return lightness

    @cached_property
    def by_lightness(self) -> npt.NDArray[np.intp]:
        return np.argsort(self.lightness, kind="stable")

    @cached_property
    def _rising(self) -> npt.NDArray[np.float64]:
        return self.lightness[self.by_lightness]

    def may_stand(self, lightness: float, contrast: Contrast) -> npt.NDArray[np.bool_]:
        """Which of these stand beside a yarn so light, as far as lightness can tell: all that do are among them."""
        rise = self.lightness - lightness
        return (rise <= SLACK - contrast.darker) | (rise >= contrast.lighter - SLACK)

    def dark_enough(self, lightness: npt.NDArray[np.float64], contrast: Contrast) -> npt.NDArray[np.intp]:
        """For each lightness: how many of these, from the darkest on, are dark enough to stand beside it."""
        return np.searchsorted(self._rising, lightness - contrast.darker + SLACK, side="right")

    def light_enough(self, lightness: npt.NDArray[np.float64], contrast: Contrast) -> npt.NDArray[np.intp]:
        """For each lightness: how many of these, from the lightest on, are light enough to stand beside it."""
        return len(self._rising) - np.searchsorted(self._rising, lightness + contrast.lighter - SLACK, side="left")

    def is_near(self, colour: Colour, reach: float) -> npt.NDArray[np.bool_]:
        """Which lie within `reach` of a colour: all that do are among them."""
        key = (colour.lab, reach)
        if key not in self._near:
            near = np.abs(self.lightness - colour.lightness) <= LIGHTNESS_APART * reach + SLACK
            hopeful = np.flatnonzero(near)
            near[hopeful] = within(self.lab[:, hopeful], colour, reach)
            self._near[key] = near
        return self._near[key]


def within(lab: npt.NDArray[np.float64], colour: Colour, reach: float) -> npt.NDArray[np.bool_]:
    """Which of the L*, a*, b* lie within `reach` of a colour, by CIEDE2000 and to a rounding error."""
    near: npt.NDArray[np.bool_] = apart(colour.lab, lab, ARRAYS) <= reach + LIMIT + ROUNDING
    return near


def within_each_other(lab: npt.NDArray[np.float64], reach: float) -> npt.NDArray[np.bool_]:
    """Which two of the L*, a*, b* lie within `reach` of each other, likewise: a square."""
    near: npt.NDArray[np.bool_] = apart(lab[:, :, None], lab[:, None, :], ARRAYS) <= reach + LIMIT + ROUNDING
    return near
