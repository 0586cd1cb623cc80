"""What the rate found midway means for the rest of the project: its other parts, asked again with what is left."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.alone import alone, judge
from planner.answers import ENOUGH, SHORT, UNDECIDED
from planner.midway.helps import working_yarn
from planner.missing import least_missing
from planner.pairs import Meeting, may_meet
from planner.plan import UndecidedError
from stash.lengths import mass_g

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from patterns.needs import Amount, Pattern
    from planner.instance import Making, SizedNeed
    from planner.midway.knitting import InUse, Knitting
    from planner.midway.reach import Reach
    from planner.workspace import Workspace
    from planner.yarns import WorkingYarn
    from stash.lots import Lot, Skein, Stash


@dataclass(frozen=True)
class OtherPart:
    """Metres of working yarn that a part still to be knitted took by the pattern, and takes by the rate found."""

    part: str | None
    before_m: float
    now_m: float


@dataclass(frozen=True)
class OtherNeed:
    """`verdict`: enough, short or undecided, with reserve; `short_cm` beside the best permitted yarn."""

    need: str
    parts: tuple[OtherPart, ...]
    verdict: str
    short_cm: int


def others(workspace: Workspace, knitting: Knitting, found: Reach, confidence: Fraction) -> tuple[OtherNeed, ...]:
    """Everything of the project that is neither on the needles nor finished, solved again.

    Every amount is multiplied by the rate found (that of the need asked for, where the need was not on the needles:
    all is taken to be knitted at the same tension). The stash is what the files hold, less what was used and less what
    the rest of the part takes. What is on the needles stays in its yarn, so other yarns must be able to meet it.
    """
    rest = _rest(knitting)
    if not rest:
        return ()
    pattern = _at_the_rate(knitting, rest, found)
    stash = _what_is_left(workspace.stash, found)
    project = replace(knitting.project, sizes=(knitting.size,))
    asked = replace(workspace, stash=stash, patterns={**workspace.patterns, pattern.id: pattern})
    put = instances.build(stash, asked.patterns, [project], confidence)
    making = _beside(knitting, put.makings[0])
    put = replace(put, makings=(making,))
    try:
        if judge(asked, put, making, confidence) is not None:
            return tuple(_need(knitting, pattern, name, ENOUGH, 0) for name in rest)
        missing = least_missing(alone(put, making))
    except UndecidedError:
        missing = None
    if missing is None or missing.total_cm == 0:
        return tuple(_need(knitting, pattern, name, UNDECIDED, 0) for name in rest)
    lacking = {name: missing.kinds[name] is not None for name in rest}
    return tuple(
        _need(knitting, pattern, name, SHORT if lacking[name] else ENOUGH, missing.short_cm[name]) for name in rest
    )


def _rest(knitting: Knitting) -> dict[str, dict[str | None, Amount]]:
    """Amounts of what is still to be begun."""
    done = set(knitting.finished) | {(name, part) for name in knitting.needs for part in knitting.parts_of(name)}
    rest: dict[str, dict[str | None, Amount]] = {}
    for name, amounts in knitting.pattern.sizes[knitting.size].items():
        if (name, None) in knitting.finished:
            continue
        kept = {part: amount for part, amount in amounts.items() if (name, part) not in done}
        if kept:
            rest[name] = kept
    return rest


def _at_the_rate(knitting: Knitting, rest: dict[str, dict[str | None, Amount]], found: Reach) -> Pattern:
    sizes: dict[str, dict[str | None, Amount]] = {}
    for name, amounts in rest.items():
        ratio, u = found.ratios.get(name, found.ratios[knitting.need])
        sizes[name] = {
            part: replace(
                amount,
                metres=amount.metres * Fraction(ratio),
                relative_u=u if name in found.ratios else amount.relative_u,
            )
            for part, amount in amounts.items()
        }
    return replace(knitting.pattern, sizes={knitting.size: sizes})


def _what_is_left(stash: Stash, found: Reach) -> Stash:
    lots: dict[str, Lot] = dict(stash.lots)
    for own in found.lots:
        lot = own.in_use.lot
        gone = own.in_use.used_g + Fraction(own.rest_g.high)
        count = replace(lot.count, tex=Fraction(own.tex), relative_u=own.tex_u, apart=False)
        skeins = tuple(_used_up(lot, gone))
        if skeins:
            lots[lot.id] = replace(lot, count=count, skeins=skeins)
        else:
            del lots[lot.id]
    return replace(stash, lots=lots)


def _used_up(lot: Lot, gone_g: Fraction) -> Iterator[Skein]:
    """What is left of a lot's skeins when so many grams are gone: taken in their order, piece by piece."""
    for skein in lot.skeins:
        grams = mass_g(lot, skein)
        pieces = [grams * share for share in skein.shares]
        kept = []
        for piece in pieces:
            taken = min(piece, gone_g)
            gone_g -= taken
            if piece > taken:
                kept.append(piece - taken)
        left = sum(kept, Fraction(0))
        if left:
            yield replace(
                skein,
                mass_g=None if skein.mass_g is None else left,
                length_m=None if skein.length_m is None else skein.length_m * left / grams,
                shares=tuple(piece / left for piece in kept),
            )


def _beside(knitting: Knitting, making: Making) -> Making:
    """Only the yarns that may stand beside what is on the needles."""
    sizes = knitting.pattern.sizes[knitting.size]
    order = tuple(name for name in knitting.pattern.order if name in sizes)
    return replace(making, needs=tuple(_kept(knitting, making, sized, order) for sized in making.needs))


def _kept(knitting: Knitting, making: Making, sized: SizedNeed, order: tuple[str, ...]) -> SizedNeed:
    yarns = sized.yarns
    arising = {other.need.name for other in making.needs}
    for name, mine in _on_the_needles(knitting).items():
        need = knitting.rule(name)
        meeting = Meeting(
            need, need if sized.need.name == name else sized.need, making.pattern.wash, making.project.bleed_risk, order
        )
        names = {yarn.name for yarn in mine}
        same = name in sized.need.colour.same_as and name not in arising
        same = same or (sized.need.name == name and need.lots.kind == "one")
        yarns = tuple(
            yarn
            for yarn in yarns
            if (yarn.name in names or not same) and all(may_meet(meeting, own, yarn) for own in mine)
        )
    return replace(sized, yarns=yarns)


def _on_the_needles(knitting: Knitting) -> Mapping[str, list[WorkingYarn]]:
    yarns: dict[str, list[WorkingYarn]] = {}
    by_need: dict[str, list[InUse]] = {}
    for one in knitting.in_use:
        by_need.setdefault(one.need, []).append(one)
    for name, own in by_need.items():
        yarns[name] = [working_yarn(own)] if knitting.how == "together" else [working_yarn([one]) for one in own]
    return yarns


def _need(knitting: Knitting, pattern: Pattern, name: str, verdict: str, short_cm: int) -> OtherNeed:
    before, now = knitting.pattern.sizes[knitting.size][name], pattern.sizes[knitting.size][name]
    parts = tuple(OtherPart(part, float(before[part].metres), float(amount.metres)) for part, amount in now.items())
    return OtherNeed(name, parts, verdict, short_cm)
