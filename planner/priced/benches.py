"""What has been given away of each lot, strand by strand, and how it is cut from the lot's pieces."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from planner.instance import END_CM

if TYPE_CHECKING:
    from planner.instance import Piece


ORDERS = 40  # tried


class Strand(NamedTuple):
    """One strand of a run: whose it is, how long, the least a piece gives."""

    owner: tuple[int, int, int, int]  # making, run of the way, strand from 1, place of the lot
    length_cm: int
    least_cm: int


Cut = dict[tuple[int, int, int, int], list[tuple[int, int]]]  # owner -> (place of the piece, cm given)


@dataclass
class Bench:
    """A lot's pieces and the strands cut from them."""

    pieces: Sequence[Piece]
    strands: list[Strand] = field(default_factory=list)
    cut: Cut = field(default_factory=dict)
    _rest: list[int] | None = None

    def take(self, strands: Sequence[Strand]) -> bool:
        """Cut these strands too, if that is found possible; else leave everything as it is."""
        wanted = [*self.strands, *strands]
        cut = self._more(strands) or anew(self.pieces, wanted)
        if cut is None:
            return False
        self.strands, self.cut, self._rest = wanted, cut, None
        return True

    def give_back(self, making: int) -> None:
        """Take back what was cut for a project."""
        self.strands = [strand for strand in self.strands if strand.owner[0] != making]
        self.cut = {owner: pieces for owner, pieces in self.cut.items() if owner[0] != making}
        self._rest = None

    def left(self) -> list[int]:
        """What is left of each piece in cm; not to be changed."""
        if self._rest is None:
            self._rest = [piece.length_cm for piece in self.pieces]
            for pieces in self.cut.values():
                for place, given in pieces:
                    self._rest[place] -= given + END_CM
        return self._rest

    def _more(self, strands: Sequence[Strand]) -> Cut | None:
        return _cut(list(self.left()), strands, dict(self.cut))


def anew(pieces: Sequence[Piece], strands: Sequence[Strand]) -> Cut | None:
    """All the strands cut afresh; None where no way was found."""
    return next(cuts([piece.length_cm for piece in pieces], strands), None)


def cuts(lengths_cm: Sequence[int], strands: Sequence[Strand], orders: int = ORDERS) -> Iterator[Cut]:
    """Ways to cut all the strands from pieces of these lengths, the longest first, then in other orders, so many."""
    if sum(strand.length_cm + END_CM for strand in strands) > sum(lengths_cm):
        return
    order = sorted(strands, key=lambda strand: (-strand.length_cm, strand.owner))
    chance = random.Random(len(order))  # noqa: S311 (an order to try, alike on every machine)
    for tries in range(orders):
        ways = [FROM_PIECES[(tries + (tries > 2) * chance.randrange(2)) % len(FROM_PIECES)] for _ in order]
        cut = _cut(list(lengths_cm), order, {}, ways)
        if cut is not None:
            yield cut
        if tries >= len(FROM_PIECES) - 1:
            order = chance.sample(order, len(order))


def _cut(rest: list[int], strands: Sequence[Strand], cut: Cut, ways: Sequence[From] = ()) -> Cut | None:
    """Each strand from the pieces that its way names, in the order given."""
    for strand, one in zip(strands, ways or [_few] * len(strands), strict=True):
        given = one(rest, strand)
        if given is None:
            return None
        for place, length in given:
            rest[place] -= length + END_CM
        cut[strand.owner] = given
    return cut


def _few(rest: Sequence[int], strand: Strand) -> list[tuple[int, int]] | None:
    """(place, cm): from the shortest piece that holds it, else from as few of the longest as reach."""
    return _alone(rest, strand.length_cm) or _together(rest, strand, longest_first=True)


def _scraps(rest: Sequence[int], strand: Strand) -> list[tuple[int, int]] | None:
    """(place, cm): from the shortest pieces that reach, so that the long ones stay whole."""
    return _together(rest, strand, longest_first=False)


From = Callable[[Sequence[int], Strand], list[tuple[int, int]] | None]
FROM_PIECES: tuple[From, ...] = (_few, _scraps)


def _alone(rest: Sequence[int], length_cm: int) -> list[tuple[int, int]] | None:
    holding = [(length, place) for place, length in enumerate(rest) if length - END_CM >= length_cm]
    return [(min(holding)[1], length_cm)] if holding else None


def _together(rest: Sequence[int], strand: Strand, *, longest_first: bool) -> list[tuple[int, int]] | None:
    """From one piece after another, the last one the shortest that holds what is still wanted."""
    wanted, least = strand.length_cm, min(strand.least_cm, strand.length_cm)
    given: list[tuple[int, int]] = []
    for length, place in sorted(((length - END_CM, place) for place, length in enumerate(rest)), reverse=longest_first):
        if length < least:
            continue
        if length >= wanted:
            free = {own: rest[own] for own in range(len(rest)) if own not in {taken for taken, _ in given}}
            last = min((held, own) for own, held in free.items() if held - END_CM >= wanted)[1]
            return [*given, (last, wanted)]
        part = min(length, wanted - least)  # leaves the next piece enough to give
        if part < least:
            return None
        given.append((place, part))
        wanted -= part
    return None
