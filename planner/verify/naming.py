"""Does everything the plan names exist, once each? The other rules read the plan only when these hold."""

from __future__ import annotations

from collections import Counter
from itertools import chain
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from patterns.needs import Pattern
    from planner.plan import PlannedProject, YarnRun
    from planner.verify.facts import Facts
    from stash.lots import Lot, Skein


def confidence_stated(facts: Facts) -> Iterator[str]:
    """The plan is as sure as was asked for."""
    stated, asked = facts.plan.confidence, facts.confidence
    if not 0 < stated < 1:
        yield f"a plan cannot be {float(stated):.2%} sure"
    elif asked is not None and stated != asked:
        yield f"the plan is {float(stated):.2%} sure, {float(asked):.2%} was asked for"


def projects_once(facts: Facts) -> Iterator[str]:
    """Every project asked for stands in the plan exactly once, and no other does."""
    rows = Counter(row.project for row in facts.plan.projects)
    asked = Counter(project.name for project in facts.asked)
    for name in sorted(rows.keys() | asked.keys()):
        if rows[name] != asked[name]:
            yield f"{name}: stands in the plan {_times(rows[name])}, asked for {_times(asked[name])}"
    patterns = {project.name: project.pattern for project in facts.asked}
    for row in facts.plan.projects:
        if row.project in patterns and row.pattern != patterns[row.project]:
            yield f"{row.project}: made from {row.pattern}, asked for from {patterns[row.project]}"


def size_asked(facts: Facts) -> Iterator[str]:
    """A project is made in one of the sizes asked for, and one that is not made takes nothing."""
    asked = {project.name: project for project in facts.asked}
    for row, pattern in _rows(facts):
        sizes = asked[row.project].sizes or tuple(pattern.sizes)
        if row.size is None:
            if row.needs:
                yield f"{row.project}: not made, yet yarn is planned for it"
        elif row.size not in sizes or row.size not in pattern.sizes:
            yield f"{row.project}: size {row.size} was not asked for; asked for {', '.join(sizes)}"


def needs_served(facts: Facts) -> Iterator[str]:
    """Every need of the size is served once, and nothing else is."""
    for row, pattern in _rows(facts):
        if row.size is None or row.size not in pattern.sizes:
            continue
        rows = Counter(planned.need for planned in row.needs)
        for need in sorted(rows.keys() | pattern.sizes[row.size].keys()):
            wanted = int(need in pattern.sizes[row.size])
            if rows[need] != wanted:
                yield f"{row.project}, {need}: planned {_times(rows[need])}, its size asks for it {_times(wanted)}"


def yarn_owned(facts: Facts) -> Iterator[str]:
    """Every lot, skein and piece is one of the stash, and every working yarn has whole strands."""
    for row in facts.plan.projects:
        for planned in row.needs:
            where = f"{row.project}, {planned.need}"
            if not planned.runs:
                yield f"{where}: no yarn is planned"
            for run in planned.runs:
                yield from (f"{where}: {words}" for words in _unowned(run, facts.stash.lots))


def _unowned(run: YarnRun, lots: Mapping[str, Lot]) -> Iterator[str]:
    if not run.lots:
        yield "a working yarn without any lot"
    for name, count in run.lots.items():
        if name not in lots:
            yield f"there is no lot {name}"
        if count < 1:
            yield f"lot {name} with {count} strands"
    for take in run.takes:
        found = _skein(take.skein, take.lot, lots)
        if found is None:
            yield f"there is no skein {take.skein}"
            continue
        lot, skein = found
        if lot.id != take.lot:
            yield f"skein {take.skein} is of lot {lot.id}, not {take.lot}"
        elif not 1 <= take.piece <= len(skein.shares):
            yield f"skein {take.skein} has no piece {take.piece}"


def _skein(name: str, lot: str, lots: Mapping[str, Lot]) -> tuple[Lot, Skein] | None:
    """A skein and the lot it is of, which is most likely the one named."""
    likely = [lots[lot]] if lot in lots else []
    for owner in chain(likely, lots.values()):
        for skein in owner.skeins:
            if skein.id == name:
                return owner, skein
    return None


def _rows(facts: Facts) -> Iterator[tuple[PlannedProject, Pattern]]:
    """The rows whose project and pattern are known."""
    asked = {project.name: project for project in facts.asked}
    for row in facts.plan.projects:
        if row.project in asked and asked[row.project].pattern in facts.patterns:
            yield row, facts.patterns[asked[row.project].pattern]


def _times(count: int) -> str:
    return {0: "not at all", 1: "once"}.get(count, f"{count} times")
