"""What is left of a lot reaches with the chance that is told, and the pattern and the weighing each count for their worth."""

import math
import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from statistics import NormalDist

import pytest

from patterns.needs import Amount
from planner.midway.asking import ask_midway
from planner.midway.knitting import Done
from planner.midway.reach import END_M, lot_metres_per_metre, reach
from planner.workspace import load_workspace
from stash.lengths import shared_u

DEMO = load_workspace(Path(__file__).parents[3] / "planner" / "demo")
SURE = 0.95
Z = NormalDist().inv_cdf(SURE)


def knitting(project="breakwater:M", **flags):
    given = {f"--{name}": value for name, value in flags.items()}
    return ask_midway(DEMO, project, {"--need": "main", **given})


def body(left, began="276g", **flags):
    flags = {"rows": "90 of 150"} | flags
    return knitting(part="body", left=[f"slate={left}"], began=[f"slate={began}"], **flags)


def with_need_u(one, u):
    """The same knitting by a pattern whose figures are that uncertain."""
    pattern = one.pattern
    sizes = {
        size: {need: {p: Amount(a.metres, u) for p, a in parts.items()} for need, parts in needs.items()}
        for size, needs in pattern.sizes.items()
    }
    return replace(one, pattern=replace(pattern, sizes=sizes))


def test_a_weighing_that_tells_nothing_leaves_the_patterns_figure():
    # half of 560 m of slate, 438.9 tex; that the share done is known to a factor of 1000 only says nothing of the rate
    one = replace(body("112g"), done=Done(Fraction(1, 2), 500.0, None))
    found = reach(one, SURE)
    assert found.ratios["main"][0] == pytest.approx(1.0, abs=1e-6)
    assert found.ratios["main"][1] == pytest.approx(0.05, rel=1e-6)


def test_a_pattern_that_tells_nothing_leaves_the_measured_rate():
    # 164 g in 60 % of the body: 109.3 g for the rest
    one = with_need_u(body("112g"), 50.0)
    assert reach(one, SURE).lots[0].rest_g.likely == pytest.approx(164 / 0.6 * 0.4, rel=1e-4)


def test_the_rate_is_the_mean_weighted_by_the_inverses_of_the_variances():
    one = body("112g")
    used, expected = 164.0, 560 * 0.6 * float(one.in_use[0].lot.count.tex) / 1000
    scale = 1 / math.sqrt(12)
    own_u = math.hypot(one.done.u / 0.6, scale / used, scale / used)
    prior_u = math.hypot(
        0.05, shared_u(one.in_use[0].lot)
    )  # of grams in a share: the pattern's metres, the lot's count
    rate = math.log(used / expected) * prior_u**2 / (prior_u**2 + own_u**2)
    found = reach(one, SURE)
    lot = found.lots[0]
    beyond = math.log(used / expected) - rate  # blamed on the weighings and on the share done, by their variances
    share = beyond * (one.done.u / 0.6) ** 2 / own_u**2
    likely = expected / 0.6 * 0.4 * math.exp(rate - 0.6 / 0.4 * share)
    assert lot.rest_g.likely == pytest.approx(likely, rel=1e-9)
    assert found.ratios["main"][0] == pytest.approx(math.exp(rate * 0.05**2 / prior_u**2), rel=1e-9)


def test_grams_do_not_hang_on_the_count_once_they_are_measured():
    one = with_need_u(body("112g"), 50.0)
    lot = one.in_use[0].lot
    thicker = replace(lot, count=replace(lot.count, tex=lot.count.tex * 2))
    other = replace(one, in_use=(replace(one.in_use[0], lot=thicker),))
    grams = [reach(each, SURE).lots[0].rest_g.likely for each in (one, other)]
    assert grams[0] == pytest.approx(grams[1], rel=1e-3)


def posterior_by_drawing(one, draws=20_000):
    """The chance that every lot reaches: errors drawn, weighted by how well they explain what was weighed.

    The first lot's need is solved from what was weighed; every other lot's own count is.
    """
    draw = random.Random(11).gauss
    total = reached = squares = 0.0
    share = float(one.done.share)
    for _ in range(draws):
        done = share + one.done.u * draw(0, 1)
        if not done > 0:
            continue
        rest, weight, good = 1 - done, 1.0, True
        for place, lot in enumerate(one.in_use):
            metres, need_u = one.amount(lot.need)
            count_u, tex = shared_u(lot.lot), float(lot.lot.count.tex)
            began = float(lot.began_g) + lot.began_u_g * draw(0, 1)
            left = float(lot.left_g) + lot.left_u_g * draw(0, 1)
            whole = (began - left) / done  # grams of this lot in the whole part, as these errors have it
            off = math.log(whole / (metres * lot_metres_per_metre(one, lot) * tex / 1000))
            if place == 0:
                count = count_u * draw(0, 1)
                need = off - count
                weight *= math.exp(-0.5 * (need / need_u) ** 2)
            else:
                weight *= math.exp(-0.5 * ((off - need) / count_u) ** 2)
            good &= left - END_M * lot.pieces * tex / 1000 > rest * whole
        total, squares, reached = total + weight, squares + weight * weight, reached + weight * good
    return reached / total, math.sqrt(squares) / total


