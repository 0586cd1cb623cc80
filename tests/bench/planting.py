"""Workspaces built from a plan: lots are cut first, and projects asked for just what was cut, so all can be made at once.

Of every lot three fifths to nine tenths are cut, by guarded lengths, with reserve and ends. What fits together becomes a
project: the rules it is given (thickness, colour, contrast, lots) are such as its own yarn keeps, and other yarn may too.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
from stash.colour import difference
from stash.lengths import guarded_cm
from stash.read import read_stash

from .generated import stash_files
from .wishes import OTHERS, PARTS, STEP_CM, Length, Wish, pattern_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from stash.lots import Lot

CONFIDENCE = Fraction(95, 100)
ENDS_CM, LEAST_CM = 30, 500
SHORTEST_CM = 200 * STEP_CM
MAINS = {"one": 1, "by-part": 3, "alternate 2": 2, "any 3": 3}  # lot rule -> stretches wished for
TRIES = 60


def plant(lots: int, projects: int, seed: int) -> tuple[dict[str, str], Plan]:
    """The files of a workspace, and a plan that makes every project in it."""
    chance = random.Random(f"planted {lots} {projects} {seed}")
    files = stash_files(chance, lots)
    stash = read_stash([(path, text.encode()) for path, text in files.items()]).stash
    rules = chance.choices(tuple(MAINS), (5, 3, 2, 1), k=projects)
    others = chance.choices((0, 1, 2, 3), (4, 4, 2, 1), k=projects)
    count = sum(MAINS[rule] for rule in rules) + sum(others)
    pool = _lengths(chance, tuple(stash.lots.values()), count)
    wishes = _wishes(chance, pool, rules, others)
    files["projects.yaml"] = "projects:\n"
    planned = []
    for number, wish in enumerate(wishes, start=1):
        name = f"p{number:04}"
        files[f"patterns/{name}.yaml"] = pattern_text(chance, number, wish)
        files["projects.yaml"] += f"  - {{make: {name}}}\n"
        planned.append(PlannedProject(name, name, "one", tuple(_needs(wish))))
    used = (one.length_cm * Fraction(1, 110) * one.yarn.tex / 1000 for wish in wishes for one in wish.all())
    grams = float(sum(used))
    return files, Plan(tuple(planned), CONFIDENCE, "grams", grams, grams, "best-found", 0.0)


def _lengths(chance: random.Random, lots: Sequence[Lot], count: int) -> list[Length]:
    """About `count` lengths, every lot cut into one at least."""
    more = Counter(chance.choices(range(len(lots)), k=max(0, count - len(lots))))
    found = []
    for place, lot in enumerate(lots):
        left = {
            (skein.id, number): cm
            for skein in lot.skeins
            for number, cm in enumerate(guarded_cm(lot, skein, CONFIDENCE), start=1)
        }
        wanted = chance.uniform(0.6, 0.9) * sum(left.values())
        shares = [chance.uniform(0.5, 1.5) for _ in range(1 + more[place])]
        for share in shares:
            strands = chance.choices((1, 2), (6, 1))[0]
            length = _cut_near(lot, strands, int(wanted * share / sum(shares)) // strands, left)
            if length is not None:
                found.append(length)
    chance.shuffle(found)
    return found


def _cut_near(lot: Lot, strands: int, wanted: int, left: dict[tuple[str, int], int]) -> Length | None:
    """The longest length up to what is wanted, tried in steps of a tenth, that the pieces left can give."""
    while wanted >= SHORTEST_CM:
        exact = wanted // STEP_CM * STEP_CM
        trial, takes = dict(left), []
        for strand in range(1, strands + 1):
            takes += _cut(lot, strand, exact, trial)
        if sum(take.take_cm - ENDS_CM for take in takes) == strands * exact:
            left.update(trial)
            return Length(lot, strands, exact, tuple(takes))
        wanted = wanted * 9 // 10
    return None


def _cut(lot: Lot, strand: int, wanted: int, left: dict[tuple[str, int], int]) -> list[Take]:
    """Piece after piece, as they lie; no piece gives under 5 m."""
    takes = []
    for (skein, number), cm in left.items():
        given = min(cm - ENDS_CM, wanted)
        if 0 < wanted - given < LEAST_CM:
            given = wanted - LEAST_CM
        if wanted and given >= LEAST_CM:
            takes.append(Take(strand, lot.id, skein, number, given + ENDS_CM))
            left[skein, number] -= given + ENDS_CM
            wanted -= given
    return takes


def _wishes(chance: random.Random, pool: list[Length], rules: Sequence[str], others: Sequence[int]) -> list[Wish]:
    """Deal the lengths out; those that fit no project they were tried on stay with the lot."""
    by_kind: dict[tuple[object, ...], list[Length]] = defaultdict(list)
    for length in pool:
        by_kind[length.kind].append(length)
    free = dict.fromkeys(map(id, pool))
    wishes = []
    for rule, count in zip(rules, others, strict=True):
        first = _next(pool, free)
        if first is None:
            break
        wish = Wish(rule, [first], [])
        _join(wish, by_kind[first.kind], free)
        wishes.append(wish)
        for _ in range(count):
            _add_other(chance, wish, pool, free)
    for wish in chance.choices(wishes, k=2 * len(wishes)):
        _add_other(chance, wish, pool, free)
    return wishes


def _next(pool: list[Length], free: dict[int, None]) -> Length | None:
    while pool:
        length = pool.pop()
        if id(length) in free:
            del free[id(length)]
            return length
    return None


def _join(wish: Wish, alike: list[Length], free: dict[int, None]) -> None:
    """Give the main need as many stretches as its rule is for, where there are such; one alone is `one`."""
    for other in [one for one in alike if id(one) in free][:TRIES]:
        if len(wish.main) < MAINS[wish.rule] and _may_join(wish, other):
            wish.main.append(other)
            del free[id(other)]
    if len(wish.main) == 1:
        wish.rule = "one"


def _may_join(wish: Wish, other: Length) -> bool:
    shades = all(difference(one.lot.colour, other.lot.colour) <= 4.9 for one in wish.main)
    lots = all(one.lot is not other.lot for one in wish.main)
    lengths = [one.length_cm for one in (*wish.main, other)]
    fits = {
        "one": False,
        "by-part": shades,
        "alternate 2": shades and lots and 4 * min(lengths) >= sum(lengths),
        "any 3": lots,
    }
    return fits[wish.rule] and all(one.may_meet(other) for one in wish.main)


def _add_other(chance: random.Random, wish: Wish, pool: list[Length], free: dict[int, None]) -> None:
    """One more need beside the main one, from a length that may meet what is there; shorter than the main one."""
    if len(wish.others) == len(OTHERS) or not pool:
        return
    for other in chance.choices(pool, k=TRIES):
        if id(other) in free and all(one.may_meet(other) for one in wish.all()):
            wish.others.append(other)
            del free[id(other)]
            return


def _needs(wish: Wish) -> Iterable[PlannedNeed]:
    parts = PARTS if wish.rule == "by-part" else (None,) * len(PARTS)
    runs = [
        YarnRun({one.lot.id: one.strands}, one.length_cm, part, one.takes)
        for part, one in zip(parts, wish.main, strict=False)
    ]
    yield PlannedNeed("main", sum(run.length_cm for run in runs), tuple(runs))
    for name, one in zip(OTHERS, wish.others, strict=False):
        run = YarnRun({one.lot.id: one.strands}, one.length_cm, None, one.takes)
        yield PlannedNeed(name, one.length_cm, (run,))
