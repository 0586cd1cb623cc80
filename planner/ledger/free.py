"""The stash as it stands after the ledger: what is still owned, and what of it is free."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.ledger import faults as wrong
from stash.lengths import SLACK_CM
from stash.remains import Taken, guarded_whole_cm, less, recounted, reweighed, shares_left
from stash.samples import scale_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.ledger.standing import Held, Standing
    from stash.faults import Fault
    from stash.lots import Lot, Skein, Stash


def owned(stash: Stash, standing: Standing) -> Stash:
    """The stash without what is used; what is set aside is still in it."""
    return _left(stash, standing, [])


def free(stash: Stash, standing: Standing, *, but_for: str | None = None) -> Stash:
    """The stash without what is used or set aside; what is set aside for the project `but_for` counts as free."""
    return _left(stash, standing, standing.held(but_for=but_for))


def check(stash: Stash, standing: Standing) -> Iterator[Fault]:
    """Yarn that is set aside or used of skeins and pieces that are not there, or that hold less.

    Used yarn of a skein that is gone is no fault: a skein that is used up may be deleted. That a skein holds less
    than is set aside because it was weighed anew, or because its lot was found to be thicker, is a warning.
    """
    for held in standing.held():
        yield from _missing(stash, held)
    lots = dict(_recounted(stash, standing))
    for lot, skein, taken in _touched(stash, [*standing.used, *standing.held()]):
        yield from _too_much(lots.get(lot.id, lot), skein, taken, standing)


def _left(stash: Stash, standing: Standing, aside: list[Held]) -> Stash:
    lots = dict(_recounted(stash, standing))
    skeins: dict[str, dict[str, Skein]] = defaultdict(dict)
    for file_lot, skein, taken in _touched(stash, [*standing.used, *aside]):
        lot = lots.get(file_lot.id, file_lot)
        base, rest = _base(lot, skein, taken, standing)
        skeins[lot.id][skein.id] = less(base, shares_left(lot, base, map(_taken, rest)))
    for name, changed in skeins.items():
        lot = lots.get(name, stash.lots[name])
        lots[name] = replace(lot, skeins=tuple(changed.get(one.id, one) for one in lot.skeins))
    return replace(stash, lots={name: lots.get(name, lot) for name, lot in stash.lots.items()}) if lots else stash


def _recounted(stash: Stash, standing: Standing) -> Iterator[tuple[str, Lot]]:
    """The lots that were knitted of, with what that tells of their counts."""
    for name, told in standing.knitted.items():
        if name in stash.lots:
            yield name, recounted(stash.lots[name], told)


def _base(lot: Lot, skein: Skein, taken: list[Held], standing: Standing) -> tuple[Skein, list[Held]]:
    """The skein as it was last weighed, and what was taken of it since; as the file has it where it never was."""
    if skein.id not in standing.left:
        return skein, taken
    revision, mass = standing.left[skein.id]
    gone = [held for held in taken if held.used and held.revision <= revision]
    pieces = less(skein, shares_left(lot, skein, map(_taken, gone)))
    return reweighed(pieces, mass.value, scale_of(mass)), [
        held for held in taken if not held.used or held.revision > revision
    ]


def _touched(stash: Stash, held: Iterable[Held]) -> Iterator[tuple[Lot, Skein, list[Held]]]:
    """Skeins that yarn was taken of, each with what was taken; what is not in the stash is left out."""
    by_skein: dict[tuple[str, str], list[Held]] = defaultdict(list)
    for one in held:
        by_skein[one.taking.lot, one.taking.skein].append(one)
    for (lot_id, skein_id), taken in by_skein.items():
        lot = stash.lots.get(lot_id)
        skein = None if lot is None else next((one for one in lot.skeins if one.id == skein_id), None)
        if lot is not None and skein is not None:
            there = [one for one in taken if one.taking.piece <= len(skein.shares)]
            yield lot, skein, there


def _missing(stash: Stash, held: Held) -> Iterator[Fault]:
    take = held.taking
    lot = stash.lots.get(take.lot)
    skeins = {} if lot is None else {skein.id: skein for skein in lot.skeins}
    if take.skein not in skeins:
        yield wrong.unknown_skein(take, stash.lots, skeins, in_lot=lot is not None)
    elif take.piece > len(skeins[take.skein].shares):
        yield wrong.unknown_piece(take, len(skeins[take.skein].shares))


def _too_much(lot: Lot, skein: Skein, taken: list[Held], standing: Standing) -> Iterator[Fault]:
    base, rest = _base(lot, skein, taken, standing)
    for piece, share in enumerate(shares_left(lot, base, map(_taken, rest)), start=1):
        here = [held for held in rest if held.taking.piece == piece]
        if share >= 0 or not here:
            continue
        surest = max(held.confidence for held in here)  # by which least is in it
        whole_cm = guarded_whole_cm(lot, base, surest) * base.shares[piece - 1]
        total_cm = sum(held.taking.cm for held in here)
        if total_cm > whole_cm + SLACK_CM:
            learnt = skein.id in standing.left or lot.id in standing.knitted
            yield wrong.too_much([held.taking for held in here], total_cm, whole_cm, learnt=learnt)


def _taken(held: Held) -> Taken:
    return Taken(held.taking.piece, held.taking.cm, held.confidence)
