"""Every way to cut one lot's pieces for the strands that want it, by trying every choice of pieces for every strand.

Once it is fixed which pieces serve which strand, what each piece gives is a transport problem: it has an answer in whole
centimetres exactly when no set of strands wants more, above its least lengths, than the pieces serving that set have
left (Gale's theorem on flows; Hall's for one unit each).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

ENDS = 30  # centimetres in two woven-in ends


@dataclass(frozen=True, order=True)
class Strand:
    """One strand: a fixed length, or a share of the length named `free`; all in centimetres."""

    least: int
    fixed: int  # 0 where it is free
    free: str  # "" where it is fixed
    capped: str  # the need whose pieces are counted, or ""
    most: int = 0  # pieces that need may take from this lot, where they are counted


@dataclass(frozen=True)
class Way:
    """What one choice of pieces allows: sum(free lengths in key) <= room, and how many pieces each counted need takes."""

    names: tuple[str, ...]
    room: tuple[tuple[tuple[int, ...], int], ...]
    pieces: tuple[tuple[str, int], ...]


@lru_cache(maxsize=200_000)
def ways(pieces: tuple[int, ...], strands: tuple[Strand, ...]) -> tuple[Way, ...]:
    """The ways that no other way outdoes; none where the lot cannot serve the strands. `strands` sorted."""
    return tuple(_Search(pieces, strands).run())


class _Search:
    """Strand by strand, every set of pieces. A set of pieces is a number whose bits are its pieces."""

    def __init__(self, pieces, strands):
        self.pieces, self.strands = pieces, strands
        self.names = tuple(sorted({s.free for s in strands if s.free}))
        self.counted = tuple(sorted({s.capped for s in strands if s.capped}))
        self.sets = sorted(range(1, 1 << len(pieces)), key=lambda t: (t.bit_count(), t))
        self.spare = sum(pieces) - sum((s.fixed or s.least) + ENDS for s in strands)
        self.found: list[Way] = []

    def run(self):
        if self.spare >= 0:
            nothing = (0, (0,) * len(self.names))
            self._place([], list(self.pieces), self.spare, {nothing: 0}, dict.fromkeys(self.counted, 0))
        return self.found

    def _place(self, chosen, left, spare, wants, taken):
        """`wants`: (pieces, how many of each free length) -> most wanted above the least lengths by strands served by just those."""
        i = len(chosen)
        if i == len(self.strands):
            self._keep(chosen, left, wants, taken)
            return
        strand = self.strands[i]
        waiting = sum(1 for s in self.strands[i + 1 :] if strand.capped and s.capped == strand.capped)
        for t in self.sets:
            size = t.bit_count()
            twin = i > 0 and strand == self.strands[i - 1] and t < chosen[-1]
            too_many = strand.capped and taken[strand.capped] + size + waiting > strand.most
            if twin or too_many or (strand.fixed and strand.least * size > strand.fixed) or ENDS * (size - 1) > spare:
                continue
            after = [c - (ENDS + strand.least) * (t >> j & 1) for j, c in enumerate(left)]
            if min(after) < 0:
                continue
            wanted = _with_strand(wants, self.names, strand, t)
            if _fits(wanted, after, self.names):
                now = {**taken, strand.capped: taken[strand.capped] + size} if strand.capped else taken
                self._place([*chosen, t], after, spare - ENDS * (size - 1), wanted, now)
                if self.found and not self.names and not self.counted:
                    return

    def _keep(self, chosen, left, wants, taken):
        room: dict[tuple[int, ...], int] = {}
        for (served, key), above in wants.items():
            slack = sum(c for j, c in enumerate(left) if served >> j & 1) - above
            room[key] = min(slack, room.get(key, slack))
        for strand, t in zip(self.strands, chosen, strict=True):
            if strand.free:
                key = tuple(-int(name == strand.free) for name in self.names)
                room[key] = min(-strand.least * t.bit_count(), room.get(key, 0))
        del room[(0,) * len(self.names)]  # the fixed lengths fit, as every step saw to
        way = Way(self.names, tuple(sorted(room.items())), tuple(sorted(taken.items())))
        if not any(_outdoes(other, way) for other in self.found):
            self.found = [other for other in self.found if not _outdoes(way, other)] + [way]


def _with_strand(wants, names, strand, t):
    """The same with one more strand, served by the pieces `t`."""
    grown = dict(wants)
    above = strand.fixed - strand.least * t.bit_count()
    place = names.index(strand.free) if strand.free else -1
    for (served, key), most in wants.items():
        grown_key = tuple(k + (j == place) for j, k in enumerate(key)) if strand.free else key
        both = (served | t, grown_key)
        grown[both] = max(most + above, grown.get(both, most + above))
    return grown


def _fits(wants, left, names):
    none = (0,) * len(names)
    return all(
        above <= sum(c for j, c in enumerate(left) if served >> j & 1)
        for (served, key), above in wants.items()
        if key == none
    )


def _outdoes(one: Way, other: Way) -> bool:
    """Both have the same keys: they are the sets of the same strands."""
    return all(a[1] >= b[1] for a, b in zip(one.room, other.room, strict=True)) and all(
        a[1] <= b[1] for a, b in zip(one.pieces, other.pieces, strict=True)
    )
