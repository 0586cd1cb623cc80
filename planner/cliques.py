"""Groups of which at most one member may be chosen, found so that few groups say all that is to be said."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def cover(apart: Sequence[int], implied: Sequence[int]) -> list[list[int]]:
    """Cliques that hold every pair kept apart.

    `apart[i]` has bit j set where members i and j may not both be chosen (symmetric); `implied[i]` where that is said
    elsewhere already, so that such pairs may help to fill a clique but need not be covered. Each clique is grown
    from the first uncovered pair by the member that covers most uncovered pairs.
    """
    either = [a | b for a, b in zip(apart, implied, strict=True)]
    missing = [a & ~b for a, b in zip(apart, implied, strict=True)]
    cliques = []
    for first in range(len(apart)):
        while missing[first]:
            clique = _grow(first, either, missing)
            for member in clique:
                for other in clique:
                    missing[member] &= ~(1 << other)
            cliques.append(sorted(clique))
    return cliques


def _grow(first: int, either: Sequence[int], missing: Sequence[int]) -> list[int]:
    second = _lowest(missing[first])
    clique, inside = [first, second], 1 << first | 1 << second
    free = either[first] & either[second] & ~inside
    while free:
        best, gain = -1, -1
        rest = free
        while rest:
            low = rest & -rest
            member = low.bit_length() - 1
            rest ^= low
            covers = (missing[member] & inside).bit_count()
            if covers > gain:
                best, gain = member, covers
        clique.append(best)
        inside |= 1 << best
        free &= either[best] & ~(1 << best)
    return clique


def _lowest(bits: int) -> int:
    return (bits & -bits).bit_length() - 1
