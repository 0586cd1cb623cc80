"""Solving: right against trying every choice, alike every time, and readable."""

import itertools
import math
import random
from fractions import Fraction

import highspy
import pytest
from programs import hard_program, tiny_program

from planner.highs import SolverError
from planner.program import Program, Row
from planner.solve import Answer, Status, lp_text, solve


def least_by_trying_all(program):
    """The least aim in exact arithmetic, or None: every choice of whole values, `rest` at an end of what it may be."""
    whole = [index for index, column in enumerate(program.columns) if column.whole]
    rest = next((index for index, column in enumerate(program.columns) if not column.whole), None)
    least = None
    for chosen in itertools.product(range(4), repeat=len(whole)):
        given = dict(zip(whole, chosen, strict=True))
        ends = ends_of_rest(program, given, rest)
        for end in ends:
            aim = sum(Fraction(factor) * (given | {rest: end})[index] for index, factor in program.aim)
            least = aim if least is None else min(least, aim)
    return least


def ends_of_rest(program, given, rest):
    """Least and greatest value of `rest` that every row allows; none when there is none. Without `rest`: 0 if all hold."""
    low, high = Fraction(0), Fraction(5, 2)
    for row in program.rows:
        left = sum(Fraction(factor) * given[index] for index, factor in row.terms if index != rest)
        slope = sum(Fraction(factor) for index, factor in row.terms if index == rest)
        for sign in {"<=": (1,), ">=": (-1,), "=": (1, -1)}[row.sense]:
            room = sign * (Fraction(row.right) - left)
            if slope * sign > 0:
                high = min(high, room / (slope * sign))
            elif slope * sign < 0:
                low = max(low, room / (slope * sign))
            elif room < 0:
                return ()
    return (low, high) if low <= high else ()


@pytest.mark.parametrize("rest", [False, True], ids=["all-whole", "one-not-whole"])
def test_200_random_programs_agree_with_trying_every_choice(rest):
    seen = {Status.OPTIMAL: 0, Status.INFEASIBLE: 0}
    for seed in range(100):
        program = tiny_program(seed, rest=rest)
        least = least_by_trying_all(program)
        answer = solve(program)
        seen[answer.status] += 1
        if least is None:
            assert answer == Answer(Status.INFEASIBLE, None, None, math.inf), seed
        else:
            assert (answer.status, answer.value) == (Status.OPTIMAL, pytest.approx(float(least), abs=1e-5)), seed
            assert answer.bound == pytest.approx(float(least), abs=1e-5), seed
            assert all(
                value in range(4) for value, column in zip(answer.values, program.columns, strict=True) if column.whole
            ), seed
    assert min(seen.values()) >= 15  # both kinds were met


def test_a_program_without_columns_is_solved_when_its_rows_hold():
    program = Program(rows=[Row("nothing", (), "<=", 0)])
    assert solve(program) == Answer(Status.OPTIMAL, (), 0.0, 0.0)
    program.add([Row("something", (), ">=", 1)])
    assert solve(program) == Answer(Status.INFEASIBLE, None, None, math.inf)


def test_columns_without_rows_or_aim_are_given_a_value_within_their_bounds():
    program = Program()
    program.column("low", 2, 5, whole=False)
    program.column("high", -5, -1.5, whole=True)
    low, high = solve(program).values
    assert 2 <= low <= 5
    assert high in {-5, -4, -3, -2}


def test_an_empty_row_that_cannot_hold_makes_the_program_infeasible():
    program = Program()
    program.column("a", 0, 5, whole=False)
    program.add([Row("never", (), ">=", 5)])
    assert solve(program).status == Status.INFEASIBLE


@pytest.mark.parametrize(("low", "high", "whole"), [(0.4, 0.6, True), (2, 1, False)])
def test_a_column_with_no_value_to_take_makes_the_program_infeasible(low, high, whole):
    program = Program()
    program.column("a", low, high, whole=whole)
    assert solve(program).status == Status.INFEASIBLE


