"""What has been given away of each lot, strand by strand, and how it is cut from the lot's pieces."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from planner.instance import END_CM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.instance import Piece


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

    def take(self, strands: Sequence[Strand]) -> bool:
        """Cut these strands too, if that is found possible; else leave everything as it is."""
        wanted = [*self.strands, *strands]
        cut = self._more(strands) or anew(self.pieces, wanted)
        if cut is None:
            return False
        self.strands, self.cut = wanted, cut
        return True

    def give_back(self, making: int) -> None:
        """Take back what was cut for a project."""
        self.strands = [strand for strand in self.strands if strand.owner[0] != making]
        self.cut = {owner: pieces for owner, pieces in self.cut.items() if owner[0] != making}

    def left(self) -> list[int]:
        """What is left of each piece in cm."""
        rest = [piece.length_cm for piece in self.pieces]
        for pieces in self.cut.values():
            for place, given in pieces:
                rest[place] -= given + END_CM
        return rest

    def _more(self, strands: Sequence[Strand]) -> Cut | None:
        return _cut(self.left(), strands, dict(self.cut))


def anew(pieces: Sequence[Piece], strands: Sequence[Strand]) -> Cut | None:
    """All the strands cut afresh, the longest first; None where that is not found possible."""
    longest_first = sorted(strands, key=lambda strand: (-strand.length_cm, strand.owner))
    return _cut([piece.length_cm for piece in pieces], longest_first, {})


def _cut(rest: list[int], strands: Iterable[Strand], cut: Cut) -> Cut | None:
    """Each strand from the shortest piece that holds it, else from as few of the longest as reach."""
    for strand in strands:
        given = _one(rest, strand)
        if given is None:
            return None
        for place, length in given:
            rest[place] -= length + END_CM
        cut[strand.owner] = given
    return cut


def _one(rest: Sequence[int], strand: Strand) -> list[tuple[int, int]] | None:
    """(place, cm) of the pieces one strand is put together from."""
    needed, least = strand.length_cm, min(strand.least_cm, strand.length_cm)
    holding = [(length, place) for place, length in enumerate(rest) if length - END_CM >= needed]
    if holding:
        return [(min(holding)[1], needed)]
    given: list[tuple[int, int]] = []
    for length, place in sorted(((length - END_CM, place) for place, length in enumerate(rest)), reverse=True):
        if length < least:
            return None
        if length >= needed:
            last = _shortest(rest, needed, {own for own, _ in given})
            return [*given, (last, needed)]
        part = min(length, needed - least)  # leaves the next piece enough to give
        if part < least:
            return None
        given.append((place, part))
        needed -= part
    return None


def _shortest(rest: Sequence[int], needed: int, taken: set[int]) -> int:
    """The shortest piece, of those not taken yet, that holds what is still needed."""
    return min(
        (length, place) for place, length in enumerate(rest) if place not in taken and length - END_CM >= needed
    )[1]
