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
    from collections.abc import Iterable, Iterator, Sequence

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

    Used yarn of a skein that is gone is no fault: a skein that is used up may be deleted. Used yarn of a piece that is
    gone is a warning, for it is taken off nothing. That a skein holds less than is set aside because it was weighed
    anew, or because its lot was found to be thicker, is a warning.
    """
    for held in standing.held():
        yield from _missing(stash, held)
    for _, skein, taken in _touched(stash, standing.used):
        yield from _pieces_gone(skein, taken, standing)
    now = dict(_recounted(stash, standing))
    for lot, skein, taken in _touched(stash, [*standing.used, *standing.held()]):
        yield from _too_much(lot, now.get(lot.id, lot), skein, taken, standing)


def weighed_last(stash: Stash, standing: Standing, lot_id: str, skein_id: str) -> tuple[Skein, bool]:
    """A skein as it was last weighed, in the file or at a finish, and whether anything was used of it since.

    Raises StopIteration where it is not in the stash.
    """
    lot = stash.lots[lot_id]
    skein = next(one for one in lot.skeins if one.id == skein_id)
    used = [one for one in standing.used if (one.taking.lot, one.taking.skein) == (lot_id, skein_id)]
    base, since = _base(lot, skein, used, standing)
    return base, bool(since)


def _left(stash: Stash, standing: Standing, aside: list[Held]) -> Stash:
    lots = dict(_recounted(stash, standing))
    skeins: dict[str, dict[str, Skein]] = defaultdict(dict)
    for lot, skein, taken in _touched(stash, [*standing.used, *aside]):
        base, rest = _base(lot, skein, [one for one in taken if one.taking.piece <= len(skein.shares)], standing)
        left = less(base, shares_left(base, _taken(lot, base, rest, standing)))
        promised = frozenset(one.taking.piece for one in rest if not one.used)
        skeins[lot.id][skein.id] = replace(left, promised=promised)
    for name, changed in skeins.items():
        lot = lots.get(name, stash.lots[name])
        lots[name] = replace(lot, skeins=tuple(changed.get(one.id, one) for one in lot.skeins))
    return replace(stash, lots={name: lots.get(name, lot) for name, lot in stash.lots.items()}) if lots else stash


def _recounted(stash: Stash, standing: Standing) -> Iterator[tuple[str, Lot]]:
    """The lots that were knitted of, with what that tells of their counts."""
    for name in standing.knitted:
        if name in stash.lots:
            yield name, _as_known(stash.lots[name], standing)


def _as_known(lot: Lot, standing: Standing, before: int | None = None) -> Lot:
    """A lot with what was learnt of its count, in all or before a revision."""
    told = standing.knitted.get(lot.id, ())
    return recounted(lot, [knitted for revision, knitted in told if before is None or revision < before])


def _base(lot: Lot, skein: Skein, taken: Sequence[Held], standing: Standing) -> tuple[Skein, list[Held]]:
    """The skein as it was last weighed, and what was taken of it since; as the file has it where it never was."""
    rest = list(taken)
    for revision, mass in standing.left.get(skein.id, ()):
        gone = [held for held in rest if held.used and held.revision <= revision]
        pieces = less(skein, shares_left(skein, _taken(lot, skein, gone, standing)))
        skein = reweighed(pieces, mass.value, scale_of(mass))
        rest = [held for held in rest if held not in gone]
    return skein, rest


def _taken(lot: Lot, skein: Skein, held: Iterable[Held], standing: Standing) -> Iterator[Taken]:
    """What was taken of a skein of the file's `lot`.

    What is set aside is so many metres by all that is known of the count. What is used is gone: what is learnt of the
    count later brings none of it back.
    """
    for one in held:
        known = _as_known(lot, standing, one.revision if one.used else None)
        yield Taken(one.taking.piece, one.taking.cm, guarded_whole_cm(known, skein, one.confidence))


def _touched(stash: Stash, held: Iterable[Held]) -> Iterator[tuple[Lot, Skein, list[Held]]]:
    """Skeins that yarn was taken of, each with what was taken; what is not in the stash is left out."""
    by_skein: dict[tuple[str, str], list[Held]] = defaultdict(list)
    for one in held:
        by_skein[one.taking.lot, one.taking.skein].append(one)
    for (lot_id, skein_id), taken in by_skein.items():
        lot = stash.lots.get(lot_id)
        skein = None if lot is None else next((one for one in lot.skeins if one.id == skein_id), None)
        if lot is not None and skein is not None:
            yield lot, skein, taken


def _missing(stash: Stash, held: Held) -> Iterator[Fault]:
    take = held.taking
    lot = stash.lots.get(take.lot)
    skeins = {} if lot is None else {skein.id: skein for skein in lot.skeins}
    if take.skein not in skeins:
        yield wrong.unknown_skein(take, stash.lots, skeins, in_lot=lot is not None)
    elif take.piece > len(skeins[take.skein].shares):
        yield wrong.unknown_piece(take, len(skeins[take.skein].shares))


def _pieces_gone(skein: Skein, taken: list[Held], standing: Standing) -> Iterator[Fault]:
    for held in _since_weighed(skein, taken, standing):
        if held.taking.piece > len(skein.shares):
            yield wrong.used_piece_gone(held.taking, len(skein.shares))


def _since_weighed(skein: Skein, taken: list[Held], standing: Standing) -> list[Held]:
    weighings = standing.left.get(skein.id)
    return [held for held in taken if not weighings or held.revision > weighings[-1][0]]


def _too_much(lot: Lot, now: Lot, skein: Skein, taken: list[Held], standing: Standing) -> Iterator[Fault]:
    """`lot`: as the file has it; `now`: with what was learnt of its count."""
    base, rest = _base(lot, skein, [one for one in taken if one.taking.piece <= len(skein.shares)], standing)
    for piece, share in enumerate(shares_left(base, _taken(lot, base, rest, standing)), start=1):
        here = [held for held in rest if held.taking.piece == piece]
        if share >= 0 or not here:
            continue
        surest = max(held.confidence for held in here)  # by which least is in it
        whole_cm = guarded_whole_cm(now, base, surest) * base.shares[piece - 1]
        total_cm = sum(held.taking.cm for held in here)
        if total_cm > whole_cm + SLACK_CM:
            learnt = skein.id in standing.left or lot.id in standing.knitted
            aside = [held.taking.project for held in here if not held.used]
            if aside or not learnt:  # what is used was there, whatever was learnt since
                yield wrong.too_much([held.taking for held in here], total_cm, whole_cm, learnt=learnt, aside=aside)
