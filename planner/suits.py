"""Who suits a need, and why not: one small function a reason, each answering None or what a knitter would say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pairs import lots_may_meet
from planner.reasons import Reason, Thickness, because
from planner.yarns import LIMIT, STRANDS_APART, WorkingYarn, alike, pairs_of_lots
from stash import colour, fibre

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping, Sequence

    from patterns.needs import FibreRule, Need
    from patterns.projects import Pin
    from stash.fibre import Blend
    from stash.lots import Lot

    Check = Callable[[Need, WorkingYarn, "Setting"], Reason | None]


@dataclass(frozen=True)
class Setting:
    """What of a project bears on who suits one of its needs."""

    pin: Pin
    wash: str
    bleed_risk: bool


def kept_out(_need: Need, yarn: WorkingYarn, setting: Setting) -> Reason | None:
    """The project asks for other lots, or for none of these."""
    if yarn.lot_ids & setting.pin.without:
        return because("the project does without it")
    if setting.pin.only is not None and not yarn.lot_ids <= setting.pin.only:
        return because("the project asks for other lots here")
    return None


def felts_in_the_machine(_need: Need, yarn: WorkingYarn, setting: Setting) -> Reason | None:
    """`wash: machine` refuses lots known to felt."""
    if setting.wash == "machine" and any(lot.felts for lot, _ in yarn.lots):
        return because("it felts, and this is for the washing machine")
    return None


def wrong_count(need: Need, yarn: WorkingYarn, _setting: Setting) -> Reason | None:
    """The wool-equivalent count of the working yarn lies outside what the need accepts."""
    count, asked = yarn.wool_m_per_100g, need.yarn
    held = "" if yarn.strands == 1 else f" held {_times(yarn.strands)}"
    if count > float(asked.high) + LIMIT:
        return because(
            f"too thin{held}: ", Thickness(count), f" as wool, {asked.text} takes up to ", Thickness(asked.high)
        )
    if count < float(asked.low) - LIMIT:
        return because(
            f"too thick{held}: ", Thickness(count), f" as wool, {asked.text} takes ", Thickness(asked.low), " and more"
        )
    return None


def unwanted_fibre(need: Need, yarn: WorkingYarn, _setting: Setting) -> Reason | None:
    """A fibre is to be avoided, or is neither allowed nor bounded."""
    rule = need.fibre
    for name in yarn.blend.shares:
        names = {name, fibre.family(name)}
        if names & rule.avoid:
            return because(f"has {name}, which is to be avoided")
        if rule.allow is not None and not names & (rule.allow | set(rule.at_most)):
            return because(f"has {name}, which is not among the fibres allowed")
    return None


def wrong_shares(need: Need, yarn: WorkingYarn, _setting: Setting) -> Reason | None:
    """A fibre's or family's share is too small or too large."""
    for name, least in need.fibre.at_least.items():
        share = share_of(yarn.blend, name)
        if share < float(least) - LIMIT / 100:
            return because(f"{share:.0%} {name}, at least {float(least):.0%} is asked")
    for name, most in need.fibre.at_most.items():
        share = share_of(yarn.blend, name)
        if share > float(most) + LIMIT / 100:
            return because(f"{share:.0%} {name}, at most {float(most):.0%} is allowed")
    return None


def wrong_colour(need: Need, yarn: WorkingYarn, _setting: Setting) -> Reason | None:
    """The colour lies too far from the one asked for."""
    rule = need.colour
    if rule.near is None:
        return None
    apart = colour.difference(yarn.colour, rule.near)
    if apart > rule.within + LIMIT:
        return because(f"colour is {apart:.0f} away from {rule.near.text}, {rule.within:g} is allowed")
    return None


def strands_unlike(need: Need, yarn: WorkingYarn, _setting: Setting) -> Reason | None:
    """Strands of different lots must match unless the need is a marl."""
    if not need.marl and not all(alike(one.colour, other.colour) for one, other in pairs_of_lots(yarn)):
        return because(f"its strands differ in colour by more than {STRANDS_APART:g}")
    return None


def strands_never_meet(_need: Need, yarn: WorkingYarn, setting: Setting) -> Reason | None:
    """Strands must not bleed on each other, nor felt at different rates."""
    if not all(lots_may_meet(one, other, setting.wash, setting.bleed_risk) for one, other in pairs_of_lots(yarn)):
        return because("its strands cannot be washed together")
    return None


REASONS: tuple[Check, ...] = (
    kept_out,
    felts_in_the_machine,
    wrong_count,
    unwanted_fibre,
    wrong_shares,
    wrong_colour,
    strands_unlike,
    strands_never_meet,
)
# Reasons that refuse a lot in whatever working yarn it is held; what is held of lots they let pass, they let pass.
OF_THE_LOT = (kept_out, felts_in_the_machine, unwanted_fibre)
OF_THE_MIX = tuple(check for check in REASONS if check not in OF_THE_LOT)


def share_of(blend: Blend, name: str) -> float:
    """Share of a fibre or of a whole family, as a fraction of 1."""
    return float(sum(share for own, share in blend.shares.items() if name in (own, fibre.family(own))))


def refusals(need: Need, setting: Setting, lots: Sequence[Lot]) -> Mapping[str, tuple[Reason, ...]]:
    """For every lot that serves the need alone in no number of strands, the reasons of its nearest try."""
    found = {}
    for lot in lots:
        tries = [
            tuple(reason for check in REASONS if (reason := check(need, WorkingYarn(((lot, strands),)), setting)))
            for strands in range(need.strands[0], need.strands[1] + 1)
        ]
        nearest = min(tries, key=len)
        if nearest:
            found[lot.id] = nearest
    return found


def first_refusal(checks: Sequence[Check], need: Need, yarn: WorkingYarn, setting: Setting) -> Reason | None:
    """The first reason of these that refuses the yarn."""
    return next((reason for check in checks if (reason := check(need, yarn, setting))), None)


def _times(strands: int) -> str:
    return {2: "double", 3: "triple"}.get(strands, f"{strands} times")


def _fibre_key(rule: FibreRule) -> Hashable:
    return (rule.allow, tuple(sorted(rule.at_least.items())), tuple(sorted(rule.at_most.items())), rule.avoid)


# What a reason reads of a need in its setting, and of a lot that serves alone: where both are alike, so is the answer.
READS: Mapping[Check, tuple[Callable[[Need, Setting], Hashable], Callable[[Lot], Hashable]]] = {
    kept_out: (lambda _, setting: setting.pin, lambda lot: lot.id),
    felts_in_the_machine: (lambda _, setting: setting.wash, lambda lot: lot.felts),
    wrong_count: (lambda need, _: need.yarn, lambda lot: lot.id),
    unwanted_fibre: (lambda need, _: _fibre_key(need.fibre), lambda lot: lot.blend),
    wrong_shares: (lambda need, _: _fibre_key(need.fibre), lambda lot: lot.blend),
    wrong_colour: (lambda need, _: (need.colour.near, need.colour.within), lambda lot: lot.colour.lab),
    strands_unlike: (lambda need, _: need.marl, lambda _: None),
    strands_never_meet: (lambda _, setting: (setting.wash, setting.bleed_risk), lambda _: None),
}
