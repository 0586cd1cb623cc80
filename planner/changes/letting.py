"""Letting a lot in where a project keeps to other lots: as few lots more as will do."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from patterns.projects import Pin
from planner.changes.alterations import Rung, project_edit
from planner.reasons import because

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from planner.changes.alterations import Wish
    from planner.plan import PlannedProject


def let_in(wish: Wish, made: Callable[[Wish], PlannedProject | None]) -> Iterator[tuple[Rung, tuple[Rung, ...]]]:
    """For each need kept to some lots, the fewest found that let in make it enough, and beside it each step less.

    One lot alone wherever one will do; else lots of which none can be left out again.
    """
    for need, pin in wish.project.pins.items():
        free = made(_pinned(wish, need=need, pin=Pin()))
        if free is None:
            continue
        held_out = [lot for lot in wish.stash.lots if _kept_out(pin, lot)]
        used = _used(free, need)
        first = sorted(held_out, key=lambda lot: (lot not in used, lot))
        lots = next(({lot} for lot in first if made(_pinned(wish, need=need, pin=_wider(pin, {lot})))), None)
        if lots is None:
            lots = used & set(held_out)
            for lot in sorted(lots):
                if made(_pinned(wish, need=need, pin=_wider(pin, lots - {lot}))):
                    lots = lots - {lot}
        less = tuple(_rung(wish, need, pin, lots - {lot}) for lot in sorted(lots)) if len(lots) > 1 else ()
        yield _rung(wish, need, pin, lots), less


def _kept_out(pin: Pin, lot: str) -> bool:
    return lot in pin.without or (pin.only is not None and lot not in pin.only)


def _wider(pin: Pin, lots: set[str]) -> Pin:
    return Pin(None if pin.only is None else pin.only | lots, pin.without - lots)


def _used(made: PlannedProject, need: str) -> set[str]:
    return {lot for planned in made.needs if planned.need == need for run in planned.runs for lot in run.lots}


def _rung(wish: Wish, need: str, pin: Pin, lots: set[str]) -> Rung:
    wider = _wider(pin, lots)
    edits = []
    if wider.only != pin.only:
        edits.append(project_edit(wish.project, ("needs", need, "only"), _list(wider.only or ())))
    if wider.without != pin.without:
        edits.append(project_edit(wish.project, ("needs", need, "without"), _list(wider.without)))
    names = " and ".join(sorted(lots))
    return Rung(
        because(f"let {names} serve {need} too"), tuple(edits), partial(_pinned, need=need, pin=wider), 2.0 + len(lots)
    )


def _list(lots: Iterable[str]) -> str:
    return f"[{', '.join(sorted(lots))}]"


def _pinned(wish: Wish, *, need: str, pin: Pin) -> Wish:
    pins = {**wish.project.pins, need: pin}
    return replace(wish, project=replace(wish.project, pins=pins))
