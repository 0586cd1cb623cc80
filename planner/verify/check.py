"""Checks a plan against the files in exact arithmetic, rule by rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.verify.amounts import (
    joins_kept,
    least_given,
    lots_allowed,
    pieces_hold,
    planned_lengths,
    shares_carried,
    strands_filled,
    stretches_filled,
)
from planner.verify.colours import (
    against_other,
    bleeding_apart,
    darker_than_other,
    lighter_than_other,
    near_colour,
    not_in_other,
    order_kept,
    order_serves_once,
    same_as_other,
    yarns_match,
)
from planner.verify.facts import Facts
from planner.verify.naming import confidence_stated, needs_served, projects_once, size_asked, yarn_owned
from planner.verify.suiting import (
    blends_alike,
    count_accepted,
    felting_apart,
    fibre_allowed,
    pins_kept,
    strands_allowed,
    strands_match,
    wash_stood,
)
from planner.verify.totals import aim_recounted, bound_holds, fewest_holds

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from patterns.needs import Pattern
    from patterns.projects import Project
    from planner.plan import Plan
    from stash.lots import Stash

# The rest can be read only when these hold.
NAMING = (confidence_stated, projects_once, size_asked, needs_served, yarn_owned)

RULES = (
    planned_lengths,
    stretches_filled,
    lots_allowed,
    shares_carried,
    strands_filled,
    least_given,
    pieces_hold,
    joins_kept,
    count_accepted,
    strands_allowed,
    strands_match,
    fibre_allowed,
    wash_stood,
    felting_apart,
    blends_alike,
    pins_kept,
    yarns_match,
    near_colour,
    against_other,
    lighter_than_other,
    darker_than_other,
    same_as_other,
    not_in_other,
    order_kept,
    order_serves_once,
    bleeding_apart,
)

# What a plan says of itself as a whole, not of one project.
TOTALS = (aim_recounted, bound_holds, fewest_holds)


def verify(
    plan: Plan,
    projects: tuple[Project, ...],
    stash: Stash,
    patterns: Mapping[str, Pattern],
    *,
    best_guess: bool = False,
    confidence: Fraction | None = None,
    totals: bool = True,
) -> tuple[str, ...]:
    """Every rule the plan breaks, in plain words, in reading order; empty when it breaks none.

    `best_guess` checks a plan that counts on best-guess lengths and no reserve; `confidence` is the one asked for,
    where the plan's own word is not to be taken for it; without `totals` what it says of itself as a whole is left
    aside, as for some of its projects alone. Never raises on a plan that
    names what does not exist: that is a broken rule like any other.
    """
    facts = Facts(plan, projects, stash, patterns, best_guess, confidence)
    broken = tuple(words for rule in NAMING for words in rule(facts))
    return broken or tuple(words for rule in (*RULES, *(TOTALS if totals else ())) for words in rule(facts))
