"""The chance of running short: closed form for one strand, and simulation for all."""

import math
import random
from fractions import Fraction
from statistics import NormalDist

import pytest

from patterns.needs import Amount
from planner.chance import chance_short
from planner.plan import Take, YarnRun
from stash.colour import read_colour
from stash.count import Count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lengths import guarded_factor, own_u, shared_u
from stash.lots import Lot, Skein, Stash

HERE = Place("stash.yaml", 1, 1)
SURE = Fraction(95, 100)
DRAWS = 20_000


def a_lot(name, masses, relative_u, apart=False):
    skeins = tuple(
        Skein(f"{name}-{number}", Fraction(mass), None, Fraction(1), (Fraction(1),), False, HERE)
        for number, mass in enumerate(masses, 1)
    )
    count = Count(Fraction(400), relative_u, apart, "400 tex")
    return Lot(name, None, read_blend("wool"), read_colour("teal"), count, True, None, skeins, HERE)


# 400 tex: 250 m in 100 g.
STASH = Stash(
    {},
    {
        "ash": a_lot("ash", (118, 96), 0.02),
        "birch": a_lot("birch", (118, 96), 0.03, apart=True),
        "cedar": a_lot("cedar", (60, 60, 60, 4), 0.01),
    },
)


def take(lot, number, metres, strand=1):
    return Take(strand, lot, f"{lot}-{number}", 1, round(metres * 100))


def run(part, *takes):
    lots = {}
    for lot, strand in sorted({(one.lot, one.strand) for one in takes}):
        lots[lot] = lots.get(lot, 0) + (strand > 0)
    return YarnRun(lots, 0, part, takes)


def need(relative_u=0.05, **parts):
    return {None if part == "whole" else part: Amount(Fraction(metres), relative_u) for part, metres in parts.items()}


def simulated(parts, runs):
    """Draw every error and count how often some strand of some part is too short."""
    draw = random.Random(20).gauss
    by_part = any(one.part is not None for one in runs)
    places = {}
    for one in runs:
        for taken in one.takes:
            lot = STASH.lots[taken.lot]
            skein = next(skein for skein in lot.skeins if skein.id == taken.skein)
            held = taken.take_cm / 100 / guarded_factor(lot, skein, SURE)
            figures = (lot.id, skein.id, held, shared_u(lot, skein), own_u(lot, skein))
            places.setdefault((one.part, taken.strand), []).append(figures)
    needs = {
        place: [(float(a.metres), a.relative_u) for name, a in parts.items() if not by_part or name == place[0]]
        for place in places
    }
    ids = [*STASH.lots, *(skein.id for lot in STASH.lots.values() for skein in lot.skeins)]
    short = 0
    for _ in range(DRAWS):
        errors = {name: draw(0, 1) for name in ids}
        needed = draw(0, 1)
        short += any(
            sum(held * (1 + u * errors[lot] + own * errors[skein]) - 0.3 for lot, skein, held, u, own in wound)
            < sum(metres * (1 + u * needed) for metres, u in needs[place])
            for place, wound in places.items()
        )
    return short / DRAWS


