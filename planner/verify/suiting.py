"""Each working yarn suits its need, and the yarns of a project live together."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from planner.verify.facts import LIMIT
from stash.colour import difference
from stash.fibre import family

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from patterns.needs import FibreRule
    from planner.verify.facts import Facts, MadeNeed, Yarn

STRAND_MATCH = 3.0  # strands of different lots in one yarn, unless marl is wanted; CIEDE2000
BLEND_POINTS = 30  # between the working yarns of one need


def count_accepted(facts: Facts) -> Iterator[str]:
    """Every working yarn is as thick as the need asks, compared as wool would be, by the best guess."""
    for made, yarn in _yarns(facts):
        low, high = made.need.yarn.low, made.need.yarn.high
        found = yarn.wool_like_m_per_100g
        if not low - LIMIT <= found <= high + LIMIT:
            asked = made.need.yarn.text
            yield f"{made.title}: {yarn.words} is {float(found):.1f} m/100 g as wool, {asked} is asked for"


def strands_allowed(facts: Facts) -> Iterator[str]:
    """No more and no fewer strands are held together than the need allows."""
    for made, yarn in _yarns(facts):
        low, high = made.need.strands
        if not low <= yarn.count <= high:
            yield f"{made.title}: {yarn.words} holds {yarn.count} strands together, {low} to {high} may be"


def strands_match(facts: Facts) -> Iterator[str]:
    """Strands of different lots look alike unless marl is wanted."""
    for made, yarn in _yarns(facts):
        if made.need.marl:
            continue
        for (one, _), (other, _) in combinations(yarn.strands, 2):
            if difference(one.colour, other.colour) > STRAND_MATCH + float(LIMIT):
                yield f"{made.title}: {one.id} and {other.id} are held together but differ in colour by more than 3"


def fibre_allowed(facts: Facts) -> Iterator[str]:
    """Every fibre is allowed or within its own `at-most`; the shares asked for are met; nothing to be avoided is in."""
    for made, yarn in _yarns(facts):
        yield from (f"{made.title}: {yarn.words} {words}" for words in _fibre_faults(made.need.fibre, yarn.shares))


def _fibre_faults(rule: FibreRule, shares: Mapping[str, Fraction]) -> Iterator[str]:
    present = sorted(fibre for fibre, share in shares.items() if share > 0)
    for fibre in present:
        names = {fibre, family(fibre)}
        if rule.allow is not None and not names & rule.allow and not names & rule.at_most.keys():
            yield f"holds {fibre}, which is not allowed"
        if names & rule.avoid:
            yield f"holds {fibre}, which is to be avoided"
    for name, least in rule.at_least.items():
        if _share(shares, name) < least - LIMIT / 100:  # the unit is the percent
            yield f"holds less than {float(least):.0%} {name}"
    for name, most in rule.at_most.items():
        if _share(shares, name) > most + LIMIT / 100:
            yield f"holds more than {float(most):.0%} {name}"


def _share(shares: Mapping[str, Fraction], name: str) -> Fraction:
    """The share of a fibre or of a whole family."""
    return sum((share for fibre, share in shares.items() if name in (fibre, family(fibre))), Fraction(0))


def wash_stood(facts: Facts) -> Iterator[str]:
    """What goes into the machine holds no yarn known to felt."""
    for made in facts.made:
        if made.pattern.wash == "machine":
            for lot in made.lots:
                if lot.felts is True:
                    yield f"{made.title}: {lot.id} felts, and this is washed by machine"


def felting_apart(facts: Facts) -> Iterator[str]:
    """Yarn known to felt never meets yarn known not to, unless the project is washed by hand."""
    for made in facts.made:
        felts = [lot.id for lot in made.lots if lot.felts is True]
        stays = [lot.id for lot in made.lots if lot.felts is False]
        if made.pattern.wash != "hand" and felts and stays:
            yield f"{made.title}: {felts[0]} felts and {stays[0]} does not, and this is not washed by hand"


def blends_alike(facts: Facts) -> Iterator[str]:
    """The blends of one need's working yarns differ by at most 30 points: half the sum of absolute differences."""
    for made in facts.made_needs:
        for one, other in combinations(made.yarns, 2):
            apart = _points_apart(one, other)
            if apart > BLEND_POINTS + LIMIT:
                yield f"{made.title}: the blends of {one.words} and {other.words} differ by {float(apart):.1f} points"


def _points_apart(one: Yarn, other: Yarn) -> Fraction:
    none = Fraction(0)
    fibres = one.shares.keys() | other.shares.keys()
    return sum((abs(one.shares.get(name, none) - other.shares.get(name, none)) for name in fibres), none) * 100 / 2


def pins_kept(facts: Facts) -> Iterator[str]:
    """A need keeps to the lots it was told to keep to, and does without those it was told to do without."""
    for project in facts.made:
        for name, pin in project.project.pins.items():
            lots = project.needs[name].lots if name in project.needs else frozenset()
            if pin.only is not None and lots - pin.only:
                yield f"{project.title}, {name}: {', '.join(sorted(lots - pin.only))} is not among the lots it keeps to"
            if lots & pin.without:
                yield f"{project.title}, {name}: {', '.join(sorted(lots & pin.without))} is to be left out"


def _yarns(facts: Facts) -> Iterator[tuple[MadeNeed, Yarn]]:
    for made in facts.made_needs:
        for yarn in made.yarns:
            yield made, yarn