def test_bounds_that_cross_by_a_rounding_error_are_one_value():
    program = Program()
    program.column("a", 0.1 + 0.2, 0.3, whole=False)
    assert solve(program).values == (0.3,)


def test_a_column_named_twice_in_a_row_or_aim_counts_twice():
    program = Program()
    column = program.column("a", 0, 10, whole=False)
    program.add([Row("twice", ((column, 1), (column, 1)), ">=", 6)])
    program.aim = ((column, 1), (column, 2))
    answer = solve(program)
    assert (answer.values, answer.value) == ((3.0,), 9.0)


def test_infeasible_is_told_from_unbounded():
    """`a` could fall for ever, but 2 b = 1 has no whole b: the solver's first word may be "one or the other"."""
    program = Program()
    falling, never = program.column("a", -math.inf, 0, whole=False), program.column("b", 0, 1, whole=True)
    program.aim = ((falling, 1),)
    unbounded = Program(columns=list(program.columns), aim=program.aim)
    program.add([Row("half", ((never, 2),), "=", 1)])
    assert solve(program).status == Status.INFEASIBLE
    with pytest.raises(SolverError, match="no usable answer"):
        solve(unbounded)


def test_a_relative_gap_is_enough_where_it_was_asked_for():
    """Twenty cover rows over 40 columns that cost 50 to 99: the first found within 30 % will do."""
    program = Program()
    draw = random.Random(3)
    columns = [program.column(f"x{place}", 0, 1, whole=True) for place in range(40)]
    program.aim = tuple((column, draw.randint(50, 99)) for column in columns)
    program.add(
        Row(f"r{place}", tuple((column, draw.randint(1, 9)) for column in draw.sample(columns, 8)), ">=", 12)
        for place in range(20)
    )
    near, best = solve(program, relative_gap=0.3), solve(program)
    assert (near.status, best.status) == (Status.WITHIN, Status.OPTIMAL)
    assert near.bound <= best.value <= near.value
    assert near.value - near.bound <= 0.3 * near.value


def test_a_search_has_at_least_what_it_began_from():
    """Cut off at its first node it would by itself have found less."""
    program = hard_program()
    alone, longer = solve(program, nodes=1), solve(program, nodes=300)
    assert longer.value < alone.value
    assert solve(program, nodes=1, start=longer.values).value <= longer.value


def test_the_same_program_gives_the_same_bytes():
    first, second = (solve(tiny_program(5, rest=True)) for _ in range(2))
    assert repr(first) == repr(second)


def small_program():
    program = Program()
    a, b = program.column("a", 0, 4, whole=True), program.column("b", -1.5, math.inf, whole=False)
    program.add([Row("share", ((a, 1), (b, -2.5)), "<=", 3), Row("least", ((a, 1), (b, 1)), ">=", 0.5)])
    program.add([Row("none", (), "=", 0)])
    program.aim = ((a, -1), (b, 0.1))
    return program


def test_lp_text_is_the_program_as_it_was_made():
    assert lp_text(small_program()) == (
        "Minimize\n"
        " aim: - a + 0.1 b\n"
        "Subject To\n"
        " share: a - 2.5 b <= 3\n"
        " least: a + b >= 0.5\n"
        " none: 0 a = 0\n"
        "Bounds\n"
        " 0 <= a <= 4\n"
        " -1.5 <= b <= inf\n"
        "General\n"
        " a\n"
        "End\n"
    )


def test_lp_text_read_by_the_solver_itself_is_the_same_program(tmp_path):
    """HiGHS's own reader of the LP format is the oracle. By hand: a = 4 needs b >= 0.4, so -4 + 0.04."""
    path = tmp_path / "program.lp"
    path.write_text(lp_text(small_program()), encoding="ascii")
    solver = highspy.Highs()
    solver.silent()
    solver.readModel(str(path))
    solver.run()
    assert solver.getInfo().objective_function_value == pytest.approx(-3.96)
    assert solve(small_program()).value == pytest.approx(-3.96)
