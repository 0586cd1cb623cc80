"""What is told without the solver is what the exact model says."""

from pathlib import Path
from types import MappingProxyType

import pytest

from patterns.projects import ProjectList
from planner import instance as instances
from planner.aims import PROJECTS
from planner.alone import alone, judge
from planner.answers import ENOUGH, SHORT, TIGHT
from planner.asking import ask
from planner.columns import reaching
from planner.covering import cover, first_looks
from planner.instance import END_CM
from planner.lacking import lacking
from planner.missing import least_missing
from planner.priced.offers import Run
from planner.priced.store import Store
from planner.reckoning import Reckoning, UnclearError
from planner.settling import settle
from planner.shelf import Shelf
from planner.stages import Limits
from planner.tofind import to_find
from planner.workspace import Workspace
from tests.bench.generated import workspace
from tests.oracle.workspaces import random_case


def tiny(seed):
    """A workspace of a few lots that draws every rule, with lengths that are often nearly enough."""
    case = random_case(seed)
    listed = ProjectList(case.confidence, case.projects)
    return Workspace(Path(), case.stash, MappingProxyType(case.patterns), listed, ())


def modelled(drawn, asked):
    """The verdicts by the exact model alone, and the least to find where it is not enough."""
    confidence = drawn.projects.confidence
    first, second, _ = instances.build_twice(drawn.stash, drawn.patterns, asked, confidence)
    for making, guess in zip(first.makings, second.makings, strict=True):
        if judge(drawn, first, making, confidence):
            yield ENOUGH, None
        else:
            tight = judge(drawn, second, guess, confidence, best_guess=True)
            yield (TIGHT if tight else SHORT), least_missing(alone(first, making))


def agree(drawn, asked):
    """How many projects are told what they lack, and how many of them to top up a need.

    Verdicts and lengths to find are as the model has them; of yarns that leave as little to be found, those are told
    of that reach furthest, which the model does not ask for.
    """
    confidence = drawn.projects.confidence
    rows = cover(drawn, asked, confidence)
    expected = list(modelled(drawn, asked))
    assert [row.verdict for row in rows] == [verdict for verdict, _ in expected]
    first, _, shelf = instances.build_twice(drawn.stash, drawn.patterns, asked, confidence)
    reckoning = Reckoning(shelf, first.stock)
    told = topped = 0
    for making, row, (_, missing) in zip(first.makings, rows, expected, strict=True):
        if missing is None:
            continue
        try:
            look = to_find(reckoning, making)
        except UnclearError:
            continue
        told, topped = told + 1, topped + bool(look.topped)
        assert look.look_cm(making) == missing.total_cm
        if len(making.needs) == len(making.needs[0].stretches) == 1:
            short, modelled_short = row.needs[0].short_cm, missing.short_cm[row.needs[0].need]
            assert short <= modelled_short if look.topped else short == modelled_short
    return told, topped


def test_tiny_workspaces_are_told_as_the_model_tells_them():
    counted = [agree(drawn, drawn.projects.projects) for drawn in map(tiny, range(150))]
    told, topped = map(sum, zip(*counted, strict=True))
    assert told > 100
    assert topped > 10


@pytest.mark.parametrize("seed", [2, 3])
def test_a_persons_workspace_is_told_as_the_model_tells_it(seed):
    drawn = workspace(24, 16, 2, seed)
    told, _ = agree(drawn, ask(drawn, (), every_size=True))
    assert told > 2


def test_most_is_told_by_reckoning():
    drawn = workspace(60, 25, 3, 1)
    asked, shelf = instances.outline(
        drawn.stash, drawn.patterns, ask(drawn, (), every_size=True), drawn.projects.confidence
    )
    looks = first_looks(Reckoning(shelf, asked.stock), asked.makings)
    assert sum(not isinstance(look, UnclearError) for look in looks) >= 70  # of 75


def test_yarns_too_short_to_serve_change_no_verdict():
    drawn = workspace(40, 20, 1, 4)
    confidence = drawn.projects.confidence
    asked = instances.build(drawn.stash, drawn.patterns, ask(drawn, (), every_size=True), confidence)
    fewer = 0
    for making in asked.makings:
        whole = alone(asked, making)
        one = reaching(whole)
        fewer += one.makings != whole.makings
        verdicts = [settle(own, [PROJECTS], [], Limits()) for own in (one, whole)]
        assert verdicts[0].reached == verdicts[1].reached
    assert fewer >= 4


def test_the_fewest_pieces_of_a_lot_given_whole_are_all_of_its_pieces():
    drawn = workspace(2, 1, 1, 1)
    shelf = Shelf(tuple(drawn.stash.lots.values()))
    piece = instances.Piece("", "", 1, 500)
    store = Store(shelf, {shelf.lots[0].id: (piece, piece), shelf.lots[1].id: (piece,) * 4})
    assert store.fewest(slice(None), 2 * (500 - END_CM)).tolist() == [2, 2]


def test_what_is_short_is_short_beside_the_yarn_that_reaches_furthest():
    drawn = workspace(60, 25, 3, 1)
    asked, shelf = instances.outline(
        drawn.stash, drawn.patterns, ask(drawn, ("p006:s1",), every_size=True), drawn.projects.confidence
    )
    lacks = lacking(Reckoning(shelf, asked.stock), instances.suited(asked.makings[0], shelf))
    assert lacks.short_cm == {"main": 31307, "motif": 0, "edging": 0, "band": 0}  # l015 gives 773.77 of 1086.80 m
    assert [dict(yarn.lots) for yarn in lacks.yarns["main"]] == [{"l015": 1}]


def test_what_stands_in_a_project_already_must_be_such_as_may_stand_together():
    drawn = workspace(60, 25, 3, 1)
    asked, shelf = instances.outline(
        drawn.stash, drawn.patterns, ask(drawn, (), every_size=True), drawn.projects.confidence
    )
    reckoning = Reckoning(shelf, asked.stock)
    making = next(own for own in asked.makings if any(need.need.colour.against for need in own.needs))
    motif = next(place for place, need in enumerate(making.needs) if need.need.colour.against)
    assert making.needs[motif].need.colour.against == ("main",)
    places = {(need, step) for need, own in enumerate(making.needs) for step in range(len(own.stretches))}
    fullest = int(reckoning.store.most.argmax())
    main, beside = Run(0, 0, (fullest,), 1000), Run(motif, 0, (fullest,), 1000)
    assert reckoning.serve(making, places, beside=[main]) is not None
    assert reckoning.serve(making, places, beside=[main, beside]) is None  # of one lightness
