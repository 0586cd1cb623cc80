"""The greatest value of a linear form over whole numbers, exactly: simplex in whole numbers, then branching.

The tableau holds whole numbers over one common denominator, the last pivot; each pivot divides without remainder
(Edmonds' and Bareiss' observation).
"""

from __future__ import annotations

import math
from fractions import Fraction

Rows = list[tuple[list[int], int]]  # coefficients, right: sum(coefficient x) <= right, every x >= 0


def greatest_whole(aim: list[Fraction], rows: Rows) -> Fraction | None:
    """The greatest `aim` over whole x >= 0 within the rows; None where there is no such x. The region must be bounded."""
    scale = math.lcm(*(a.denominator for a in aim))
    whole_aim = [int(a * scale) for a in aim]
    best: Fraction | None = None
    waiting = [rows]
    while waiting:
        here = waiting.pop()
        point = greatest_point(whole_aim, here)
        if point is None:
            continue
        value = sum((a * x for a, x in zip(aim, point, strict=True)), Fraction(0))
        if best is not None and value <= best:
            continue
        broken = next((i for i, x in enumerate(point) if x.denominator != 1), None)
        if broken is None:
            best = value
            continue
        unit = [int(i == broken) for i in range(len(point))]
        waiting.append([*here, (unit, math.floor(point[broken]))])
        waiting.append([*here, ([-u for u in unit], -math.ceil(point[broken]))])
    return best


def greatest_point(aim: list[int], rows: Rows) -> list[Fraction] | None:
    """A point x >= 0 of the greatest `aim` within the rows; None where there is none."""
    n, m = len(aim), len(rows)
    # a row says: its basic variable + sum(entry x free variable) = its last entry, all over `one`
    free, basic, one = list(range(n)), [n + i for i in range(m)], 1
    table = [[*coefficients, right] for coefficients, right in rows]
    helper = n + m  # loosens every row while a start is looked for
    if any(row[-1] < 0 for row in table):
        free.append(helper)
        for row in table:
            row.insert(n, -1)
        table.append([0] * n + [1, 0])
        worst = min(range(m), key=lambda i: table[i][-1])
        one = _exchange(table, free, basic, worst, n, one)
        one = _descend(table, free, basic, one)
        if table.pop()[-1] != 0:
            return None
        if helper in basic:
            row = basic.index(helper)
            one = _exchange(table, free, basic, row, next(j for j in range(n) if table[row][j]), one)
        column = free.index(helper)
        free.pop(column)
        for row in table:
            row.pop(column)
    cost = [-aim[v] * one if v < n else 0 for v in free] + [0]
    for row, variable in zip(table, basic, strict=True):
        if variable < n and aim[variable]:
            cost = [c + aim[variable] * r for c, r in zip(cost, row, strict=True)]
    table.append(cost)
    one = _descend(table, free, basic, one)
    point = [Fraction(0)] * n
    for row, variable in zip(table, basic, strict=False):
        if variable < n:
            point[variable] = Fraction(row[-1], one)
    return point


def _descend(table, free, basic, one):
    """Makes the last row's value least. Bland's rule: of the columns that help, and of the rows that end first, the first variable."""
    while True:
        helps = [(variable, j) for j, variable in enumerate(free) if table[-1][j] < 0]
        if not helps:
            return one
        column = min(helps)[1]
        ends = [(Fraction(row[-1], row[column]), basic[i], i) for i, row in enumerate(table[:-1]) if row[column] > 0]
        if not ends:
            raise ValueError("the region has no end")
        one = _exchange(table, free, basic, min(ends)[2], column, one)


def _exchange(table, free, basic, row, column, one):
    pivot, line = table[row][column], table[row]
    for other in table:
        if other is not line:
            factor = other[column]
            if factor:
                other[:] = [(pivot * c - factor * p) // one for c, p in zip(other, line, strict=True)]
            else:
                other[:] = [pivot * c // one for c in other]
            other[column] = -factor
    line[column] = one
    basic[row], free[column] = free[column], basic[row]
    if pivot < 0:
        for other in table:
            other[:] = [-c for c in other]
    return abs(pivot)
