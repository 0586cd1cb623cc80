"""Every limit of the independent check lets pass what is right at it, and a hundred-thousandth beyond it no longer."""

from dataclasses import replace
from fractions import Fraction

import pytest

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, YarnRange
from patterns.projects import Pin
from planner.verify.check import verify
from planner.verify.facts import Yarn
from stash.colour import colour_from_lab, difference
from stash.fibre import read_blend
from tests.planner.hat import LOTS, Case, need, run

WITHIN, BEYOND = 5e-7, 1e-5  # limits hold to a millionth of their unit
SLATE, CREAM = LOTS["slate"].colour, LOTS["cream"].colour


def grey(lightness):
    return colour_from_lab(lightness, 0.0, 0.0)


def recoloured(case, slate, cream):
    case.change_lot("slate", colour=grey(slate))
    case.change_lot("cream", colour=grey(cream))


def matching(case, by):
    """Main from slate and sky, which differ by as much as the rule lets them, less `by`."""
    apart = difference(LOTS["slate"].colour, LOTS["sky"].colour)
    case.two_yarns(LotRule("any", None, apart - by))


def near(case, by):
    case.change_need("main", colour=ColourRule(near=CREAM, within=difference(SLATE, CREAM) - by))


def against(case, by):
    recoloured(case, 40.0, 65.0 - by)
    case.change_need("motif", colour=ColourRule(against=("main",), against_lightness=25.0))


def against_from_below(case, by):
    recoloured(case, 65.0 - by, 40.0)
    case.change_need("motif", colour=ColourRule(against=("main",), against_lightness=25.0))


def lighter(case, by):
    recoloured(case, 40.0, 45.0 - by)
    case.change_need("motif", colour=ColourRule(lighter_than=("main",), lighter_lightness=5.0))


def darker(case, by):
    recoloured(case, 45.0 - by, 40.0)
    case.change_need("motif", colour=ColourRule(darker_than=("main",), lighter_lightness=5.0))


def rising(case, by):
    recoloured(case, 40.0, 45.0 - by)
    case.order = ("main", "motif")


def falling(case, by):
    recoloured(case, 45.0 - by, 40.0)
    case.order = ("main", "motif")


def bleeding(case, by):
    recoloured(case, 40.0, 65.0 - 2e-6 + by)
    case.change_lot("slate", bleeds=True)


def thin(case, by):
    low = Fraction(400) + Fraction(by)
    case.change_need("main", yarn=YarnRange(low, Fraction(500), "thin"))


def thick(case, by):
    high = Fraction(400) - Fraction(by)
    case.change_need("main", yarn=YarnRange(Fraction(300), high, "thick"))


def too_little(case, by):
    """A share's unit is the percent."""
    case.change_lot("slate", blend=read_blend("80% wool, 20% silk"))
    case.change_need("main", fibre=FibreRule(at_least={"silk": Fraction(1, 5) + Fraction(by) / 100}), yarn=ANY)
    case.change_need("motif", yarn=ANY)


def too_much(case, by):
    case.change_lot("slate", blend=read_blend("80% wool, 20% silk"))
    case.change_need("main", fibre=FibreRule(at_most={"wool": Fraction(4, 5) - Fraction(by) / 100}), yarn=ANY)
    case.change_need("motif", yarn=ANY)


PIN = Pin(only=frozenset({"slate"}))
ANY = YarnRange(Fraction(1), Fraction(10_000), "any")
LIMITS = {
    matching: "yarns_match",
    near: "near_colour",
    against: "against_other",
    against_from_below: "against_other",
    lighter: "lighter_than_other",
    darker: "darker_than_other",
    rising: "order_kept",
    falling: "order_kept",
    bleeding: "bleeding_apart",
    thin: "count_accepted",
    thick: "count_accepted",
    too_little: "fibre_allowed",
    too_much: "fibre_allowed",
}


@pytest.mark.parametrize("change", LIMITS, ids=lambda change: change.__name__)
def test_a_limit_is_inclusive_to_a_millionth_and_no_wider(change):
    case = Case()
    change(case, WITHIN)
    assert case.rules_broken() == []
    case = Case()
    change(case, BEYOND)
    assert case.rules_broken() == [LIMITS[change]]


