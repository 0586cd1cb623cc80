"""What the stash holds: lots as a whole, and piece by piece where it matters."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.columns import fewest_pieces, place_name
from planner.instance import END_CM
from planner.program import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns, Cut, Key


def lot_holds(columns: Columns) -> Iterator[Row]:
    """A lot gives no more than its pieces hold, two woven-in ends taken off for every piece that must be taken.

    For every lot: sum over uses of strands x (length + 0.3 m x fewest pieces) <= sum of its pieces that can serve.
    """
    for number, (lot, uses) in enumerate(columns.by_lot.items()):
        least = min(use.stretch.least_cm for use, _ in uses)
        holds = sum(p.length_cm for p in columns.instance.stock[lot] if p.length_cm >= least + END_CM)
        terms: list[tuple[int, float]] = []
        for use, strands in uses:
            terms += use.length_terms(strands)
            cuts = [cut for cut in columns.cuts_by_use.get(use.key, ()) if cut.piece.lot == lot]
            if cuts:
                terms += ((cut.taken, float(END_CM)) for cut in cuts)
            else:
                terms.append((use.used, float(strands * END_CM * fewest_pieces(columns.instance, lot, use))))
        yield Row(f"lot_holds_{number:05d}", tuple(terms), "<=", holds)


def pieces_reach(columns: Columns) -> Iterator[Row]:
    """The pieces of a strand, put together, are as long as the run.

    For every strand of every use that is modelled piece by piece: sum over pieces of given = length.
    """
    for (key, strand), cuts in _by_strand(columns).items():
        terms = (*((cut.given, 1.0) for cut in cuts), *cuts[0].use.length_terms(-1.0))
        yield Row(f"pieces_reach_{place_name((*key, strand))}", terms, "=", 0)


def enough_pieces(columns: Columns) -> Iterator[Row]:
    """A strand takes no fewer pieces than the longest that could serve it; implied by the rest, it guides the search.

    For every strand that is modelled piece by piece: sum over pieces of taken >= fewest pieces x used.
    """
    for (key, strand), cuts in _by_strand(columns).items():
        fewest = fewest_pieces(columns.instance, cuts[0].piece.lot, cuts[0].use)
        terms = (*((cut.taken, 1.0) for cut in cuts), (cuts[0].use.used, -float(fewest)))
        yield Row(f"enough_pieces_{place_name((*key, strand))}", terms, ">=", 0)


def least_piece(columns: Columns) -> Iterator[Row]:
    """A piece that is taken gives at least the least length (5 m, or the stretch if that is shorter).

    For every cut: given >= least x taken.
    """
    for number, cut in enumerate(columns.cuts):
        terms = ((cut.given, 1.0), (cut.taken, -float(cut.use.stretch.least_cm)))
        yield Row(f"least_piece_{number:05d}", terms, ">=", 0)


def piece_taken(columns: Columns) -> Iterator[Row]:
    """A piece gives nothing unless it is taken, and never more than it holds without its ends.

    For every cut: given <= (piece - 0.3 m) x taken.
    """
    for number, cut in enumerate(columns.cuts):
        most = float(min(cut.piece.length_cm - END_CM, cut.use.stretch.planned_cm))
        yield Row(f"piece_taken_{number:05d}", ((cut.given, 1.0), (cut.taken, -most)), "<=", 0)


def taken_if_used(columns: Columns) -> Iterator[Row]:
    """Pieces are taken only for working yarns that are used.

    For every cut: taken <= used.
    """
    for number, cut in enumerate(columns.cuts):
        yield Row(f"taken_if_used_{number:05d}", ((cut.taken, 1.0), (cut.use.used, -1.0)), "<=", 0)


def piece_holds(columns: Columns) -> Iterator[Row]:
    """A piece gives no more than it holds, two woven-in ends taken off for every part it is cut into.

    For every piece that is modelled piece by piece: sum over cuts of (given + 0.3 m x taken) <= its length.
    """
    by_piece: dict[tuple[str, str, int], list[Cut]] = defaultdict(list)
    for cut in columns.cuts:
        by_piece[cut.piece.lot, cut.piece.skein, cut.piece.number].append(cut)
    for number, cuts in enumerate(by_piece.values()):
        terms = [term for cut in cuts for term in ((cut.given, 1.0), (cut.taken, float(END_CM)))]
        yield Row(f"piece_holds_{number:05d}", tuple(terms), "<=", cuts[0].piece.length_cm)


def _by_strand(columns: Columns) -> dict[tuple[Key, int], list[Cut]]:
    found: dict[tuple[Key, int], list[Cut]] = defaultdict(list)
    for cut in columns.cuts:
        found[cut.use.key, cut.strand].append(cut)
    return found
