"""The independent check names, in plain words, the one rule that a bad plan breaks."""

from dataclasses import replace
from fractions import Fraction

import pytest

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, YarnRange
from patterns.projects import Pin, Project
from planner.verify.check import NAMING, RULES
from stash.colour import read_colour
from tests.planner.hat import Case, need, run


def other_confidence(case):
    case.asked_confidence = Fraction(95, 100)


def another_asked(case):
    case.more_asked = (Project("cowl", "hat", ("S",), Fraction(0)),)


def other_size(case):
    case.sizes["M"] = case.sizes["S"]
    case.project = replace(case.project, sizes=("M",))


def another_need(case):
    case.needs["edging"] = need("edging")
    case.sizes["S"]["edging"] = {None: Amount(Fraction(3), 0.05)}


def unknown_skein(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-7", 1, 2030)),)


def another_piece(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-2", 2, 2030)),)


def centimetre_too_much(case):
    case.planned["main"] = 2001


def centimetre_too_little(case):
    case.runs["main"] = (run({"slate": 1}, 1999, (1, "slate-2", 1, 2029)),)
    case.grams = 7.4975


def two_where_one(case):
    case.two_yarns(LotRule("one", 1, None))


def too_small_a_share(case):
    case.two_yarns(LotRule("alternate", 2, 5.0), 1501, 499)
    case.change_need("main", piece_m=Fraction(2))


def ends_forgotten(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-2", 1, 2000)),)


def strand_without_pieces(case):
    case.runs["main"] = (run({"slate": 2}, 2000, (1, "slate-2", 1, 2030)),)
    case.grams = 12.5


def strand_of_two_lots(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-2", 1, 1030), (1, "sky-2", 1, 1030)),)


def scrap(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-1", 1, 1531), (1, "slate-1", 2, 529)),)


def piece_too_short(case):
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-1", 2, 2030)),)


def piece_taken_twice_over(case):
    case.runs["main"] = (
        run({"slate": 1}, 2000, (1, "slate-1", 2, 530), (1, "slate-1", 2, 530), (1, "slate-2", 1, 1030)),
    )


def join_too_many(case):
    case.change_need("main", joins=0)
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-1", 1, 1030), (1, "slate-2", 1, 1030)),)


def too_thin(case):
    case.change_need("main", yarn=YarnRange(Fraction(100), Fraction(399), "100 to 399"))


def too_few_strands(case):
    case.change_need("main", strands=(2, 2))


def marled(case):
    case.runs["main"] = (run({"cream": 1, "slate": 1}, 2000, (1, "cream-1", 1, 2030), (2, "slate-2", 1, 2030)),)
    case.grams = 12.5


def fibre_not_allowed(case):
    case.change_need("main", fibre=FibreRule(allow=frozenset({"plant"})))


def fibre_avoided(case):
    case.change_need("main", fibre=FibreRule(avoid=frozenset({"wool"})))


def too_little_fibre(case):
    case.change_need("main", fibre=FibreRule(at_least={"silk": Fraction(1, 5)}))


def too_much_fibre(case):
    case.change_need("main", fibre=FibreRule(at_most={"animal": Fraction(1, 2)}))


def felts_in_the_machine(case):
    case.wash = "machine"
    case.change_lot("slate", felts=True)


def felting_meets_not_felting(case):
    case.change_lot("slate", felts=True)
    case.change_lot("cream", felts=False)


def unlike_blends(case):
    case.two_yarns(LotRule("any", None, None), other="mist")


def outside_its_pin(case):
    case.project = replace(case.project, pins={"main": Pin(only=frozenset({"sky"}))})


def pinned_out(case):
    case.project = replace(case.project, pins={"main": Pin(without=frozenset({"slate"}))})


def unlike_colours(case):
    case.two_yarns(LotRule("alternate", 2, 5.0), other="cream")


def not_near(case):
    case.change_need("main", colour=ColourRule(near=read_colour("#efe6d2"), within=8.0))


def no_contrast(case):
    case.change_need("motif", colour=ColourRule(against=("main",), against_lightness=60.0))


def not_lighter(case):
    case.change_need("main", colour=ColourRule(lighter_than=("motif",)))


def not_darker(case):
    case.change_need("motif", colour=ColourRule(darker_than=("main",)))


def not_the_same(case):
    case.change_need("motif", colour=ColourRule(same_as=("main",)))


def same_lot(case):
    case.runs["motif"] = (run({"slate": 1}, 1000, (1, "slate-1", 1, 1030)),)
    case.change_need("motif", colour=ColourRule(not_in=("main",)))


def no_fade(case):
    case.needs["edging"] = need("edging")
    case.sizes["S"]["edging"] = {None: Amount(Fraction(10), 0.05)}
    case.planned["edging"], case.grams = 1000, 10.0
    case.runs["edging"] = (run({"sky": 1}, 1000, (1, "sky-2", 1, 1030)),)
    case.order = ("main", "motif", "edging")


def serves_twice(case):
    """Main fades into a motif held with main's own lot, which is lighter all the same."""
    case.order = ("main", "motif")
    case.change_need("motif", marl=True)
    case.runs["motif"] = (run({"cream": 1, "slate": 1}, 1000, (1, "cream-2", 1, 1030), (2, "slate-1", 1, 1030)),)
    case.grams = 10.0


def bleeds(case):
    case.change_lot("slate", bleeds=True)


def other_total(case):
    case.grams = 7.6


def unknown_aim(case):
    case.aim = "joy"


def bound_below(case):
    case.bound = 7.4


def not_the_best(case):
    case.bound = 8.0


def more_than_it_takes(case):
    case.fewest = 3


CASES = {
    other_confidence: ("confidence_stated", "the plan is 50.00% sure, 95.00% was asked for"),
    another_asked: ("projects_once", "cowl: stands in the plan not at all, asked for once"),
    other_size: ("size_asked", "hat:S: size S was not asked for; asked for M"),
    another_need: ("needs_served", "hat:S, edging: planned not at all, its size asks for it once"),
    unknown_skein: ("yarn_owned", "hat:S, main: there is no skein slate-7"),
    another_piece: ("yarn_owned", "hat:S, main: skein slate-2 has no piece 2"),
    centimetre_too_much: ("planned_lengths", "hat:S, main: 20.01 m planned where 20.00 m is needed"),
    centimetre_too_little: ("stretches_filled", "hat:S, main: working yarns of 19.99 m where 20.00 m is needed"),
    two_where_one: ("lots_allowed", "hat:S, main: 2 working yarns where at most 1 may serve"),
    too_small_a_share: ("shares_carried", "hat:S, main: sky carries less than its share, 1/4 of the need"),
    ends_forgotten: ("strands_filled", "hat:S, main: strand 1 of slate gives 19.70 m where 20.00 m is planned"),
    strand_without_pieces: (
        "strands_filled",
        "hat:S, main: 2 x slate has 2 strands, pieces are taken for [1]",
        "hat:S, main: the pieces taken are not those of 2 x slate",
    ),
    strand_of_two_lots: (
        "strands_filled",
        "hat:S, main: strand 1 of slate changes from one lot to another (sky, slate)",
        "hat:S, main: the pieces taken are not those of slate",
    ),
    scrap: ("least_given", "hat:S, main: skein slate-1, piece 2 gives 4.99 m, less than 5.00 m"),
    piece_too_short: ("pieces_hold", "skein slate-1, piece 2: 20.30 m taken, 10.00 m may be"),
    piece_taken_twice_over: ("pieces_hold", "skein slate-1, piece 2: 10.60 m taken, 10.00 m may be"),
    join_too_many: ("joins_kept", "hat:S, main: 1 joins where at most 0 may be"),
    too_thin: ("count_accepted", "hat:S, main: slate is 400.0 m/100 g as wool, 100 to 399 is asked for"),
    too_few_strands: ("strands_allowed", "hat:S, main: slate holds 1 strands together, 2 to 2 may be"),
    marled: ("strands_match", "hat:S, main: cream and slate are held together but differ in colour by more than 3"),
    fibre_not_allowed: ("fibre_allowed", "hat:S, main: slate holds wool, which is not allowed"),
    fibre_avoided: ("fibre_allowed", "hat:S, main: slate holds wool, which is to be avoided"),
    too_little_fibre: ("fibre_allowed", "hat:S, main: slate holds less than 20% silk"),
    too_much_fibre: ("fibre_allowed", "hat:S, main: slate holds more than 50% animal"),
    felts_in_the_machine: ("wash_stood", "hat:S: slate felts, and this is washed by machine"),
    felting_meets_not_felting: (
        "felting_apart",
        "hat:S: slate felts and cream does not, and this is not washed by hand",
    ),
    unlike_blends: ("blends_alike", "hat:S, main: the blends of slate and mist differ by 40.0 points"),
    outside_its_pin: ("pins_kept", "hat:S, main: slate is not among the lots it keeps to"),
    pinned_out: ("pins_kept", "hat:S, main: slate is to be left out"),
    unlike_colours: ("yarns_match", "hat:S, main: slate and cream differ in colour by 41.7, over 5"),
    not_near: ("near_colour", "hat:S, main: slate is 41.7 from #efe6d2, more than 8"),
    no_contrast: ("against_other", "hat:S, motif: cream does not stand out against slate in main"),
    not_lighter: ("lighter_than_other", "hat:S, main: slate is not lighter enough than cream in motif"),
    not_darker: ("darker_than_other", "hat:S, motif: cream is not darker enough than slate in main"),
    not_the_same: ("same_as_other", "hat:S, motif: cream is not one of the yarns of main"),
    same_lot: ("not_in_other", "hat:S, motif: slate is also in main"),
    no_fade: ("order_kept", "hat:S: main, motif, edging do not fade by 5 or more each step"),
    serves_twice: ("order_serves_once", "hat:S: slate serves twice in the fade"),
    bleeds: ("bleeding_apart", "hat:S: slate bleeds and would meet cream, which is much lighter"),
    other_total: ("aim_recounted", "the plan says 7.600000 grams, its rows say 7.500000"),
    unknown_aim: ("aim_recounted", "the aim joy is not one of grams, projects, lots"),
    bound_below: ("bound_holds", "the plan reaches 7.500000 grams but says no more than 7.400000 can be"),
    not_the_best: ("bound_holds", "the plan says it is the best possible, yet 8.000000 grams might be"),
    more_than_it_takes: ("fewest_holds", "the plan says no plan has fewer than 3 lots and joins, its rows have 2"),
}


@pytest.mark.parametrize("spoil", CASES, ids=lambda spoil: spoil.__name__)
def test_one_broken_rule_is_told_in_its_words(spoil):
    case = Case()
    spoil(case)
    rule, *words = CASES[spoil]
    assert [rule] == case.rules_broken()
    assert tuple(words) == case.broken()


def test_every_rule_has_a_plan_that_breaks_it():
    assert {rule.__name__ for rule in (*NAMING, *RULES)} == {rule for rule, *_ in CASES.values()}


def test_bleeding_is_let_be_where_the_risk_is_accepted_and_felting_where_washed_by_hand():
    case = Case()
    bleeds(case)
    felting_meets_not_felting(case)
    case.project = replace(case.project, bleed_risk=True)
    case.wash = "hand"
    assert case.broken() == ()


def test_needs_that_must_differ_and_share_no_lot_are_good():
    case = Case()
    case.change_need("motif", colour=ColourRule(not_in=("main",)))
    assert case.broken() == ()