@pytest.mark.parametrize(
    ("cotton", "broken"), [("70% wool, 30% cotton", []), ("69.9% wool, 30.1% cotton", ["blends_alike"])]
)
def test_blends_differ_by_30_points_at_most(cotton, broken):
    case = Case()
    case.two_yarns(LotRule("any", None, None))
    case.change_lot("sky", blend=read_blend(cotton))
    case.change_need("main", yarn=ANY)
    assert case.rules_broken() == broken


@pytest.mark.parametrize(("apart", "broken"), [(2.99, []), (3.01, ["strands_match"])])
def test_strands_held_together_differ_in_colour_by_3_at_most(apart, broken):
    """Along L* near 50, where S_L is 1, CIEDE2000 of two greys is their difference in L*."""
    case = Case()
    case.change_lot("slate", colour=grey(50 - apart / 2))
    case.change_lot("sky", colour=grey(50 + apart / 2))
    case.runs["main"] = (run({"sky": 1, "slate": 1}, 2000, (1, "sky-2", 1, 2030), (2, "slate-2", 1, 2030)),)
    case.grams = 12.5
    assert case.rules_broken() == broken
    case.change_need("main", marl=True)
    assert case.rules_broken() == []


def test_a_share_of_an_alternating_yarn_is_inclusive():
    """Of 20 m under `alternate 2` a quarter, 5 m; a centimetre less is too little."""
    case = Case()
    case.two_yarns(LotRule("alternate", 2, None), 1500, 500)
    assert case.rules_broken() == []
    case.two_yarns(LotRule("alternate", 2, None), 1501, 499)
    case.change_need("main", piece_m=Fraction(1))
    assert case.rules_broken() == ["shares_carried"]


def test_as_many_yarns_as_the_rule_says_and_no_more():
    case = Case()
    case.two_yarns(LotRule("any", 2, None))
    assert case.rules_broken() == []
    case.two_yarns(LotRule("any", 1, None))
    assert case.rules_broken() == ["lots_allowed"]


def test_a_yarn_stands_once_in_a_stretch():
    case = Case()
    case.change_need("main", lots=LotRule("any", None, None))
    case.runs["main"] = (
        run({"slate": 1}, 1000, (1, "slate-1", 1, 1030)),
        run({"slate": 1}, 1000, (1, "slate-2", 1, 1030)),
    )
    assert case.broken() == ("hat:S, main: slate is listed 2 times",)


def test_a_yarn_of_no_length_is_told():
    case = Case()
    case.change_need("main", lots=LotRule("any", None, None))
    case.runs["main"] = (
        run({"slate": 1}, 2000, (1, "slate-2", 1, 2030)),
        run({"sky": 1}, 0, (1, "sky-2", 1, 30)),
    )
    assert "hat:S, main: sky is planned with no length" in case.broken()
    assert case.rules_broken() == ["strands_filled", "least_given"]


def test_parts_are_told_by_their_names():
    case = Case()
    case.change_need("main", lots=LotRule("by-part", None, None))
    case.sizes["S"]["main"] = {"body": Amount(Fraction(15), 0.05), "cuff": Amount(Fraction(5), 0.05)}
    case.runs["main"] = (
        run({"slate": 1}, 1500, (1, "slate-2", 1, 1530), part="body"),
        run({"slate": 1}, 250, (1, "slate-1", 2, 280), part="cuff"),
        run({"slate": 1}, 249, (1, "slate-1", 1, 279), part="cuff"),
        run({"slate": 1}, 100, (1, "slate-1", 1, 130), part="hem"),
    )
    case.grams = 7.4975 + 0.25
    told = case.broken()
    assert told[:4] == (
        "hat:S, main, cuff: working yarns of 4.99 m where 5.00 m is needed",
        "hat:S, main, hem: working yarns of 1.00 m where 0.00 m is needed",
        "hat:S, main, cuff: 2 working yarns where at most 1 may serve",
        "hat:S, main, cuff: slate is listed 2 times",
    )


def test_joins_up_to_the_cap_are_good():
    case = Case()
    case.change_need("main", joins=1)
    case.runs["main"] = (run({"slate": 1}, 2000, (1, "slate-1", 1, 1030), (1, "slate-2", 1, 1030)),)
    assert case.broken() == ()