CASES = {
    "one strand": (need(whole=200), (run(None, take("ash", 1, 215.3)),)),
    "two skeins of one lot": (need(whole=400), (run(None, take("ash", 1, 220.3), take("ash", 2, 200.3)),)),
    "held double from one lot": (need(whole=200), (run(None, take("ash", 1, 210.3), take("ash", 2, 211, 2)),)),
    "a strand each of two lots": (need(whole=200), (run(None, take("ash", 1, 205.3), take("birch", 1, 200.3, 2)),)),
    "three parts from three lots": (
        need(body=150, left=70, right=70),
        (run("body", take("ash", 1, 155.3)), run("left", take("birch", 1, 72.3)), run("right", take("cedar", 1, 74.3))),
    ),
    "three parts from one skein": (
        need(body=100, left=50, right=50),
        (run("body", take("ash", 1, 104.3)), run("left", take("ash", 1, 53.3)), run("right", take("ash", 1, 53))),
    ),
    "parts summed over two yarns": (need(body=150, sleeves=70), (run(None, take("ash", 1, 150.3)), run(None, take("birch", 1, 72.3)))),
    "three parts of two strands": (
        need(body=60, left=61, right=62),
        tuple(run(part, take("ash", 1, 63.3), take("birch", 1, 64.3, 2)) for part in ("body", "left", "right")),
    ),
    "a need known exactly": (need(0.0, body=150, left=70), (run("body", take("ash", 1, 148)), run("left", take("birch", 1, 69)))),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_the_chance_is_that_of_a_simulation(name):
    parts, runs = CASES[name]
    # 20,000 draws are good to 1/sqrt(20,000)/2 = 0.0035, one standard error at most; four of them, or 0.002 near zero
    expected = simulated(parts, runs)
    error = math.sqrt(max(expected * (1 - expected), 1e-4) / DRAWS)
    assert expected == pytest.approx(chance_short(parts, runs, STASH, SURE), abs=4 * error)


def test_one_strand_has_the_chance_of_the_normal_distribution():
    # Wound 215.3 m guarded at 95 %: holds 215.3/(1 - 1.6449 u) - 0.3 m, less 200 m; u of yarn and need in metres.
    parts, runs = CASES["one strand"]
    yarn_u = math.hypot(0.02, 1 / math.sqrt(12) / 118)
    held = 215.3 / (1 - NormalDist().inv_cdf(0.95) * yarn_u)
    expected = NormalDist(held - 0.3 - 200, math.hypot(held * yarn_u, 0.05 * 200)).cdf(0)
    assert expected == pytest.approx(chance_short(parts, runs, STASH, SURE), rel=1e-9)


def test_skeins_of_a_lot_share_its_counts_error():
    parts, runs = CASES["two skeins of one lot"]
    ufloat = pytest.importorskip("uncertainties").ufloat
    count = ufloat(1, 0.02)
    factors = [1 - NormalDist().inv_cdf(0.95) * math.hypot(0.02, 1 / math.sqrt(12) / mass) for mass in (118, 96)]
    wound = sum(
        metres / factor * ufloat(1, 1 / math.sqrt(12) / mass) - 0.3
        for metres, factor, mass in zip((220.3, 200.3), factors, (118, 96), strict=True)
    )
    spare = (wound + 0.6) / count - 0.6 - ufloat(400, 20)
    expected = NormalDist(spare.n, spare.s).cdf(0)
    assert expected == pytest.approx(chance_short(parts, runs, STASH, SURE), rel=1e-6)


def test_the_chance_is_never_below_its_worst_part_nor_above_the_sum():
    parts, runs = CASES["three parts from three lots"]
    alone = [chance_short({one.part: parts[one.part]}, (one,), STASH, SURE) for one in runs]
    assert max(alone) < chance_short(parts, runs, STASH, SURE) < sum(alone)


def test_two_equal_strands_from_one_skein_run_short_together():
    parts, runs = need(whole=50), (run(None, take("cedar", 1, 52.3), take("cedar", 1, 52.3, 2)),)
    alone = chance_short(parts, (run(None, take("cedar", 1, 52.3)),), STASH, SURE)
    assert alone == chance_short(parts, runs, STASH, SURE)


def test_more_yarn_never_runs_short_more_often():
    chances = [
        chance_short(need(whole=200), (run(None, take("ash", 1, metres)),), STASH, SURE)
        for metres in range(180, 260, 10)
    ]
    assert sorted(chances, reverse=True) == chances
    assert chances[0] > 0.5
    assert chances[-1] < 0.01


def test_a_part_with_no_yarn_is_short_for_certain():
    assert chance_short(need(body=100, left=50), (run("body", take("ash", 1, 150)),), STASH, SURE) == 1
    assert chance_short(need(whole=100), (), STASH, SURE) == 1


def test_a_single_strand_beside_a_double_one_counts_in_both():
    # 100 m of ash double and 100 m of birch single for 180 m: both strand places are reached
    parts = need(whole=180)
    runs = (run(None, take("ash", 1, 100.3), take("ash", 2, 100.3, 2)), run(None, take("birch", 1, 100.3)))
    assert chance_short(parts, runs, STASH, SURE) < 0.05


def test_the_same_plan_has_the_same_chance():
    parts, runs = CASES["three parts of two strands"]
    assert chance_short(parts, runs, STASH, SURE) == chance_short(parts, tuple(reversed(runs)), STASH, SURE)
