"""A project is finished: its yarn is used, and what is left on the scale tells how thick it really was."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.asking import AskError, ask
from planner.ledger.booking import added_to, held_for, refuse_changed
from planner.ledger.entries import Finish
from planner.ledger.free import weighed_last
from stash.lengths import mass_g, own_u
from stash.nearest import name_some
from stash.remains import BELIEVED_WITHIN, Knitted
from stash.samples import scale_of
from stash.units import UnitError, read_mass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

    from planner.ledger.booking import Booked
    from planner.ledger.standing import Held
    from planner.workspace import Workspace
    from stash.units import Quantity

ENDS_M = Fraction(3, 10)  # woven in, of each piece taken
PRINTED_U = 0.05  # relative, of metres by a printed figure


def finish(folder: Path, load: Callable[[Path], Workspace], project: str, left: Sequence[str], why: str) -> Booked:
    """Turn what is set aside for a project into used. `left`: "SKEIN=MASS", what whole skeins weigh now.

    Raises AskError, FaultyFilesError, OSError; nothing is changed then.
    """
    with added_to(folder) as add:
        workspace = load(folder)
        held = held_for(workspace.books, project)
        weighed = dict(_weighed(text, held, workspace) for text in left)
        if len(weighed) < len(left):
            raise AskError("a skein is weighed twice in --left", "give each skein once")
        knitted = dict(_knitted(workspace, project, held, weighed))
        refuse_changed(workspace)
        return replace(add(workspace.books, Finish(project, weighed, knitted), why), workspace=workspace)


def _weighed(text: str, held: Sequence[Held], workspace: Workspace) -> tuple[str, Quantity]:
    """What a skein weighs now, from "SKEIN=MASS"."""
    name, equals, mass = text.partition("=")
    name, skeins = name.strip(), {one.taking.skein for one in held}
    if not equals or not name:
        raise AskError(f"--left {text} does not say what is left", "write it like --left heron-1=34g")
    if name not in skeins:
        raise AskError(f"{name} is none of the skeins set aside for it", f"they are: {name_some(sorted(skeins))}")
    try:
        quantity = read_mass(mass)
    except UnitError as error:
        raise AskError(f"--left {text}: {error}", error.hint) from None
    there = _at_most_g(workspace, next(one.taking.lot for one in held if one.taking.skein == name), name)
    if quantity.value > there:
        raise AskError(
            f"{name} cannot have {mass.strip()} left: it had no more than {float(there):.0f} g",
            "weigh it again; or put its mass right in your stash file first",
        )
    return name, quantity


def _at_most_g(workspace: Workspace, lot_id: str, name: str) -> Fraction:
    """What a skein may weigh: what it weighed last and a gram; where it never was weighed, all its length may weigh."""
    skein, _ = weighed_last(workspace.written, workspace.books.standing, lot_id, name)
    lot = workspace.owned.lots[lot_id]
    unsure = 0.0 if skein.mass_g is not None else math.hypot(lot.count.relative_u, own_u(lot, skein))
    return mass_g(lot, skein) * Fraction(1 + BELIEVED_WITHIN * unsure) + 1


def _knitted(
    workspace: Workspace, project: str, held: Sequence[Held], left: Mapping[str, Quantity]
) -> Iterator[tuple[str, Knitted]]:
    """Metres and grams of each lot whose skeins were all weighed before and after, with nothing else used between.

    Metres are those of the pattern: what was taken less its reserve, with the ends that are woven in. Both weighings
    add the last digit of their scales.
    """
    reserve, unsure = _reserve(workspace, project)
    for lot in dict.fromkeys(one.taking.lot for one in held):
        takes = [one.taking for one in held if one.taking.lot == lot]
        skeins = dict.fromkeys(take.skein for take in takes)
        if not skeins.keys() <= left.keys() or reserve is None:
            continue
        before = [weighed_last(workspace.written, workspace.books.standing, lot, skein) for skein in skeins]
        grams, steps = Fraction(0), []
        for skein, used in before:
            if skein.mass_g is None or used:  # what it weighed is reckoned from the count itself, or from a plan
                break
            grams += skein.mass_g - left[skein.id].value
            steps += [float(skein.scale_g), float(scale_of(left[skein.id]))]
        else:
            metres = sum(((Fraction(take.cm, 100) - ENDS_M) / (1 + reserve) + ENDS_M for take in takes), Fraction(0))
            if round(grams, 2) > 0:
                off = math.hypot(*steps) / math.sqrt(12) / float(grams)
                yield lot, Knitted(round(metres, 2), round(grams, 2), round(math.hypot(unsure, off), 6))


def _reserve(workspace: Workspace, project: str) -> tuple[Fraction | None, float]:
    """The reserve a project was planned with and how unsure its metres are; None where it is not known any more."""
    try:
        (asked,) = ask(workspace, (project,), every_size=False)
    except (AskError, ValueError):
        return None, PRINTED_U
    sizes = workspace.patterns[asked.pattern].sizes
    amounts = (one for size in asked.sizes for parts in sizes[size].values() for one in parts.values())
    return asked.reserve, max([PRINTED_U, *(one.relative_u for one in amounts)])
