"""The aims after the first, for a plan found at prices: fewest lots and joins, then fewest skeins, then smallest ids.

What is made stays made, and nothing is worth less: lots are cut anew, and projects take other ways that are worth as
much.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.priced.benches import cuts
from planner.priced.ways import GLANCE
from planner.stages import KEPT_WITHIN

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from planner.instance import Piece
    from planner.priced.benches import Bench, Cut
    from planner.priced.choice import Choice
    from planner.priced.ways import Way

ORDERS, FEWER = 6, 3  # in which a lot's strands are cut: from all its pieces, and without some of them
PATIENCE = 30  # projects are asked for other ways until so many in a row were asked in vain
A_PIECE = 1e-9  # of the aim's unit: what a piece costs, so that of ways worth as much the one of fewer is found


class Spent(NamedTuple):
    """What is to be spared, the first before the next."""

    lots_and_joins: int
    skeins: int
    places: int  # of the pieces taken, in id order within their lots, added up


def spare(choice: Choice, over: Callable[[], bool]) -> None:
    """Lower what is spent, every project worth as much as before."""
    for place in sorted(choice.benches):
        if over():
            return
        choice.cut_so(place, _most_sparing(choice.bench(place)))
    if choice.ways:
        _ask_again(choice, over)


def spent(benches: Iterable[Bench]) -> Spent:
    """What is spent of these lots."""
    each = [_of_cut(bench.pieces, bench.cut) for bench in benches]
    return Spent(*(sum(own) for own in zip(*each, strict=True))) if each else Spent(0, 0, 0)


def _of_cut(pieces: Sequence[Piece], cut: Cut) -> Spent:
    """What is spent of one lot: itself for every project, pieces but the first of each strand, skeins, places."""
    taken = [place for own in cut.values() for place, _ in own]
    projects = {making for making, *_ in cut}
    return Spent(len(projects) + len(taken) - len(cut), len({pieces[place].skein for place in taken}), sum(taken))


def _most_sparing(bench: Bench) -> Cut:
    """Of several ways to cut a lot the best, from all its pieces, then without one piece or skein after another."""
    lengths = [piece.length_cm for piece in bench.pieces]
    best = _best(bench.pieces, [bench.cut, *cuts(lengths, bench.strands, ORDERS)])
    tried: set[tuple[int, ...]] = set()
    better = True
    while better:
        better = False
        for left in _left_out(bench.pieces, best):
            if left not in tried:
                tried.add(left)
                found = _best(bench.pieces, [best, *cuts(left, bench.strands, FEWER)])
                if found is not best:
                    best, better = found, True
                    break
    return best


def _best(pieces: Sequence[Piece], found: Sequence[Cut]) -> Cut:
    return min(found, key=lambda cut: _of_cut(pieces, cut))


def _left_out(pieces: Sequence[Piece], cut: Cut) -> Iterator[tuple[int, ...]]:
    """Lengths without a skein or piece that is taken, what gives least first, without those not opened or with them."""
    given: Counter[int | str] = Counter()
    for own in cut.values():
        for place, length in own:
            given[place] += length
            given[pieces[place].skein] += length
    for out in sorted(given, key=lambda one: (given[one], str(one))):
        left = [0 if out in (place, piece.skein) else piece.length_cm for place, piece in enumerate(pieces)]
        yield tuple(length * (piece.skein in given) for length, piece in zip(left, pieces, strict=True))
        yield tuple(left)


def _ask_again(choice: Choice, over: Callable[[], bool]) -> None:
    """Every project, those that spend most first, takes another way if one worth as much is found that spends less."""
    choice.tell(next(iter(choice.insides.values())).store)
    waiting = sorted(choice.ways, key=lambda making: (-_spends(choice, choice.ways[making]), making))
    vain = 0
    while waiting:
        making = waiting.pop(0)
        lots = sorted(choice.ways[making].takes)
        for without in (None, *(lots if len(lots) > 1 else ())):
            if over() or vain == PATIENCE:
                return
            if _ask(choice, making, without):
                waiting.append(making)
                vain = 0
                break
            vain += 1


def _spends(choice: Choice, way: Way) -> int:
    """Lots and joins of one project."""
    pieces = sum(len(choice.pieces(way, number)) for number in range(len(way.runs)))
    return len(way.takes) + pieces - sum(len(run.strands) for run in way.runs)


def _ask(choice: Choice, making: int, without: int | None) -> bool:
    """Ask a project for a way worth as much, of fewest pieces, or `without` one of its lots; whether it spends less."""
    way, inside = choice.ways[making], choice.insides[making]
    least = way.worth - KEPT_WITHIN / len(choice.ways)
    before = {place: replace(choice.bench(place)) for place in way.takes}
    choice.give_back(making)
    choice.tell(inside.store, before)
    prices, holds = A_PIECE / np.maximum(inside.store.lengths[:, 0], 1), choice.left.copy()
    if without is not None:
        holds[without] = 0
        prices[list(way.takes)] = 0
    found = inside.best(prices, holds, GLANCE, above=least - way.cost(prices)).way
    if found is not None and found.worth >= least:
        before |= {place: replace(choice.bench(place)) for place in found.takes if place not in before}
        if _take_instead(choice, found, way, before):
            choice.tell(inside.store, before)
            return True
    choice.put_back(way, before)
    choice.tell(inside.store, before)
    return False


def _take_instead(choice: Choice, found: Way, way: Way, before: Mapping[int, Bench]) -> bool:
    """Choose a way if that spends less than another did, these lots having been cut so; else it is given back."""
    if not choice.take(found):
        return False
    for place in before:
        choice.cut_so(place, _most_sparing(choice.bench(place)))
    if spent(choice.bench(place) for place in before) < spent(before.values()):
        return True
    choice.give_back(way.making)
    return False
