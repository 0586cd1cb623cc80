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
    basis = [n + i for i in range(m)]
    # columns: x, one slack a row, one helper that loosens every row, right
    table = [[*c, *(int(i == j) for j in range(m)), -1, right] for i, (c, right) in enumerate(rows)]
    helper = n + m
    one = 1
    if any(row[-1] < 0 for row in table):
        cost = [0] * helper + [1, 0]  # what is made least, kept as reduced costs
        worst = min(range(m), key=lambda i: table[i][-1])
        table[worst] = [-c for c in table[worst]]
        one = _pivot(table, cost, basis, worst, helper, one)
        one = _descend(table, cost, basis, one, helper + 1)
        if cost[-1] != 0:
            return None
        if helper in basis:
            row = basis.index(helper)
            column = next(j for j in range(helper) if table[row][j])
            if table[row][column] < 0:
                table[row] = [-c for c in table[row]]
            one = _pivot(table, cost, basis, row, column, one)
    cost = [-a * one for a in aim] + [0] * (m + 2)
    for row, variable in zip(table, basis, strict=True):
        if variable < n and aim[variable]:
            cost = [c + aim[variable] * r for c, r in zip(cost, row, strict=True)]
    one = _descend(table, cost, basis, one, helper)
    point = [Fraction(0)] * n
    for row, variable in zip(table, basis, strict=True):
        if variable < n:
            point[variable] = Fraction(row[-1], one)
    return point


def _descend(table, cost, basis, one, columns):
    """Bland's rule: the first column that helps, the row that ends first, the first of those."""
    while True:
        column = next((j for j in range(columns) if cost[j] < 0), None)
        if column is None:
            return one
        ends = [(Fraction(row[-1], row[column]), basis[i], i) for i, row in enumerate(table) if row[column] > 0]
        if not ends:
            raise ValueError("the region has no end")
        one = _pivot(table, cost, basis, min(ends)[2], column, one)


def _pivot(table, cost, basis, row, column, one):
    pivot = table[row][column]
    for other in (*table, cost):
        if other is not table[row]:
            factor = other[column]
            other[:] = [(pivot * c - factor * p) // one for c, p in zip(other, table[row], strict=True)]
    basis[row] = column
    return pivot
