"""Lots that may be held together two by two: for each the others, and which two of them gain most."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]
    Places = npt.NDArray[np.int32]
    Mask = npt.NDArray[np.bool_]

FARTHER = 4  # times as many lots looked at next


class Twos(NamedTuple):
    """Two lots each, by place, the thinner first; what they gain; any others gain no more than `beyond`."""

    one: Places
    other: Places
    gains: Numbers
    beyond: float


@dataclass(frozen=True)
class Mates:
    """By place on a shelf: the lots that may be a strand beside a lot are `others[starts[place]:starts[place + 1]]`."""

    starts: npt.NDArray[np.intp]
    others: Places

    @classmethod
    def of(cls, others: Sequence[npt.NDArray[np.intp]]) -> Mates:
        """From the others of each lot, by place."""
        starts = np.cumsum([0, *map(len, others)])
        return cls(starts, np.concatenate([*others, np.zeros(0, dtype=np.intp)]).astype(np.int32))

    @property
    def lots(self) -> Places:
        """The lot beside which each of the others may be."""
        return np.repeat(np.arange(len(self.starts) - 1, dtype=np.int32), np.diff(self.starts))

    @property
    def any(self) -> Mask:
        """By place: whether there is one beside it."""
        mask: Mask = np.diff(self.starts) > 0
        return mask

    def where(self, mask: Mask) -> Mates:
        """Those of the others that a mask over them keeps."""
        kept = np.concatenate([[0], np.cumsum(mask)])
        return Mates(kept[self.starts], self.others[mask])

    def among(self, own: Mask) -> Iterator[tuple[int, ...]]:
        """All the twos of these lots, by place, the thinner first."""
        lots = self.lots
        each = np.flatnonzero((lots < self.others) & own[lots] & own[self.others])
        return zip(lots[each].tolist(), self.others[each].tolist(), strict=True)

    def best(self, worth: Numbers, count: int, *, quick: bool = False) -> Twos:
        """So many twos that gain most where a strand of each lot is `worth` so much, or all there are.

        `quick`: only those with a lot that is among so many worth most.
        """
        reach = count
        while True:
            stems = largest(worth, reach + 1)
            rest = 2 * float(worth[stems.pop()]) if len(stems) > reach else -np.inf
            one, other = self._beside(stems, worth)
            gains = worth[one] + worth[other]
            if quick or rest == -np.inf or (gains >= rest).sum() >= count:
                break
            reach *= FARTHER
        best = largest(gains, count + 1)
        beyond = max(rest, float(gains[best.pop()]) if len(best) > count else -np.inf)
        one, other = one[best], other[best]
        return Twos(np.minimum(one, other), np.maximum(one, other), gains[best], beyond)

    def _beside(self, stems: Sequence[int], worth: Numbers) -> tuple[Places, Places]:
        """Every two lots of which one is among the stems, each once."""
        if not stems:
            return self.others[:0], self.others[:0]
        rank = np.full(len(worth), len(stems))
        rank[stems] = np.arange(len(stems))
        begins, ends = self.starts[stems], self.starts[np.add(stems, 1)]
        other = np.concatenate([self.others[a:b] for a, b in zip(begins.tolist(), ends.tolist(), strict=True)])
        one = np.repeat(np.array(stems, dtype=np.int32), ends - begins)
        once = rank[other] > rank[one]
        return one[once], other[once]


def largest(values: Numbers, count: int) -> list[int]:
    """Places of the largest values that are not -inf, largest first; of equal ones the first."""
    kept = np.flatnonzero(values > -np.inf)  # first, for what is to be parted is slow to part where many are equal
    if 0 < count < len(kept):
        own = values[kept]
        kept = kept[own >= np.partition(own, -count)[-count]]
    ranked: list[int] = kept[np.argsort(-values[kept], kind="stable")[:count]].tolist()
    return ranked