CASES = {
    "rows counted": lambda: body("103g", began="258g"),
    "a guessed share": lambda: body("103g", began="258g", rows=None, done="60%"),
    "a light lot on a coarse scale": lambda: body("100g", began="250g", scale="20 g"),
    "early on": lambda: body("232g", began="258g", rows="15 of 150"),
    "nearly done, in pieces": lambda: body("15g in 6 pieces", began="263g", rows="142 of 150"),
    "two lots in alternate rows": lambda: knitting(
        "gull-vest:M", rows="100 of 180", how="alternate",
        left=["slate=57.5g", "pewter=56.5g"], began=["slate=130g", "pewter=126g"],
    ),
    "held together": lambda: knitting(
        "gull-vest:M", rows="90 of 180", how="together",
        left=["slate=128g", "cream=131g"], began=["slate=254g", "cream=260g"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_the_chance_is_that_of_a_simulation(name):
    one = CASES[name]()
    found = reach(one, SURE)
    assert not found.odd
    assert 0.05 < found.chance < 0.97
    expected, error = posterior_by_drawing(one)
    # three standard errors of the weighted draws, and 0.01 for logarithms taken as straight over the errors
    assert expected == pytest.approx(found.chance, abs=3 * error * 0.5 + 0.01)


def test_a_chance_holds_as_often_as_it_says():
    """Knitters drawn at random: of all those told a chance of p, as many reach as p says."""
    draw = random.Random(5)
    template = body("112g", rows=None, done="60%")
    lot = template.in_use[0]
    tex, count_u = float(lot.lot.count.tex), shared_u(lot.lot)
    told = happened = spread = 0.0
    for _ in range(2000):
        share = draw.uniform(0.2, 0.9)
        u = 0.12 * share * (1 - share)
        whole = 0.56 * tex * math.exp(0.05 * draw.gauss(0, 1) + count_u * draw.gauss(0, 1))
        used = (share + u * draw.gauss(0, 1)) * whole
        has = (0.56 * tex - used) * draw.uniform(0.85, 1.15) + 0.3 * tex / 1000
        if used <= 1 or has <= 1:
            continue
        weighed_left = has + lot.left_u_g * draw.gauss(0, 1)
        weighed_began = used + has + lot.began_u_g * draw.gauss(0, 1)
        one = replace(
            template,
            done=Done(Fraction(share), u, None),
            in_use=(replace(lot, began_g=Fraction(weighed_began), left_g=Fraction(weighed_left)),),
        )
        chance = reach(one, SURE).chance
        told, spread = told + chance, spread + chance * (1 - chance)
        happened += used + has - END_M * tex / 1000 > whole
    assert 300 < happened < 1700
    assert happened == pytest.approx(told, abs=3 * math.sqrt(spread))


def test_more_left_never_lessens_the_chance():
    chances = [reach(body(f"{left}g", began=f"{164 + left}g"), SURE).chance for left in range(80, 150, 5)]
    assert sorted(chances) == chances
    assert chances[0] < 0.01
    assert chances[-1] > 0.99


def test_twice_the_garment_and_twice_the_yarn_has_the_same_answer():
    small, big = body("100g", began="200g", scale="1 g"), body("200g", began="400g", scale="2 g")
    pattern = big.pattern
    sizes = {
        size: {need: {p: Amount(a.metres * 2, a.relative_u) for p, a in parts.items()} for need, parts in needs.items()}
        for size, needs in pattern.sizes.items()
    }
    big = replace(big, pattern=replace(pattern, sizes=sizes), in_use=(replace(big.in_use[0], pieces=2),))
    assert reach(big, SURE).chance == pytest.approx(reach(small, SURE).chance, rel=1e-9)


def test_a_figure_far_from_the_weighing_is_trusted_less():
    # 238 g of 560 m x 60 %: 61 % more than the pattern says, which no error explains
    found = reach(body("100g", began="338g"), SURE)
    assert found.odd
    assert 238 / 0.6 * 0.4 * 0.8 < found.lots[0].rest_g.likely < 238 / 0.6 * 0.4


def test_nothing_usable_left_has_no_chance_and_a_finished_part_every():
    assert reach(body("1g in 50 pieces"), SURE).chance == 0
    assert reach(body("1g in 50 pieces", rows="150 of 150"), SURE).chance == 1


def test_one_ball_held_double_is_two_pieces_to_weave_in():
    """Common practice, no source: folded to be held double it is cut, and each half has its own ends."""
    asked = {"rows": "60 of 104", "began": ["lichen=166g"]}
    told = [knitting("lantern-cowl:one", left=[left], **asked) for left in ("lichen=61g", "lichen=61g in 2 pieces")]
    assert [one.in_use[0].strands for one in told] == [2, 2]
    assert [one.in_use[0].pieces for one in told] == [2, 2]
    in_three = knitting("lantern-cowl:one", left=["lichen=61g in 3 pieces"], **asked)
    first, more = reach(told[0], SURE).lots[0], reach(in_three, SURE).lots[0]
    # a third piece costs END_M of lichen by its count in the file
    expected = END_M * float(first.in_use.lot.count.tex) / 1000
    assert expected == pytest.approx(first.spare_g - more.spare_g, rel=1e-9)


def test_an_interval_widens_with_its_confidence_and_holds_the_best_guess():
    narrow, wide = (reach(body("112g"), sure).lots[0].rest_g for sure in (0.8, 0.99))
    assert wide.low < narrow.low < narrow.likely == wide.likely < narrow.high < wide.high
