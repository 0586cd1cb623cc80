"""A program solved by CP-SAT, in a process of its own: OR-tools and highspy do not load into one.

    python cpsat.py SECONDS < program.json

Reads {columns: [[low, high]], rows: [[[column, factor], ...], sense, right], aim: [[column, factor], ...]}; every column
is whole there, in cm; factors that are not are taken times SCALE and rounded. Prints {value, bound}, null where there is none.
"""

import json
import math
import sys

from ortools.sat.python import cp_model

SCALE, AIM_SCALE = 10_000, 100_000_000


def main() -> None:
    asked = json.load(sys.stdin)
    model = cp_model.CpModel()
    columns = [
        model.new_int_var(math.ceil(low - 1e-9), math.floor(high + 1e-9), f"c{place}")
        for place, (low, high) in enumerate(asked["columns"])
    ]
    for terms, sense, right in asked["rows"]:
        factors, scaled = scale_row([factor for _, factor in terms], right)
        left = cp_model.LinearExpr.weighted_sum([columns[index] for index, _ in terms], factors)
        model.add(left <= scaled if sense == "<=" else left >= scaled if sense == ">=" else left == scaled)
    model.minimize(
        cp_model.LinearExpr.weighted_sum(
            [columns[index] for index, _ in asked["aim"]], [round(factor * AIM_SCALE) for _, factor in asked["aim"]]
        )
    )
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = float(sys.argv[1])
    solver.parameters.num_workers = 1
    found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    bound = solver.best_objective_bound / AIM_SCALE
    json.dump({"value": solver.objective_value / AIM_SCALE if found else None, "bound": bound}, sys.stdout)


def scale_row(factors: list[float], right: float) -> tuple[list[int], int]:
    by = 1 if all(float(number).is_integer() for number in (*factors, right)) else SCALE
    return [round(factor * by) for factor in factors], round(right * by)


if __name__ == "__main__":
    main()
