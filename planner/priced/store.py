"""What every lot can give, as arrays over the places of a shelf, so that all lots are asked at once."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from planner.instance import END_CM

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import numpy.typing as npt

    from planner.instance import Piece
    from planner.shelf import Shelf

    Numbers = npt.NDArray[np.float64]


class Store:
    """The pieces of every lot by place, longest first, and what is left of them once something is cut."""

    def __init__(self, shelf: Shelf, stock: Mapping[str, Sequence[Piece]]) -> None:
        self.shelf = shelf
        self.tex = np.array([float(lot.count.tex) for lot in shelf.lots])
        pieces = [[piece.length_cm for piece in stock[lot.id]] for lot in shelf.lots]
        most = max((len(own) for own in pieces), default=0)
        self.lengths = np.zeros((len(pieces), most))
        self._reached = np.zeros((len(pieces), most))
        self.most = np.zeros(len(pieces))
        self._given: dict[int, Numbers] = {}
        self._whole = pieces
        self.version = 0  # rises with every change of what lots hold
        self._told: dict[int, Sequence[int]] = {}
        self.hold(dict(enumerate(pieces)))

    def hold_all(self, left: Mapping[int, Sequence[int]]) -> None:
        """From now on these lots hold pieces of these lengths, by place, and all others what they held at first."""
        self.hold({place: left.get(place, whole) for place, whole in enumerate(self._whole)})

    def hold(self, left: Mapping[int, Sequence[int]]) -> None:
        """From now on these lots hold pieces of these lengths, by place."""
        held = {place: lengths for place, lengths in left.items() if self._told.get(place) != lengths}
        if not held:
            return
        self.version += 1
        self._told |= held
        for place, lengths in held.items():
            self.lengths[place] = 0
            self.lengths[place, : len(lengths)] = sorted((max(own, 0) for own in lengths), reverse=True)
        own = list(held)
        self.most[own] = self.lengths[own].sum(axis=1)
        self._reached[own] = np.cumsum(np.maximum(self.lengths[own] - END_CM, 0), axis=1)
        for least_cm, given in self._given.items():
            given[own] = self._most_given(own, least_cm)

    @contextmanager
    def holding(self, left: Mapping[int, Sequence[int]]) -> Iterator[None]:
        """For a while these lots hold pieces of these lengths, by place."""
        before = {place: self._told[place] for place in left}
        self.hold(left)
        try:
            yield
        finally:
            self.hold(before)

    def holds(self, least_cm: int) -> Numbers:
        """By place: what there is in pieces that can give the least length."""
        held: Numbers = np.where(self.lengths >= least_cm + END_CM, self.lengths, 0).sum(axis=1)
        return held

    def given(self, least_cm: int) -> Numbers:
        """By place: the most one run can be given, ends taken off: never too little."""
        if least_cm not in self._given:
            self._given[least_cm] = self._most_given(slice(None), least_cm)
        return self._given[least_cm]

    def _most_given(self, places: list[int] | slice, least_cm: int) -> Numbers:
        own = self.lengths[places]
        most: Numbers = np.where(own >= least_cm + END_CM, own - END_CM, 0).sum(axis=1)
        return most

    def fewest(self, places: npt.NDArray[np.intp], planned_cm: int) -> Numbers:
        """By place: fewest pieces that one strand so long can be put together from."""
        fewest: Numbers = np.add((self._reached[places, :-1] < planned_cm).sum(axis=1), 1.0, dtype=np.float64)
        return fewest

    def fewest_of(self, place: int, planned_cm: int) -> int:
        """Of one lot: fewest pieces that one strand so long can be put together from."""
        return 1 + int(self._reached[place, :-1].searchsorted(planned_cm))
