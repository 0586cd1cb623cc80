"""Strands cut from the pieces of a lot: worked out by hand."""

from planner.instance import END_CM, Piece
from planner.priced.benches import Bench, Strand

PIECES = [Piece("slate", "slate-1", number, length) for number, length in enumerate((4000, 10_000, 2500), 1)]


def strand(run, length, least=500):
    return Strand((0, run, 1, 0), length, least)


def test_a_strand_comes_from_the_shortest_piece_that_holds_it():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 2400), strand(1, 3970)])
    assert bench.cut == {(0, 0, 1, 0): [(2, 2400)], (0, 1, 1, 0): [(0, 3970)]}
    assert bench.left() == [0, 10_000, 2500 - 2400 - END_CM]


def test_a_longer_one_is_put_together_from_the_longest_pieces_and_the_shortest_that_ends_it():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 12_000)])
    assert bench.cut == {(0, 0, 1, 0): [(1, 9970), (2, 2030)]}


def test_no_piece_gives_less_than_the_least():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 10_000)])  # 9970 and 30 would do, were it not for the least of 500
    assert bench.cut == {(0, 0, 1, 0): [(1, 9500), (2, 500)]}


def test_what_cannot_be_cut_changes_nothing():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 9000)])
    before = dict(bench.cut)
    assert not bench.take([strand(1, 7400)])  # 3970, 2470 and 940 are left
    assert bench.cut == before
    assert bench.strands == [strand(0, 9000)]


def test_all_is_cut_afresh_where_it_does_not_fit_beside_what_was_cut():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 2000)])  # from the piece of 2500
    assert bench.take([strand(1, 2470), strand(2, 9970)])  # which is wanted whole now
    assert sorted(given for pieces in bench.cut.values() for _, given in pieces) == [2000, 2470, 9970]


def test_what_is_given_back_may_be_cut_again():
    bench = Bench(PIECES)
    assert bench.take([strand(0, 9000)])
    bench.give_back(0)
    assert bench.left() == [piece.length_cm for piece in PIECES]