def test_a_piece_may_be_taken_whole():
    case = Case()
    case.sizes["S"]["main"] = {None: Amount(Fraction("39.7"), 0.05)}
    case.planned["main"], case.grams = 3970, (39.7 + 10) * 0.25
    case.runs["main"] = (run({"slate": 1}, 3970, (1, "slate-2", 1, 4000)),)
    assert case.broken() == ()


def test_same_as_asks_for_the_same_strands_too():
    case = Case()
    case.change_need("motif", colour=ColourRule(same_as=("main",)))
    case.runs["motif"] = (run({"slate": 1}, 1000, (1, "slate-1", 1, 1030)),)
    assert case.broken() == ()
    case.runs["motif"] = (run({"slate": 2}, 1000, (1, "slate-1", 1, 1030), (2, "slate-2", 1, 1030)),)
    assert case.rules_broken()[0] == "same_as_other"


def test_an_avoided_family_and_an_allowed_one_are_known_by_their_fibres():
    case = Case()
    case.change_need("main", fibre=FibreRule(allow=frozenset({"animal"})))
    assert case.broken() == ()
    case.change_need("main", fibre=FibreRule(avoid=frozenset({"animal"})))
    assert case.broken() == ("hat:S, main: slate holds wool, which is to be avoided",)


def test_felting_is_let_be_where_it_is_not_known():
    case = Case()
    case.change_lot("slate", felts=True)
    assert case.broken() == ()
    case = Case()
    case.change_lot("cream", felts=False)
    case.wash = "machine"
    assert case.broken() == ()


def test_pins_of_a_need_that_the_size_lacks_ask_nothing():
    case = Case()
    case.needs["edging"] = need("edging")
    case.project = replace(case.project, pins={"edging": PIN, "main": PIN})
    assert case.broken() == ()


def test_a_piece_that_gives_nothing_is_told_even_where_any_length_would_do():
    case = Case()
    case.change_need("main", lots=LotRule("any", None, None), piece_m=Fraction(0))
    case.runs["main"] = (
        run({"slate": 1}, 1999, (1, "slate-2", 1, 2029), (1, "slate-1", 1, 30)),
        run({"sky": 1}, 1, (1, "sky-2", 1, 31)),
    )
    assert case.broken() == ("hat:S, main: skein slate-1, piece 1 gives 0.00 m, less than 0.01 m",)


def test_the_reserve_is_asked_for_unless_the_best_guess_is_told():
    case = Case()
    case.project = replace(case.project, reserve=Fraction(1, 10))
    plan, *files = case.parts()
    assert verify(plan, *files)[0] == "hat:S, main: 20.00 m planned where 22.00 m is needed"
    assert verify(plan, *files, best_guess=True) == ()


def test_strands_weigh_in_a_working_yarn_by_how_many_there_are():
    """Two strands of wool with one of 60 % wool and 40 % acrylic, all 250 tex: 40 / 3 % acrylic."""
    yarn = Yarn(((LOTS["mist"], 1), (LOTS["slate"], 2)))
    assert yarn.shares == {"wool": Fraction(13, 15), "acrylic": Fraction(2, 15)}
    assert (yarn.count, yarn.tex) == (3, 750)


def test_the_colour_of_strands_is_their_mean_by_how_many_there_are():
    """Black and white in linear light: Y is 2/3 of two strands of white in three; L* = 116 Y^(1/3) - 16."""
    black = replace(LOTS["slate"], colour=grey(0.0))
    white = replace(LOTS["cream"], colour=grey(100.0))
    assert Yarn(((white, 2), (black, 1))).lightness == pytest.approx(116 * (2 / 3) ** (1 / 3) - 16)
    assert Yarn(((white, 1), (black, 2))).lightness == pytest.approx(116 * (1 / 3) ** (1 / 3) - 16)
    assert Yarn(((white, 2),)).colour is white.colour


def test_stripes_carry_any_share():
    case = Case()
    case.two_yarns(LotRule("any", 2, None), 1501, 499)
    case.change_need("main", piece_m=Fraction(1))
    assert case.broken() == ()


def test_a_yarn_of_no_length_in_a_part_that_is_not_asked_for_is_told():
    case = Case()
    case.runs["main"] = (*case.runs["main"], run({"sky": 1}, 0, part="hem"))
    assert "hat:S, main, hem: working yarns of 0.00 m where 0.00 m is needed" in case.broken()
