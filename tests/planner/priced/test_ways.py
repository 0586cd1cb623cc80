"""The best way to make one project at prices is what the model, solved with those prices, says."""

import random

import pytest

from planner import instance as instances
from planner.alone import alone
from planner.columns import fewest_pieces
from planner.instance import END_CM
from planner.model import build
from planner.priced import ranking, slots, ways
from planner.priced.market import CM_IN_KM
from planner.priced.store import Store
from planner.priced.ways import GLANCE, LOOK, Inside
from planner.solve import solve
from tests.bench.generated import workspace
from tests.oracle.workspaces import random_case
from tests.planner.priced.alike import alike

NEAR = 1e-3  # grams


def makings_of(stash, patterns, projects, confidence):
    """Every making as the model sees it, and as it is priced."""
    whole = instances.build(stash, patterns, projects, confidence)
    outlined, shelf = instances.outline(stash, patterns, projects, confidence)
    store = Store(shelf, outlined.stock)
    for index, (own, bare) in enumerate(zip(whole.makings, outlined.makings, strict=True)):
        yield alone(whole, own), Inside(store, index, bare, 0.0, float(own.project.want))


def by_the_model(asked, price):
    """What the best way gains: its grams less what it takes of each lot at its price; with lots as a whole."""
    columns = build(asked)
    want, terms = float(asked.makings[0].project.want), []
    for use in columns.uses:
        worth = want * float(use.sized.need_m / use.sized.planned_cm * use.yarn.tex / 1000)
        cost = sum(strands * price[lot.id] for lot, strands in use.yarn.lots)
        ends = sum(
            strands * END_CM * fewest_pieces(asked, lot.id, use) * price[lot.id] for lot, strands in use.yarn.lots
        )
        terms += use.length_terms(cost - worth)
        terms.append((use.used, ends))
    columns.program.aim = tuple(terms)
    columns.program.columns[columns.made[0]] = columns.program.columns[columns.made[0]].__class__("made", 1, 1, True)
    answer = solve(columns.program, absolute_gap=1e-6)
    return None if answer.value is None else -answer.value


def compare(stash, patterns, projects, confidence, seed, dear=1.0):
    """What is found, the gain by the model, and who was asked, for every making. `dear`: times the worth."""
    chance = random.Random(seed)
    for asked, inside in makings_of(stash, patterns, projects, confidence):
        lots = inside.store.shelf.lots
        price = {
            lot.id: chance.choice((0.0, chance.uniform(0, 2))) * dear * float(lot.count.tex) / CM_IN_KM for lot in lots
        }
        prices = inside.store.tex * 0 + [price[lot.id] for lot in lots]
        least = min((s.least_cm for sized in inside.making.needs for s in sized.stretches), default=1)
        found = inside.best(prices, inside.store.holds(least))
        yield found, by_the_model(asked, price), inside


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_on_tiny_questions_the_best_way_is_found(first):
    tried = 0
    for seed in range(first, first + 20):
        case = random_case(seed)
        for found, model, inside in compare(case.stash, case.patterns, case.projects, case.confidence, seed):
            where = f"{seed} {inside.making.project.name} {inside.making.size}"
            if model is None:
                assert found.way is None, where
                continue
            tried += 1
            assert found.most >= model - NEAR, where
            assert found.gain <= model + NEAR, where
            if found.most - found.gain <= NEAR:
                assert found.gain == pytest.approx(model, abs=NEAR), where
    assert tried > 20


def test_on_questions_of_a_persons_size_the_best_way_is_found_and_known_to_be():
    drawn = workspace(30, 14, 1, 3, 14)
    projects, confidence = drawn.projects.projects, drawn.projects.confidence
    exact = every = 0
    for found, model, _ in compare(drawn.stash, drawn.patterns, projects, confidence, 3):
        if model is not None:
            every += 1
            exact += found.gain == pytest.approx(model, abs=NEAR) and found.most == pytest.approx(model, abs=NEAR)
            assert found.most >= model - NEAR
    assert every >= 8
    assert exact >= 0.9 * every


@pytest.mark.parametrize("steps", [GLANCE, LOOK])
def test_a_short_search_says_no_less_than_what_can_be_gained_by_yarns_it_did_not_look_at(steps):
    # p003's main, in alternate rows, is best from l011, which has a price and is too short alone, and l002, which is
    # not among the first twelve
    drawn = alike(30, 12, 3)
    asked = [project for project in drawn.projects.projects if project.pattern == "p003"]
    ((whole, inside),) = makings_of(drawn.stash, drawn.patterns, asked, drawn.projects.confidence)
    lots = inside.store.shelf.lots
    price = dict.fromkeys((lot.id for lot in lots), 0.0) | {"l011": 0.00078}
    prices = inside.store.tex * 0 + [price[lot.id] for lot in lots]
    assert inside.best(prices, inside.store.holds(1), steps).most >= by_the_model(whole, price) - NEAR


@pytest.mark.parametrize("seed", [326, 694])
def test_however_few_yarns_are_looked_at_a_search_says_no_less_than_what_can_be_gained(seed, monkeypatch):
    # both have a need in alternate rows that is best from a yarn that was ranked and a marl that was not put together
    monkeypatch.setattr(ranking, "SHARERS", 3)
    monkeypatch.setattr(ranking, "FIRST", 1)
    monkeypatch.setattr(ranking, "MORE", 2)
    monkeypatch.setattr(slots, "STEMS", 1)
    monkeypatch.setattr(slots, "FOUND", 1)
    monkeypatch.setattr(ways, "TWOS", 1)
    case = random_case(seed)
    for found, model, inside in compare(case.stash, case.patterns, case.projects, case.confidence, seed, dear=100):
        if model is not None:
            assert found.most >= model - NEAR, inside.making.project.name
