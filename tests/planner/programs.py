"""Programs to solve: one too hard to finish, and small random ones."""

import random

from planner.program import Program, Row


def hard_program(rows=4, columns=30):
    """A market split: whole weights shared out so that every row is met as nearly as may be. Not proved in seconds."""
    draw, program, aim = random.Random(7), Program(), []
    picks = [program.column(f"pick{place}", 0, 1, whole=True) for place in range(columns)]
    for place in range(rows):
        weights = [draw.randint(0, 99) for _ in picks]
        over, under = (program.column(f"{side}{place}", 0, 5000, whole=False) for side in ("over", "under"))
        aim += [(over, 1), (under, 1)]
        terms = (*zip(picks, weights, strict=True), (over, 1), (under, -1))
        program.add([Row(f"share{place}", terms, "=", sum(weights) // 2)])
    program.aim = tuple(aim)
    return program


def tiny_program(seed, *, rest):
    """Three or four whole columns of 0 to 3 and, with `rest`, one that need not be whole; two to four rows."""
    draw, program = random.Random(seed), Program()
    for place in range(draw.randint(3, 4)):
        program.column(f"n{place}", 0, 3, whole=True)
    if rest:
        program.column("rest", 0, 2.5, whole=False)
    factors = [factor / 4 for factor in range(-20, 21)]
    indices = range(len(program.columns))
    program.aim = tuple((index, draw.choice(factors)) for index in indices)
    for place in range(draw.randint(2, 4)):
        terms = tuple((index, draw.choice(factors)) for index in indices if draw.random() < 0.8)
        sense = draw.choice(("<=", "<=", ">=", ">=", "="))
        if sense == "=":  # on whole halves, so that some can be met
            terms = tuple((index, round(factor)) for index, factor in terms)
        program.add([Row(f"row{place}", terms, sense, draw.randint(-6, 12))])
    return program
