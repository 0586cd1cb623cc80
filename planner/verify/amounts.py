"""Enough in every stretch, cut from pieces that hold it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from planner.verify.facts import ENDS_CM, metres, rounded_up_cm
from planner.verify.guarded import pieces_cm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.verify.facts import Facts, MadeNeed, Run


def planned_lengths(facts: Facts) -> Iterator[str]:
    """Planned is what is needed with its reserve, each stretch rounded up to whole centimetres: no less, no more."""
    for made in facts.made_needs:
        needed = sum(made.stretches_cm.values())
        if made.planned.planned_cm != needed:
            yield f"{made.title}: {metres(made.planned.planned_cm)} planned where {metres(needed)} is needed"


def stretches_filled(facts: Facts) -> Iterator[str]:
    """The working yarns of each stretch add up to exactly what it needs, and there is no other stretch."""
    for made in facts.made_needs:
        given: Counter[str | None] = Counter()
        for run in made.runs:
            given[run.planned.part] += run.planned.length_cm
        for part in sorted(given.keys() | made.stretches_cm.keys(), key=str):
            needed = made.stretches_cm.get(part, 0)
            if given[part] != needed or part not in made.stretches_cm:
                where = made.title if part is None else f"{made.title}, {part}"
                yield f"{where}: working yarns of {metres(given[part])} where {metres(needed)} is needed"


def lots_allowed(facts: Facts) -> Iterator[str]:
    """No more working yarns than the need's lot rule allows, each listed once in a stretch."""
    for made in facts.made_needs:
        rule = made.need.lots
        most = 1 if rule.kind in ("one", "by-part") else rule.most
        runs = Counter(run.planned.part for run in made.runs)
        for part, count in runs.items():
            if most is not None and count > most:
                where = made.title if part is None else f"{made.title}, {part}"
                yield f"{where}: {count} working yarns where at most {most} may serve"
        for (part, words), count in Counter((run.planned.part, run.yarn.words) for run in made.runs).items():
            if count > 1:
                yield f"{made.title}{'' if part is None else f', {part}'}: {words} is listed {count} times"


def shares_carried(facts: Facts) -> Iterator[str]:
    """Of N alternating working yarns each carries at least 1/(2N) of what is planned, unless it is alone."""
    for made in facts.made_needs:
        rule = made.need.lots
        if rule.kind != "alternate" or rule.most is None:
            continue
        for run in made.runs:
            if run.planned.length_cm * 2 * rule.most < sum(made.stretches_cm.values()):
                yield f"{made.title}: {run.yarn.words} carries less than its share, 1/{2 * rule.most} of the need"


def strands_filled(facts: Facts) -> Iterator[str]:
    """Every strand of a working yarn comes from its lot and its pieces give exactly the yarn's length, ends aside."""
    for made in facts.made_needs:
        for run in made.runs:
            yield from (f"{made.title}: {words}" for words in _unfilled(run))


def _unfilled(run: Run) -> Iterator[str]:
    if run.planned.length_cm <= 0:
        yield f"{run.yarn.words} is planned with no length"
    strands = {take.strand for take in run.planned.takes}
    if strands != set(range(1, run.yarn.count + 1)):
        yield f"{run.yarn.words} has {run.yarn.count} strands, pieces are taken for {sorted(strands)}"
    lots: Counter[str] = Counter()
    for strand in sorted(strands):
        takes = [take for take in run.planned.takes if take.strand == strand]
        names = sorted({take.lot for take in takes})
        if len(names) > 1:
            yield f"strand {strand} of {run.yarn.words} changes from one lot to another ({', '.join(names)})"
        lots[names[0]] += 1
        given = sum(take.take_cm - ENDS_CM for take in takes)
        if given != run.planned.length_cm:
            length = metres(run.planned.length_cm)
            yield f"strand {strand} of {run.yarn.words} gives {metres(given)} where {length} is planned"
    if lots != Counter(run.planned.lots):
        yield f"the pieces taken are not those of {run.yarn.words}"


def least_given(facts: Facts) -> Iterator[str]:
    """Every piece taken gives at least the least length, or the whole stretch where that is shorter."""
    for made in facts.made_needs:
        for run in made.runs:
            stretch = made.stretches_cm.get(run.planned.part, 0)
            least = min(rounded_up_cm(made.need.piece_m), stretch)
            for take in run.planned.takes:
                if take.take_cm - ENDS_CM < max(least, 1):
                    yield (
                        f"{made.title}: skein {take.skein}, piece {take.piece} gives {metres(take.take_cm - ENDS_CM)}, "
                        f"less than {metres(max(least, 1))}"
                    )


def pieces_hold(facts: Facts) -> Iterator[str]:
    """No piece gives more, in the whole plan, than it surely holds."""
    taken: Counter[tuple[str, str, int]] = Counter()
    for made in facts.made_needs:
        for run in made.runs:
            for take in run.planned.takes:
                taken[take.lot, take.skein, take.piece] += take.take_cm
    opened = {(lot, skein) for lot, skein, _ in taken}
    for name in sorted({lot for lot, _ in opened}):
        lot = facts.stash.lots[name]
        for skein in (skein for skein in lot.skeins if (name, skein.id) in opened):
            for place, held in enumerate(pieces_cm(facts, lot, skein), start=1):
                cm = taken[name, skein.id, place]
                if cm > held:
                    yield f"skein {skein.id}, piece {place}: {metres(cm)} taken, {metres(held)} may be"


def joins_kept(facts: Facts) -> Iterator[str]:
    """No more joins in a need than it allows: pieces minus strands, both summed over its working yarns."""
    for made in facts.made_needs:
        joins = _joins(made)
        if made.need.joins is not None and joins > made.need.joins:
            yield f"{made.title}: {joins} joins where at most {made.need.joins} may be"


def _joins(made: MadeNeed) -> int:
    return sum(len(run.planned.takes) - run.yarn.count for run in made.runs)
