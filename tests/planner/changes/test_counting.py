"""The reason given for a short project is true: by trying every choice, the needs it names are short by themselves."""

import signal
from collections import Counter
from dataclasses import replace

import pytest

from planner import instance as instances
from planner.alone import alone
from planner.changes.counting import blocks
from planner.changes.why import why_short
from planner.missing import least_missing
from planner.reasons import Length
from tests.oracle.brute import answer, ceil_cm, least_cm, pieces_of
from tests.oracle.run import SECONDS, TooLongError, giving_up
from tests.oracle.suiting import working_yarns
from tests.oracle.workspaces import random_case

ENDS = 30
SHARE = 60  # cases


def with_only(pattern, names):
    """The pattern with some of its needs alone."""
    sizes = {size: {name: own for name, own in needs.items() if name in names} for size, needs in pattern.sizes.items()}
    return replace(
        pattern,
        needs={name: need for name, need in pattern.needs.items() if name in names},
        order=tuple(name for name in pattern.order if name in names),
        sizes=sizes,
    )


def verdict_of(case, project, size, names):
    """By trying every choice; None where that takes too long."""
    pattern = with_only(case.patterns[project.pattern], names)
    pins = {name: pin for name, pin in project.pins.items() if name in names}
    asked = replace(project, sizes=(size,), pins=pins)
    signal.alarm(SECONDS)
    try:
        verdicts = answer(case.stash, {pattern.id: pattern}, (asked,), case.confidence).verdicts
    except TooLongError:
        return None
    finally:
        signal.alarm(0)
    return verdicts[project.name, size]


def short_makings(seed):
    case = random_case(seed)
    asked = instances.build(case.stash, case.patterns, case.projects, case.confidence)
    for making in asked.makings:
        one = alone(asked, making)
        missing = least_missing(one)
        if missing is not None and missing.total_cm > 0:
            yield case, one, making, missing


def reach_by_counting(case, making, need, part):
    """The stretch a need takes, and the furthest that one of its yarns could go if every end were woven in but once."""
    amounts = making.pattern.sizes[making.size][need.name]
    metres = amounts[part].metres if part else sum(one.metres for one in amounts.values())
    planned = ceil_cm(metres * (1 + making.project.reserve))
    least = least_cm(need, planned)
    held = {
        lot: sum(piece - ENDS for piece in pieces if piece - ENDS >= least)
        for lot, pieces in pieces_of(case.stash, case.confidence).items()
    }
    yarns = working_yarns(case.stash, need, making.project.pins.get(need.name), making.pattern.wash)
    return planned, max(min(held[lot] // n for lot, n in Counter(yarn.key).items()) for yarn in yarns)


@pytest.mark.parametrize("first", range(0, SHARE, 10))
def test_the_needs_a_reason_names_are_short_by_themselves(first):
    told = []
    with giving_up():
        for seed in range(first, first + 10):
            for case, one, making, missing in short_makings(seed):
                why = why_short(one, making, case.stash, missing)
                if verdict_of(case, making.project, making.size, why.needs) == "enough":
                    told.append((seed, making.project.name, making.size, why.kind, why.reason.said()))
    assert told == []


@pytest.mark.parametrize("first", range(0, SHARE, 20))
def test_what_counting_refutes_is_never_enough(first):
    told = []
    with giving_up():
        for seed in range(first, first + 20):
            case = random_case(seed)
            asked = instances.build(case.stash, case.patterns, case.projects, case.confidence)
            told += [
                (seed, making.project.name, making.size, names)
                for making in asked.makings
                for names in blocks(asked, making)
                if verdict_of(case, making.project, making.size, names) == "enough"
            ]
    assert told == []


@pytest.mark.parametrize("first", range(0, 60, 30))
def test_the_metres_in_a_reason_are_those_counted_from_the_pieces(first):
    seen = 0
    for seed in range(first, first + 30):
        for case, one, making, missing in short_makings(seed):
            why = why_short(one, making, case.stash, missing)
            need = making.pattern.needs[why.needs[0]]
            if why.kind != "none-reaches" or need.lots.kind != "one":
                continue
            seen += 1
            planned, best = reach_by_counting(case, making, need, None)
            lengths = [round(100 * part.metres) for part in why.reason.parts if isinstance(part, Length)]
            assert {planned, best} <= set(lengths)
            assert best < planned
    assert seen > 0


def test_every_kind_of_reason_is_met_in_the_random_cases():
    kinds = {
        why_short(one, making, case.stash, missing).kind
        for seed in range(60)
        for case, one, making, missing in short_makings(seed)
    }
    assert kinds == {"none-suits", "none-reaches", "all-too-little", "apart", "both-want", "together"}
