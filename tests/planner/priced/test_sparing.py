"""The aims after the first beside prices: never worse for being served, and never said to be nearer than they are."""

from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner import instance as instances
from planner.instance import END_CM, Piece
from planner.plan import Plan
from planner.planning import plan
from planner.priced import planning
from planner.priced.benches import Bench, Strand
from planner.priced.choosing import fill
from planner.priced.sparing import Spent, _most_sparing, spare, spent
from planner.show.weighing import joins_of, lots_of, skeins_opened
from planner.stages import KEPT_WITHIN, Limits
from planner.workspace import Workspace
from tests.bench.generated import workspace
from tests.oracle.workspaces import random_case
from tests.planner.priced.alike import alike

NEAR = 0.02  # grams


def never():
    return False


def of_plan(answer):
    """Lots and joins, and skeins, by the plan's rows."""
    taken = sum(len(lots_of(one)) + sum(map(joins_of, one.needs)) for one in answer.projects)
    return taken, len(skeins_opened(answer))


def priced(drawn, **options):
    return plan(drawn, drawn.projects.projects, drawn.projects.confidence, way="priced", **options)


def without(drawn, monkeypatch, **options):
    """The plan as it is when nothing is spared."""
    with monkeypatch.context() as patch:
        patch.setattr(planning, "spare", lambda choice, over: None)
        return priced(drawn, **options)


def strand(project, length):
    return Strand((project, 0, 1, 0), length, 500)


def test_a_lot_is_cut_with_fewest_joins_then_from_fewest_skeins():
    # the first takes 5000 of the long piece, so that the second has to be joined, once; whole it takes all of that piece
    pieces = [Piece("slate", skein, 1, length) for skein, length in (("s-1", 9030), ("s-2", 5030), ("s-3", 5030))]
    first, second = strand(1, 5000), strand(2, 9000)
    joined = {first.owner: [(0, 5000)], second.owner: [(1, 5000), (2, 4000)]}
    bench = Bench(pieces, [first, second], joined)
    assert spent([bench]) == Spent(3, 3, 3)
    best = replace(bench, cut=_most_sparing(bench))
    assert best.cut == {first.owner: [(1, 5000)], second.owner: [(0, 9000)]}
    assert spent([best]) == Spent(2, 2, 1)


def test_of_cuts_with_as_many_joins_the_one_from_fewest_skeins_is_taken():
    # each of the two would have the piece that just holds it; one skein holds both
    pieces = [Piece("slate", skein, 1, length) for skein, length in (("s-1", 2030), ("s-2", 6000), ("s-3", 3030))]
    one, other = strand(1, 2000), strand(2, 3000)
    bench = Bench(pieces)
    assert bench.take([one, other])
    assert spent([bench]) == Spent(2, 2, 2)
    assert _most_sparing(bench) == {one.owner: [(1, 2000)], other.owner: [(1, 3000)]}


def a_choice(seed):
    """A choice made without looking ahead."""
    drawn = alike(40, 16, seed)
    asked = drawn.projects.projects
    question = planning._Question(
        *instances.outline(drawn.stash, drawn.patterns, asked, drawn.projects.confidence), Limits(0.0), 0.0
    )
    choice = replace(question.nothing(), insides={inside.index: inside for inside in question.insides("grams")})
    fill(choice, sorted(choice.insides), (), never)
    return question, choice


@pytest.mark.parametrize("seed", range(4))
def test_sparing_lowers_what_is_spent_and_takes_nothing_from_what_is_made(seed):
    question, choice = a_choice(seed)
    before, made, worth = spent(choice.benches.values()), choice.made, choice.worth
    spare(choice, never)
    after = spent(choice.benches.values())
    assert after < before
    assert choice.made == made
    assert choice.worth >= worth - KEPT_WITHIN
    planned = tuple(planning._planned(question, choice).values())
    rows = Plan(planned, question.instance.makings[0].project.reserve, "grams", 0.0, 0.0, "best-found", 0.0)
    assert of_plan(rows) == after[:2]
    for place, bench in choice.benches.items():
        held = [rest for rest in bench.left() if rest >= choice.least_cm + END_CM]
        assert min(bench.left()) >= 0
        assert choice.left[place] == sum(held)


def test_nothing_is_spared_where_time_is_up():
    _, choice = a_choice(0)
    before = spent(choice.benches.values())
    spare(choice, lambda: True)
    assert spent(choice.benches.values()) == before


@pytest.mark.parametrize("drawn_by", [lambda seed: workspace(40, 16, 1, seed, 16), lambda seed: alike(30, 12, seed)])
@pytest.mark.parametrize("seed", range(6, 9))
@pytest.mark.parametrize("aim", ["grams", "projects"])
def test_no_aim_is_worse_for_the_later_ones(drawn_by, seed, aim, monkeypatch):
    drawn = drawn_by(seed)
    served, bare = priced(drawn, aim=aim), without(drawn, monkeypatch, aim=aim)
    assert served.aim_value >= bare.aim_value - KEPT_WITHIN
    assert of_plan(served) <= of_plan(bare)


def test_where_yarns_are_alike_many_lots_and_joins_are_spared(monkeypatch):
    plans = [(priced(drawn), without(drawn, monkeypatch)) for drawn in (alike(30, 12, seed) for seed in range(10, 22))]
    served, bare = (sum(of_plan(one)[0] for one in own) for own in zip(*plans, strict=True))
    assert served <= 0.95 * bare


@pytest.mark.parametrize("first", range(0, 40, 20))
def test_on_tiny_questions_no_exact_plan_takes_fewer_than_is_said_to_be_the_fewest(first):
    proved = 0
    for seed in range(first, first + 20, 2):
        case = random_case(seed)
        asked = ProjectList(case.confidence, case.projects)
        drawn = Workspace(Path(), case.stash, MappingProxyType(case.patterns), asked, ())
        exact, found = plan(drawn, case.projects, case.confidence, way="exact"), priced(drawn)
        if found.fewest is not None and exact.aim_value >= found.aim_value - NEAR:
            proved += found.fewest > 0
            assert found.fewest <= of_plan(exact)[0], seed
    assert proved > 4


@pytest.mark.parametrize("seed", [6, 8, 9, 12])
def test_on_a_persons_stash_no_exact_plan_takes_fewer_than_is_said_to_be_the_fewest(seed):
    drawn = alike(30, 12, seed)
    exact = plan(drawn, drawn.projects.projects, drawn.projects.confidence, way="exact")
    found = priced(drawn)
    assert 0 < found.fewest <= of_plan(exact)[0]
    assert found.fewest <= of_plan(found)[0]
    assert of_plan(found)[0] <= 1.2 * of_plan(exact)[0]
