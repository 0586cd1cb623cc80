"""What every lot can give, as arrays over the places of a shelf, so that all lots are asked at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.instance import END_CM

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
        self.most = np.zeros(len(pieces))
        self._whole, self._cut = pieces, set[int]()
        self._given: dict[int, Numbers] = {}
        self._reached: Numbers | None = None
        for place, own in enumerate(pieces):
            self._put(place, own)

    def hold(self, left: Mapping[int, Sequence[int]]) -> None:
        """From now on these lots hold pieces of these lengths, by place, and all others what they held at first."""
        for place in self._cut - left.keys():
            self._put(place, self._whole[place])
        for place, lengths in left.items():
            self._put(place, lengths)
        self._cut = set(left)

    def _put(self, place: int, lengths: Sequence[int]) -> None:
        self._given, self._reached = {}, None
        self.lengths[place] = 0
        self.lengths[place, : len(lengths)] = sorted((max(own, 0) for own in lengths), reverse=True)
        self.most[place] = self.lengths[place].sum()

    def holds(self, least_cm: int) -> Numbers:
        """By place: what there is in pieces that can give the least length."""
        held: Numbers = np.where(self.lengths >= least_cm + END_CM, self.lengths, 0).sum(axis=1)
        return held

    def given(self, places: npt.NDArray[np.intp], least_cm: int) -> Numbers:
        """By place: the most one run can be given, ends taken off: never too little."""
        if least_cm not in self._given:
            serving = self.lengths >= least_cm + END_CM
            self._given[least_cm] = np.where(serving, self.lengths - END_CM, 0).sum(axis=1)
        given: Numbers = self._given[least_cm][places]
        return given

    def fewest(self, places: npt.NDArray[np.intp], planned_cm: int) -> Numbers:
        """By place: fewest pieces that one strand so long can be put together from."""
        if self._reached is None:
            self._reached = np.cumsum(np.maximum(self.lengths - END_CM, 0), axis=1)
        fewest: Numbers = 1.0 + (self._reached[places, :-1] < planned_cm).sum(axis=1)
        return fewest
