"""Whether a plan for a tiny case is right, told from the brute force's own reading of the rules."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations

from tests.oracle.brute import ceil_cm, least_cm, pieces_of
from tests.oracle.cutting import ENDS
from tests.oracle.suiting import alike, stands, working_yarns


def right(plan, stash, patterns, projects):
    """True where the plan breaks no rule. Its aim is grams; every id in it exists."""
    if sorted(row.project for row in plan.projects) != sorted(project.name for project in projects):
        return False
    asked = {project.name: project for project in projects}
    taken, grams = Counter(), Fraction(0)
    for row in plan.projects:
        if row.size is None:
            if row.needs:
                return False
            continue
        worth = _grams(row, stash, patterns, asked[row.project])
        if worth is None:
            return False
        grams += worth
        for need in row.needs:
            for run in need.runs:
                for take in run.takes:
                    taken[take.lot, take.skein, take.piece] += take.take_cm
    slack = max(1.0, float(grams)) / 1e6
    return (
        _pieces_hold(taken, stash, plan.confidence)
        and abs(plan.aim_value - float(grams)) <= slack
        and plan.aim_bound >= plan.aim_value - slack
    )


def _pieces_hold(taken, stash, confidence):
    held = pieces_of(stash, confidence)
    names = {
        lot.id: [(lot.id, skein.id, piece) for skein in lot.skeins for piece in range(1, len(skein.shares) + 1)]
        for lot in stash.lots.values()
    }
    room = {name: cm for lot in names for name, cm in zip(names[lot], held[lot], strict=True)}
    return all(name in room and cm <= room[name] for name, cm in taken.items())


def _grams(row, stash, patterns, project):
    """What the project is worth, or None where it is not made as it may be."""
    pattern = patterns[project.pattern]
    if row.size not in project.sizes or row.pattern != project.pattern:
        return None
    amounts = pattern.sizes[row.size]
    if sorted(need.need for need in row.needs) != sorted(amounts):
        return None
    served, grams = {}, Fraction(0)
    for planned in row.needs:
        need = pattern.needs[planned.need]
        may = {y.key: y for y in working_yarns(stash, need, project.pins.get(need.name), pattern.wash)}
        keys = [tuple(sorted(lot for lot, count in run.lots.items() for _ in range(count))) for run in planned.runs]
        if any(key not in may for key in keys):
            return None
        yarns = [may[key] for key in keys]
        lengths = {part: amount.metres for part, amount in amounts[need.name].items()}
        total = sum(lengths.values())
        stretches = lengths if need.lots.kind == "by-part" else {None: total}
        needed = {part: ceil_cm(length * (1 + project.reserve)) for part, length in stretches.items()}
        if not (_lots_ruled(need, planned, yarns, needed) and _cut(need, planned, needed)):
            return None
        served[need.name] = yarns
        for run, yarn in zip(planned.runs, yarns, strict=True):
            grams += project.want * total * run.length_cm / sum(needed.values()) * yarn.tex / 1000
    return grams if stands(pattern, project, served) else None


def _lots_ruled(need, planned, yarns, needed):
    rule = need.lots
    parts = Counter(run.part for run in planned.runs)
    if set(parts) != set(needed) or planned.planned_cm != sum(needed.values()):
        return False
    given = Counter()
    for run in planned.runs:
        given[run.part] += run.length_cm
    if given != Counter(needed) or not all(alike(a, b, rule.match) for a, b in combinations(yarns, 2)):
        return False
    if rule.kind in ("one", "by-part"):
        return set(parts.values()) == {1}
    if len({yarn.key for yarn in yarns}) != len(yarns) or (rule.most is not None and len(yarns) > rule.most):
        return False
    return rule.kind == "any" or all(run.length_cm * 2 * rule.most >= planned.planned_cm for run in planned.runs)


def _cut(need, planned, needed):
    joins = 0
    for run in planned.runs:
        strands = {}
        for take in run.takes:
            strands.setdefault(take.strand, []).append(take)
            if take.take_cm - ENDS < least_cm(need, needed[run.part]):
                return False
        lots = Counter()
        for takes in strands.values():
            if len({take.lot for take in takes}) > 1 or sum(take.take_cm - ENDS for take in takes) != run.length_cm:
                return False
            lots[takes[0].lot] += 1
        if lots != Counter(run.lots) or sorted(strands) != list(range(1, len(strands) + 1)):
            return False
        joins += len(run.takes) - len(strands)
    return need.joins is None or joins <= need.joins
