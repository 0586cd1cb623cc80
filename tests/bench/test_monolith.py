"""The programs that plans are measured against ask the same question."""

from importlib.util import find_spec

import pytest

from planner import instance as instances
from planner.planning import plan
from tests.bench.__main__ import exponent
from tests.bench.monolith import NotInstalledError, alone_level, by_cbc, by_cpsat, by_highs, lot_level, skein_level
from tests.bench.planted import planted


@pytest.fixture(params=(2, 4))
def asked(request):
    drawn, _ = planted(6, 3, request.param)
    return drawn, drawn.projects.projects, drawn.projects.confidence


def program_of(level, drawn, projects, confidence):
    return level(instances.build(drawn.stash, drawn.patterns, projects, confidence))


def test_with_every_skein_a_choice_the_best_is_the_plans(asked):
    found = by_highs(program_of(skein_level, *asked), 60)
    assert found.grams > 0
    assert found.grams == pytest.approx(plan(*asked, way="exact").aim_value, abs=0.05)
    assert found.bound == pytest.approx(found.grams, abs=0.05)


def test_with_every_lot_a_choice_no_less_seems_possible(asked):
    assert by_highs(program_of(lot_level, *asked), 60).bound >= plan(*asked, way="exact").aim_value - 0.05


def test_with_lots_held_alone_no_more_is_found(asked):
    together, alone = (by_highs(program_of(level, *asked), 60) for level in (lot_level, alone_level))
    assert 0 < alone.grams <= together.bound + 0.05


def test_another_solver_finds_the_same(asked):
    program = program_of(skein_level, *asked)
    try:
        found = by_cbc(program, 60)
    except NotInstalledError as error:
        pytest.skip(str(error))
    assert (found.grams, found.bound) == pytest.approx((by_highs(program, 60).grams,) * 2, abs=0.05)


@pytest.mark.skipif(find_spec("ortools") is None, reason="the extra `bench` is not installed")
def test_a_solver_of_another_kind_finds_the_same(asked):
    program = program_of(lot_level, *asked)
    found = by_cpsat(program, 60)
    assert (found.grams, found.bound) == pytest.approx((by_highs(program, 60).grams,) * 2, abs=0.05)


def test_what_grows_as_a_power_is_told_by_its_exponent():
    assert exponent([(lots, 3e-4 * lots**1.7) for lots in (50, 100, 200, 400)]) == pytest.approx(1.7)
