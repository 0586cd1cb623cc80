"""Small programs that one or another release of the solver has got wrong, with their right values.

The first six are after faults reported in public against HiGHS; the right value is worked out beside each.
"""

import pytest

from planner.program import Program, Row
from planner.solve import Status, _settled, solve


def program_of(columns, aim, rows, order):
    """Columns {name: (low, high, whole)}, aim {name: factor}, rows [({name: factor}, sense, right)]; made in `order`."""
    program = Program()
    index = {name: program.column(name, low, high, whole=whole) for name, (low, high, whole) in order(columns.items())}
    program.aim = tuple((index[name], factor) for name, factor in aim.items())
    program.add(
        Row(f"row_{place}", tuple((index[name], factor) for name, factor in terms.items()), sense, right)
        for place, (terms, sense, right) in enumerate(rows)
    )
    return program


CANARIES = {
    # x costs 2 a unit and z 3: all of it from x
    "whole-beside-cheaper": (
        {"x": (0, 10, False), "z": (0, 10, True)},
        {"x": 2, "z": 3},
        [({"x": 1, "z": 1}, ">=", 4.5)],
        9,
    ),
    # z = y + 7.5 is whole and y within 1 of 0: y is -0.5 or 0.5, z 7 or 8; with 7, x = 3: 3 - 2 + 63
    "whole-by-a-difference": (
        {"x": (0, 4, False), "y": (-1, 1, False), "z": (0, 20, True)},
        {"x": 1, "y": 4, "z": 9},
        [({"x": 1, "y": 1}, "<=", 5), ({"x": 1, "z": 1}, ">=", 10), ({"z": 1, "y": -1}, "=", 7.5)],
        64,
    ),
    # x may be 3, then g is 0 and t is 3
    "fractional-bound-on-a-whole": (
        {"g": (0, 3, False), "t": (-10, 10, False), "x": (0.45, 3, True)},
        {"g": 100, "t": 0.01},
        [({"g": 1, "x": 1}, "=", 3), ({"t": 1, "x": -1}, ">=", 0), ({"t": 1, "x": 1}, ">=", 0)],
        0.03,
    ),
    # x = 12 leaves 8.1 for y: 12 + 16.2; one more x leaves y at its least: 13 + 16
    "dear-rest-after-a-whole": (
        {"x": (0, 20, True), "y": (8, 20, False)},
        {"x": 1, "y": 2},
        [({"x": 1, "y": 1}, ">=", 20.1)],
        28.2,
    ),
    # x at its most, 3, and t with it
    "large-beside-small": (
        {"t": (1, 3, False), "x": (1, 3, True)},
        {"x": -100, "t": 0.01},
        [({"t": 1, "x": -1}, ">=", 0)],
        -299.97,
    ),
    # the row is the aim: 10 at least, and x = 0, y = 10 gives it
    "aim-is-a-row": (
        {"x": (0, 1, True), "y": (9, 20, False)},
        {"x": 2, "y": 1},
        [({"x": 2, "y": 1}, ">=", 10)],
        10,
    ),
    # opening costs 10 and gives half a metre: not worth it, however wide the link row stands open
    **{
        f"link-row-{size:.0e}": (
            {"open": (0, 1, True), "take": (0, 0.5, False)},
            {"open": 10, "take": -1},
            [({"take": 1, "open": -size}, "<=", 0)],
            0,
        )
        for size in (1e4, 1e6, 1e8)
    },
}


@pytest.mark.parametrize("order", [list, lambda items: list(items)[::-1]], ids=["as-written", "reversed"])
@pytest.mark.parametrize("name", CANARIES)
def test_the_right_value_is_found_and_proved(name, order):
    columns, aim, rows, right_value = CANARIES[name]
    answer = solve(program_of(columns, aim, rows, order))
    assert answer.status == Status.OPTIMAL
    assert (answer.value, answer.bound) == (pytest.approx(right_value, abs=1e-8), pytest.approx(right_value, abs=1e-6))


def test_yarn_let_through_by_a_link_row_is_taken_back():
    """At 1e6, a skein 0.0000005 open would let half a metre through; settled, it is shut and gives nothing."""
    columns, aim, rows, _ = CANARIES["link-row-1e+06"]
    assert _settled(program_of(columns, aim, rows, list), (5e-7, 0.5)) == (0.0, 0.0)


def test_values_that_cannot_be_made_whole_are_refused():
    columns, aim, rows, _ = CANARIES["aim-is-a-row"]
    assert _settled(program_of(columns, aim, rows, list), (0.5, 9.0)) is None


def test_a_solve_goes_on_past_the_solvers_own_loose_gap():
    """HiGHS left alone stops at 1e-4 of the value: 30 apart in 300,000 would pass for best."""
    program = Program()
    costs = [100_000, 100_007, 100_011, 100_013]
    columns = [program.column(f"x{place}", 0, 1, whole=True) for place in range(4)]
    program.aim = tuple(zip(columns, costs, strict=True))
    program.add([Row("three", tuple((column, 1) for column in columns), ">=", 2.5)])
    answer = solve(program)
    assert (answer.status, answer.value, answer.values) == (Status.OPTIMAL, 300_018, (1, 1, 1, 0))
