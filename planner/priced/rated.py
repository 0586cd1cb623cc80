"""Yarns for one stretch as arrays: what each gains at some prices, at most, and its colour."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy.typing as npt

    from planner.pairs import Contrast
    from planner.priced.store import Numbers
    from planner.shades import Shades

    Places = tuple[int, ...]  # of the strands of a working yarn on the shelf, in rising order


@dataclass(frozen=True)
class Kind:
    """Yarns alike in how they are put together; `strands` gives those of one by its number.

    `felting`: 1 of yarns with a lot known to felt, 2 with one known not to, 3 with both, 0 with neither.
    """

    gains: Numbers
    shades: Shades
    felting: npt.NDArray[np.int8]
    strands: Callable[[int], Places]

    @cached_property
    def top(self) -> float:
        return float(self.gains.max(initial=-np.inf))

    @cached_property
    def of_the_darkest(self) -> Numbers:
        """What the darkest so many gain at most."""
        return np.maximum.accumulate(np.concatenate([[-np.inf], self.gains[self.shades.by_lightness]]))

    @cached_property
    def of_the_lightest(self) -> Numbers:
        """What the lightest so many gain at most."""
        return np.maximum.accumulate(np.concatenate([[-np.inf], self.gains[self.shades.by_lightness][::-1]]))

    def beside(self, lightness: Numbers, contrast: Contrast) -> Numbers:
        """For each lightness, what a yarn here that may stand beside it gains at most."""
        best = np.full(len(lightness), -np.inf)
        if np.isfinite(contrast.darker):
            best = np.maximum(best, self.of_the_darkest[self.shades.dark_enough(lightness, contrast)])
        if np.isfinite(contrast.lighter):
            best = np.maximum(best, self.of_the_lightest[self.shades.light_enough(lightness, contrast)])
        return best


@dataclass(frozen=True)
class Rated:
    """Every yarn for a stretch; one that is in no kind gains no more than `beyond`.

    Such a yarn is of several lots, as dark as the darkest of them at most and as light as the lightest: it stands no
    lighter or darker than they do, and gains no more than the best yarn with a lot of them, by lot in `stems`.
    """

    kinds: Sequence[Kind]
    beyond: float = -np.inf
    stems: Kind | None = None

    @cached_property
    def top(self) -> float:
        return max(self.beyond, *(kind.top for kind in self.kinds))

    def beside(self, lightness: Numbers, contrasts: Sequence[Contrast]) -> Numbers:
        """For each lightness, what a yarn for this stretch gains at most beside it, by all the contrasts."""
        by_each = [
            np.maximum.reduce([kind.beside(lightness, contrast) for kind in self.kinds]) for contrast in contrasts
        ]
        most: Numbers = np.maximum(np.minimum.reduce(by_each), self.beyond_beside(lightness, contrasts))
        return most

    def beyond_beside(self, lightness: Numbers, contrasts: Sequence[Contrast]) -> Numbers:
        """For each lightness, what a yarn in no kind gains at most beside it, by all the contrasts."""
        most = np.full(len(lightness), self.beyond)
        if self.stems is not None and self.beyond > -np.inf:
            most = np.minimum.reduce([most, *(self.stems.beside(lightness, contrast) for contrast in contrasts)])
        return most


@dataclass(frozen=True)
class Left:
    """What the yarns of each kind for a stretch gain beside what is chosen: -inf where they may not stand there."""

    gains: Sequence[Numbers]
    beyond: float = -np.inf

    @cached_property
    def top(self) -> float:
        return max(self.beyond, *(float(gains.max(initial=-np.inf)) for gains in self.gains))
