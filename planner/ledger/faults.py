"""What may be wrong with a ledger, alone or beside the stash: one function a fault."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

from planner.ledger.entries import FILE
from stash.faults import Fault, Place
from stash.nearest import suggest
from stash.nodes import Node, fault_at, short
from stash.units import show_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from planner.ledger.entries import Entry, Taking
    from stash.lots import Counted, Skein

PUT_BACK = "put the line back as it was, or take the file from your last copy"


def out_of_turn(node: Node, found: int, expected: int) -> Fault:
    return fault_at(node, f"revision {found} stands where revision {expected} should", _whole(expected))


def changed_by_hand(node: Node, revision: int) -> Fault:
    return fault_at(node, f"revision {revision} is not as lotwise wrote it", _whole(revision))


def _whole(revision: int) -> str:
    return (
        f"{PUT_BACK}; if it cannot be had, delete revision {revision} and all below it, and book again what still holds"
    )


def does_what(node: Node, text: str) -> Fault:
    return fault_at(
        node,
        f"an entry that does '{short(text)}' is not known",
        f"{PUT_BACK}; or this is the ledger of a newer lotwise",
    )


def at_entry(entry: Entry, message: str, hint: str) -> Fault:
    return Fault(entry.place or Place(FILE, 1, 1), message, hint, entry.own_line)


def at_taking(take: Taking, message: str, hint: str, *, warning: bool = False) -> Fault:
    return Fault(take.place or Place(FILE, 1, 1), message, hint, take.own_line, warning)


def set_aside_twice(entry: Entry, project: str) -> Fault:
    return at_entry(entry, f"yarn for {project} is set aside a second time", _whole(entry.revision))


def not_set_aside(entry: Entry, project: str) -> Fault:
    return at_entry(entry, f"nothing is set aside for {project}", _whole(entry.revision))


def undoes_another(entry: Entry, revision: int, last: int | None) -> Fault:
    which = "there is nothing left to undo" if last is None else f"the last that counts is revision {last}"
    return at_entry(entry, f"revision {entry.revision} undoes revision {revision}, but {which}", _whole(entry.revision))


def unknown_skein(take: Taking, lots: Iterable[str], skeins: Iterable[str], *, in_lot: bool) -> Fault:
    """`in_lot`: the lot is there and only the skein is not."""
    what = f"skein {take.skein}" if in_lot else f"lot {take.lot}"
    near = suggest(take.skein, skeins, "its skeins are") if in_lot else suggest(take.lot, lots, "the lots are")
    return at_taking(
        take,
        f"{take.cm / 100:.2f} m of skein {take.skein} are set aside for {take.project}, but there is no {what} now",
        f"write it into your stash again; or give it back: lotwise release {shlex.quote(take.project)} ({near})",
    )


def unknown_piece(take: Taking, pieces: int) -> Fault:
    return at_taking(
        take,
        f"piece {take.piece} of skein {take.skein} is taken for {take.project}, but the skein has {pieces} only",
        f"write its pieces as they were; or give it back: lotwise release {shlex.quote(take.project)}",
    )


def unknown_project(take: Taking, known: Sequence[str]) -> Fault:
    return at_taking(
        take,
        f"yarn is set aside for {take.project}, which is not among your projects and patterns any more",
        f"write it there again; or give it back: lotwise release {shlex.quote(take.project)} "
        f"({suggest(take.project, known, 'there are')})",
    )


def used_piece_gone(take: Taking, pieces: int) -> Fault:
    return at_taking(
        take,
        f"piece {take.piece} of skein {take.skein} is used for {take.project}, but the skein has {pieces} only: "
        "nothing is taken off for it",
        "write its pieces, and what it weighed, as they were before anything was taken",
        warning=True,
    )


def too_much(takes: Sequence[Taking], total_cm: int, held_cm: Fraction, *, learnt: bool, aside: Sequence[str]) -> Fault:
    """`learnt`: the skein was weighed anew, or its lot knitted of, since it was set aside; then it is a warning.

    `aside`: the projects it is set aside for, which may be none where nothing was learnt.
    """
    last = takes[-1]
    names = list(dict.fromkeys(take.project for take in takes))
    said = (
        f"{total_cm / 100:.2f} m of skein {last.skein}, piece {last.piece} are taken for {', '.join(names)}, "
        f"but no more than {float(held_cm) / 100:.2f} m are sure to be in it"
    )
    release = f"lotwise release {shlex.quote(aside[-1])}" if aside else ""
    if learnt:
        return at_taking(last, said, f"give it back and plan anew: {release}", warning=True)
    return at_taking(
        last,
        said,
        "write the skein as it was before anything was taken; what it weighs now goes behind 'counted:'"
        + (f"; or give back what is set aside: {release}" if aside else ""),
    )


def counted_otherwise(
    skein: Skein, counted: Counted, expected_g: Fraction, used_g: Fraction, *, weighed: bool
) -> Fault:
    """`expected_g`: what the ledger leaves of it; `used_g`: what it has taken off; `weighed`: by a finish."""
    apart = counted.mass_g - expected_g
    much = f"{show_number(abs(apart), 1)} g {'more' if apart > 0 else 'less'}"
    whole = f"{show_number(counted.mass_g + used_g, 1)} g"
    by_ledger = (
        f"the ledger leaves {show_number(expected_g, 1)} g" if used_g else f"its mass is {show_number(expected_g, 1)} g"
    )
    remedy = f"write mass: {whole}" + (f", with the {show_number(used_g, 1)} g that are used" if used_g else "")
    if weighed:  # its mass in the file counts no more
        by_ledger = f"by its last weighing the ledger leaves {show_number(expected_g, 1)} g"
        remedy = (
            "give back what is set aside of it and write it as a skein of another name, with mass: "
            f"{show_number(counted.mass_g, 1)} g"
        )
    return Fault(
        counted.place,
        f"skein {skein.id} weighed {show_number(counted.mass_g, 1)} g on {counted.on.isoformat()}, {much} than "
        f"it should: {by_ledger}",
        f"weigh it again; if it is so, {remedy}",
        counted.own_line,
        warning=True,
    )
