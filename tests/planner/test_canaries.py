"""The solver gets the canaries right, and one that does not is not trusted."""

import json

import pytest

from planner import canaries
from planner.canaries import CANARIES, try_solver
from planner.highs import SolverError
from planner.program import Program, Row
from planner.solve import Answer, Status, _settled, solve

BY_NAME = {canary.name: canary for canary in CANARIES}


@pytest.mark.parametrize("backwards", [False, True], ids=["as-written", "reversed"])
@pytest.mark.parametrize("name", BY_NAME)
def test_the_right_value_is_found_and_proved(name, backwards):
    canary = BY_NAME[name]
    answer = solve(canary.program(backwards=backwards))
    assert answer.status == Status.OPTIMAL
    right = canary.right
    assert (answer.value, answer.bound) == (pytest.approx(right, abs=1e-8), pytest.approx(right, abs=1e-6))


def test_yarn_let_through_by_a_link_row_is_taken_back():
    """At 1e6, a skein 0.0000005 open would let half a metre through; settled, it is shut and gives nothing."""
    assert _settled(BY_NAME["link-row-1e+06"].program(backwards=False), (5e-7, 0.5)) == (0.0, 0.0)


def test_values_that_cannot_be_made_whole_are_refused():
    assert _settled(BY_NAME["aim-is-a-row"].program(backwards=False), (0.5, 9.0)) is None


def test_a_solve_goes_on_past_the_solvers_own_loose_gap():
    """HiGHS left alone stops at 1e-4 of the value: 30 apart in 300,000 would pass for best."""
    program = Program()
    costs = [100_000, 100_007, 100_011, 100_013]
    columns = [program.column(f"x{place}", 0, 1, whole=True) for place in range(4)]
    program.aim = tuple(zip(columns, costs, strict=True))
    program.add([Row("three", tuple((column, 1) for column in columns), ">=", 2.5)])
    answer = solve(program)
    assert (answer.status, answer.value, answer.values) == (Status.OPTIMAL, 300_018, (1, 1, 1, 0))


def test_a_solver_that_gets_all_right_is_trusted(run):
    code, out, _ = run("check", "--solver")
    assert code == 0
    assert out.startswith("The solver on this machine can be trusted: ")


@pytest.mark.parametrize(
    "answer",
    [
        Answer(Status.OPTIMAL, (0.0, 0.0), 9.001, 9.001),  # wrong
        Answer(Status.STOPPED, (0.0, 0.0), 9.0, 8.0),  # right, and not proved
        Answer(Status.OPTIMAL, (0.0, 0.0), 9.0, 8.99),  # proved by a bound that is none
        Answer(Status.INFEASIBLE, None, None, float("inf")),
    ],
)
def test_a_solver_that_gets_one_wrong_is_not_trusted(run, monkeypatch, answer):
    wrong = BY_NAME["whole-beside-cheaper"].program(backwards=True)
    monkeypatch.setattr(
        canaries, "solve", lambda program, **kept: answer if program == wrong else solve(program, **kept)
    )
    code, out, _ = run("check", "--solver")
    assert code == 70
    assert out.startswith("The solver on this machine cannot be trusted: ")
    assert "\nanswers it got 1 wrong (" in out
    assert "\n  whole-beside-cheaper, backwards: " in out
    code, out, _ = run("check", "--solver", "--json")
    document = json.loads(out)
    assert (code, document["trusted"]) == (70, False)
    assert [one["question"] for one in document["questions"] if not one["passed"]] == ["whole-beside-cheaper"]


def test_a_solver_that_fails_is_not_trusted(monkeypatch):
    def fail(_, **__):
        raise SolverError("no usable answer")

    monkeypatch.setattr(canaries, "solve", fail)
    assert {(None, False)} == {(one.found, one.passed) for one in try_solver()}
