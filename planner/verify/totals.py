"""The plan's totals are those of its rows, and it claims no more than it can."""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.verify.facts import ENDS_CM, LIMIT
from planner.verify.guarded import lot_cm

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from planner.verify.facts import Facts

PROOFS = ("optimal", "within", "best-found")
FINISHED = Fraction(9, 10)  # of a lot's length given to projects


def aim_recounted(facts: Facts) -> Iterator[str]:
    """The plan's total is the sum of its rows."""
    count = AIMS.get(facts.plan.aim)
    if count is None:
        yield f"the aim {facts.plan.aim} is not one of {', '.join(AIMS)}"
        return
    found = count(facts)
    if not abs(Fraction(facts.plan.aim_value) - found) <= LIMIT * max(Fraction(1), found):
        yield f"the plan says {facts.plan.aim_value:.6f} {facts.plan.aim}, its rows say {float(found):.6f}"


def bound_holds(facts: Facts) -> Iterator[str]:
    """Nothing is claimed to be out of reach that the plan itself reaches, and best possible means no better is left."""
    value, told = Fraction(facts.plan.aim_value), facts.plan.aim_bound
    bound = Fraction(told) if math.isfinite(told) else told  # inf where the search was ended before it knew one
    slack = LIMIT * max(Fraction(1), abs(value))
    if not bound >= value - slack:
        yield f"the plan reaches {float(value):.6f} {facts.plan.aim} but says no more than {float(bound):.6f} can be"
    if facts.plan.proof not in PROOFS:
        yield f"the plan says it is proved to be {facts.plan.proof!r}"
    if facts.plan.proof == "optimal" and bound > value + max(slack, Fraction(1, 100)):
        yield f"the plan says it is the best possible, yet {float(bound):.6f} {facts.plan.aim} might be"


def fewest_holds(facts: Facts) -> Iterator[str]:
    """No more lots and joins are said to be needed than the plan itself takes."""
    if facts.plan.fewest is not None and facts.plan.fewest > (taken := lots_and_joins(facts)):
        yield f"the plan says no plan has fewer than {facts.plan.fewest} lots and joins, its rows have {taken}"


def lots_and_joins(facts: Facts) -> int:
    """Lots, each counted for every project it is in, and the pieces beyond the first of every strand."""
    total = 0
    for project in facts.made:
        runs = [run for made in project.needs.values() for run in made.runs]
        total += len({lot for run in runs for lot in run.yarn.lots})
        total += sum(len(run.planned.takes) - run.yarn.count for run in runs)
    return total


def grams_used(facts: Facts) -> Fraction:
    """Grams that go into the needs, weighted by how much each project is wanted; reserve and ends not counted."""
    total = Fraction(0)
    for project in facts.made:
        for made in project.needs.values():
            planned = sum(made.stretches_cm.values())
            for run in made.runs:
                metres = made.need_m * run.planned.length_cm / planned if planned else Fraction(0)
                total += project.project.want * metres * run.yarn.tex / 1000
    return total


def projects_made(facts: Facts) -> Fraction:
    """How many projects are made, each copy one."""
    return Fraction(len(facts.made))


def lots_finished(facts: Facts) -> Fraction:
    """How many lots give nine tenths or more of what they surely hold to projects, woven-in ends not counted."""
    given: Counter[str] = Counter()
    for made in facts.made_needs:
        for run in made.runs:
            for take in run.planned.takes:
                given[take.lot] += take.take_cm - ENDS_CM
    held = {name: lot_cm(facts, lot) for name, lot in facts.stash.lots.items()}
    return Fraction(sum(held[name] > 0 and given[name] >= FINISHED * held[name] for name in held))


AIMS: dict[str, Callable[[Facts], Fraction]] = {
    "grams": grams_used,
    "projects": projects_made,
    "lots": lots_finished,
}
