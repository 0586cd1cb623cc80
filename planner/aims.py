"""What is made best, one stage after another. Every aim is minimised; an aim may bring columns and rows of its own."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.instance import END_CM
from planner.program import Row
from planner.rules.joins import joins_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from planner.columns import Columns, Use
    from planner.program import Terms

FINISHED = 0.9  # of a lot's length given to projects


@dataclass(frozen=True)
class Aim:
    """`step`: half the smallest difference that counts, in the aim's unit."""

    name: str
    terms: Callable[[Columns], Terms]
    step: float


def must_made(columns: Columns) -> Terms:
    """The most `must` projects: -sum of made."""
    makings = columns.instance.makings
    return tuple((made, -1.0) for made, making in zip(columns.made, makings, strict=True) if making.project.must)


def projects_made(columns: Columns) -> Terms:
    """The most projects: -sum of made."""
    return tuple((made, -1.0) for made in columns.made)


def grams_used(columns: Columns) -> Terms:
    """The most yarn used: -sum of want x need x length / planned x tex."""
    terms: list[tuple[int, float]] = []
    for use in columns.uses:
        if use.yarn is not None:
            want = columns.instance.makings[use.making].project.want
            per_cm = want * grams_per_cm(use)
            terms += use.length_terms(-float(per_cm))
    return tuple(terms)


def grams_per_cm(use: Use) -> float:
    """Grams of the need itself (no reserve, no ends) in a planned cm of the use's working yarn."""
    if use.yarn is None:
        return 0.0
    return float(use.sized.need_m / use.sized.planned_cm * use.yarn.tex / 1000)


def lots_finished(columns: Columns) -> Terms:
    """The most lots finished: nine tenths or more of a lot's length given to projects.

    For every lot: sum over uses of strands x length >= 0.9 x its length x finished.
    """
    terms = []
    for number, (lot, uses) in enumerate(columns.by_lot.items()):
        holds = sum(piece.length_cm for piece in columns.instance.stock[lot])
        if holds == 0:
            continue
        finished = columns.program.column(f"finished_{number:05d}", 0, 1, whole=True)
        given = (term for use, strands in uses for term in use.length_terms(float(strands)))
        columns.program.add([Row(f"finishes_{number:05d}", (*given, (finished, -FINISHED * holds)), ">=", 0)])
        terms.append((finished, -1.0))
    return tuple(terms)


def metres_to_find(columns: Columns) -> Terms:
    """The least yarn still to be found: the sum of the lengths to look for, with their ends."""
    found = (use for use in columns.uses if use.yarn is None)
    return tuple(term for use in found for term in (*use.length_terms(0.01), (use.used, END_CM / 100)))


def lots_and_joins(columns: Columns) -> Terms:
    """Fewest lots, counted for each project, plus joins.

    For every lot in every slot of every making: sum over uses with the lot of used <= lot used.
    """
    terms: list[tuple[int, float]] = []
    for index, making in enumerate(columns.instance.makings):
        serving: dict[str, list[list[int]]] = defaultdict(list)
        for sized in making.needs:
            for slot in columns.slots(index, sized):
                for lot, used in _used_by_lot(slot).items():
                    serving[lot].append(used)
        for number, lot in enumerate(sorted(serving)):
            column = columns.program.column(f"lot_used_{index:05d}_{number:05d}", 0, 1, whole=True)
            terms.append((column, 1.0))
            columns.program.add(
                Row(
                    f"lot_counts_{index:05d}_{number:05d}_{row:05d}",
                    (*((u, 1.0) for u in used), (column, -1.0)),
                    "<=",
                    0,
                )
                for row, used in enumerate(serving[lot])
            )
    return (*terms, *(term for use in columns.uses for term in joins_of(columns, use)))


def skeins_opened(columns: Columns) -> Terms:
    """Fewest skeins opened.

    For every cut: taken <= its skein opened. For every lot: sum over uses of strands x length <= sum over its skeins
    of what they hold x opened.
    """
    opened: dict[str, int] = {}
    rows = []
    for number, (lot, uses) in enumerate(columns.by_lot.items()):
        holds: dict[str, int] = defaultdict(int)
        for piece in columns.instance.stock[lot]:
            holds[piece.skein] += piece.length_cm
        for skein in holds:
            opened[skein] = columns.program.column(f"opened_{len(opened):05d}", 0, 1, whole=True)
        given = (term for use, strands in uses for term in use.length_terms(float(strands)))
        held = ((opened[skein], -float(length)) for skein, length in holds.items())
        rows.append(Row(f"opened_hold_{number:05d}", (*given, *held), "<=", 0))
    for number, cut in enumerate(columns.cuts):
        rows.append(Row(f"opens_{number:05d}", ((cut.taken, 1.0), (opened[cut.piece.skein], -1.0)), "<=", 0))
    columns.program.add(rows)
    return tuple((column, 1.0) for column in opened.values())


def smallest_ids(columns: Columns) -> Terms:
    """Smallest ids: the sum of the places, in id order, of what is chosen."""
    makings = ((made, float(place)) for place, made in enumerate(columns.made))
    uses = ((use.used, float(use.key[-1] + 1)) for use in columns.uses)
    first = {
        lot: {(p.skein, p.number): i for i, p in enumerate(stock)} for lot, stock in columns.instance.stock.items()
    }
    cuts = ((cut.taken, float(first[cut.piece.lot][cut.piece.skein, cut.piece.number])) for cut in columns.cuts)
    return (*makings, *uses, *cuts)


MUST = Aim("must", must_made, 0.49)
GRAMS = Aim("grams", grams_used, 0.01)
PROJECTS = Aim("projects", projects_made, 0.49)
LOTS = Aim("lots", lots_finished, 0.49)
TO_FIND = Aim("metres to find", metres_to_find, 0.004)
FEWEST = Aim("lots and joins", lots_and_joins, 0.49)
SKEINS = Aim("skeins", skeins_opened, 0.49)
IDS = Aim("ids", smallest_ids, 0.49)

FIRST_AIMS = {"grams": GRAMS, "projects": PROJECTS, "lots": LOTS}


def _used_by_lot(slot: Iterable[Use]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for use in slot:
        for lot in use.yarn.lot_ids if use.yarn else ():
            found[lot].append(use.used)
    return found
