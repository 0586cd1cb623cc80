"""The optima of a published assignment set come out of our own adapter.

Source: OR-Library, generalised assignment problem, file gap1 and the optima in its notes (J. E. Beasley, "OR-Library:
distributing test problems by electronic mail", Journal of the Operational Research Society 41, 1990): five problems
of 5 agents and 15 jobs, the profit made most.
"""

from itertools import islice
from pathlib import Path

import pytest

from planner.program import Program, Row
from planner.solve import Status, solve

PUBLISHED_OPTIMA = (336, 327, 339, 341, 326)
DATA = Path(__file__).parent.parent / "data" / "gap1.txt"


def problems():
    """(profits, loads, capacities) of each problem in the file, agents by jobs."""
    numbers = map(int, DATA.read_text(encoding="ascii").split())
    for _ in range(next(numbers)):
        agents, jobs = next(numbers), next(numbers)
        profits = [list(islice(numbers, jobs)) for _ in range(agents)]
        loads = [list(islice(numbers, jobs)) for _ in range(agents)]
        yield profits, loads, list(islice(numbers, agents))


def program_of(profits, loads, capacities):
    program = Program()
    agents, jobs = range(len(profits)), range(len(profits[0]))
    gives = {(a, j): program.column(f"x_{a}_{j}", 0, 1, whole=True) for a in agents for j in jobs}
    program.aim = tuple((column, -profits[a][j]) for (a, j), column in gives.items())
    program.add(Row(f"job_{j}", tuple((gives[a, j], 1) for a in agents), "=", 1) for j in jobs)
    program.add(Row(f"room_{a}", tuple((gives[a, j], loads[a][j]) for j in jobs), "<=", capacities[a]) for a in agents)
    return program


def test_the_file_holds_five_problems_of_5_agents_and_15_jobs():
    sizes = [(len(profits), len(profits[0]), len(loads), len(room)) for profits, loads, room in problems()]
    assert sizes == [(5, 15, 5, 5)] * 5


@pytest.mark.parametrize("number", range(5))
def test_the_published_optimum_is_proved(number):
    answer = solve(program_of(*list(problems())[number]))
    assert (answer.status, answer.value, round(answer.bound, 6)) == (
        Status.OPTIMAL,
        -PUBLISHED_OPTIMA[number],
        -PUBLISHED_OPTIMA[number],
    )
