"""Steps that leave a need's own rules alone: reserve, washing, size, lots measured again."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from planner.changes.alterations import Edit, Ladder, Rung, Steps, listed, project_edit
from planner.reasons import Length, because
from stash import lengths

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from patterns.needs import Pattern
    from patterns.projects import Project
    from planner.changes.alterations import Wish
    from planner.workspace import Workspace
    from stash.lots import Lot, Skein, Stash

STEP = Fraction(1, 1000)  # reserve is lessened by tenths of a percent
LENGTH_STEP = Fraction(1, 100)  # of a lot's best guess
WOUND = Fraction(1, 100)  # m: what a length wound off is written to


def wish_ladders(
    workspace: Workspace, wish: Wish, measured: AbstractSet[str], confidence: Fraction
) -> Iterator[Ladder]:
    """Every way that changes the project's own line, its size, its washing or what is known of a lot.

    `measured`: the lots that may be measured again.
    """
    yield _reserve(wish)
    yield from (_measured(lot, confidence) for lot in wish.stash.lots.values() if lot.id in measured)
    yield _by_hand(wish.pattern)
    yield _bleeding(wish)
    yield _sizes(workspace, wish)


def _reserve(wish: Wish) -> Ladder:
    """Less kept back, in tenths of a percent."""
    less = range(math.ceil(wish.project.reserve / STEP) - 1, -1, -1)
    return Ladder("reserve", Steps(less, partial(_less_reserve, wish)), same_knit=True)


def _less_reserve(wish: Wish, steps: int) -> Rung:
    own, less = wish.project.reserve, steps * STEP
    value = f"{float(less) * 100:g}%"
    if listed(wish.project, wish.pattern):
        edit = project_edit(wish.project, ("reserve",), value)
    else:
        edit = Edit(wish.pattern.place.file, "at the top", ("reserve",), value)
    return Rung(
        because(f"keep back {value} instead of {float(own) * 100:g}%"),
        (edit,),
        lambda other: replace(other, project=replace(other.project, reserve=less)),
        0.0,
    )


def _measured(lot: Lot, confidence: Fraction) -> Ladder:
    """A lot wound off and counted: how much it must turn out to hold, in hundredths of its best guess."""
    weighed = [skein for skein in lot.skeins if skein.length_m is None and lengths.length_m(lot, skein) > 0]
    looser = [skein for skein in weighed if lengths.relative_u(lot, skein) > lengths.STATED_LENGTH_U]
    if not looser or confidence <= Fraction(1, 2):
        return Ladder("measure", ())
    spread = min(math.hypot(lengths.relative_u(lot, skein), lengths.STATED_LENGTH_U) for skein in looser)
    lowest = max(math.ceil(100 * (1 - 1.9 * spread)), 50)  # a length further off would not agree with its weight
    return Ladder("measure", Steps(range(lowest, 101), partial(_wound_off, lot, looser, confidence)), same_knit=True)


def _wound_off(lot: Lot, looser: Sequence[Skein], confidence: Fraction, percent: int) -> Rung:
    """What to do where these skeins turn out to hold so much of their best guess."""
    share = percent * LENGTH_STEP
    wound = {skein.id: _wound(lengths.length_m(lot, skein) * share, skein) for skein in looser}
    skeins = tuple(wound.get(skein.id, skein) for skein in lot.skeins)
    sure = Fraction(sum(sum(lengths.guarded_cm(lot, skein, confidence)) for skein in lot.skeins), 100)
    what = because(
        f"wind off {lot.id} and count its metres: ",
        Length(sure),
        " is sure and ",
        Length(_held_m(lot.skeins, lot)),
        " likely; if it truly holds ",
        Length(_held_m(skeins, lot)),
        ", that is enough",
    )
    edits = tuple(_skein_edit(lot, skein) for skein in skeins if skein.id in wound)
    return Rung(what, edits, partial(_with_lot, lot=replace(lot, skeins=skeins)), 1.0 + float(share))


def _held_m(skeins: Iterable[Skein], lot: Lot) -> Fraction:
    return sum((lengths.length_m(lot, skein) for skein in skeins), Fraction(0))


def _wound(length: Fraction, skein: Skein) -> Skein:
    """The skein with the length that was counted, its pieces in proportion, all as they are written."""
    if len(skein.shares) == 1 or skein.assumed_equal:
        return replace(skein, length_m=_written(length))
    pieces = [_written(length * share) for share in skein.shares]
    whole = sum(pieces, Fraction(0))
    if not whole:
        return skein
    return replace(skein, length_m=whole, shares=tuple(piece / whole for piece in pieces))


def _written(length: Fraction) -> Fraction:
    return round(length / WOUND) * WOUND


def _skein_edit(lot: Lot, skein: Skein) -> Edit:
    told = [] if skein.mass_g is None else [f"mass: {float(skein.mass_g):g} g"]
    length = skein.length_m or Fraction(0)
    told.append(f"length: {float(length):.2f} m")
    if skein.assumed_equal:
        told.append(f"pieces: {len(skein.shares)}")
    elif len(skein.shares) > 1:
        told.append(f"pieces: [{', '.join(f'{float(length * share):.2f} m' for share in skein.shares)}]")
    keys = ("lots", lot.id, "skeins", skein.id)
    return Edit(lot.place.file, f"lot {lot.id}", keys, f"{{{', '.join(told)}}}")


def _with_lot(wish: Wish, *, lot: Lot) -> Wish:
    stash: Stash = wish.stash
    return replace(wish, stash=replace(stash, lots={**stash.lots, lot.id: lot}))


def _by_hand(pattern: Pattern) -> Ladder:
    """Washed more gently."""
    gentler = {"machine": ("any", "hand"), "any": ("hand",)}.get(pattern.wash, ())
    told = {
        "any": "promise no machine wash (hot or rough washing felts wool)",
        "hand": "wash it by hand only, cool and without rubbing",
    }
    rungs = [
        Rung(
            because(told[wash]),
            (Edit(pattern.place.file, "at the top", ("wash",), wash),),
            partial(_washed, wash=wash),
            3.0,
        )
        for wash in gentler
    ]
    return Ladder("washing", tuple(rungs), same_knit=True)


def _washed(wish: Wish, *, wash: str) -> Wish:
    return replace(wish, pattern=replace(wish.pattern, wash=wash))  # type: ignore[arg-type]  # one of its words


def _bleeding(wish: Wish) -> Ladder:
    project, pattern = wish.project, wish.pattern
    if project.bleed_risk:
        return Ladder("bleeding", ())
    if listed(project, pattern):
        edit = project_edit(project, ("bleed-risk",), "accept")
    else:
        entry = f"{{make: {project.pattern}, size: {project.sizes[0]}, bleed-risk: accept}}"
        edit = Edit("projects.yaml", "a new entry", ("projects",), entry, new=True)
    rung = Rung(
        because("take the risk that a dark lot bleeds; wash-test it first, and wash it cool and apart"),
        (edit,),
        lambda other: replace(other, project=replace(other.project, bleed_risk=True)),
        4.0,
    )
    return Ladder("bleeding", (rung,), same_knit=True)


def _sizes(workspace: Workspace, wish: Wish) -> Ladder:
    """The pattern's other sizes that were not asked, nearest to this one in the pattern's list first."""
    (own,), sizes = wish.project.sizes, list(wish.pattern.sizes)
    others = [size for size in sizes if size not in _asked(workspace, wish.project)]
    others.sort(key=lambda size: abs(sizes.index(size) - sizes.index(own)))
    rungs = []
    for size in others:
        edits = (project_edit(wish.project, ("size",), size),) if listed(wish.project, wish.pattern) else ()
        alter = partial(_sized, size=size)
        rungs.append(Rung(because(f"make size {size}"), edits, alter, 2.0))
    return Ladder("size", tuple(rungs), rising=False)


def _sized(wish: Wish, *, size: str) -> Wish:
    return replace(wish, project=replace(wish.project, sizes=(size,)))


def _asked(workspace: Workspace, project: Project) -> set[str]:
    """The sizes answered for already: by this project, or by one that stands for its pattern."""
    own = {project.sizes[0]}
    for other in workspace.projects.projects or ():
        if other.pattern != project.pattern:
            continue
        mine = other.place == project.place
        stands = _nameless(other) and _nameless(project)
        own |= set(other.sizes) if mine or stands else set()
    return own


def _nameless(project: Project) -> bool:
    """Whether a project goes by its pattern's name, so that no other may ask the same size without an id."""
    base = project.name.partition("#")[0]
    return base.partition(":")[0] == project.pattern
