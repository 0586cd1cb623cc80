"""What a plan says, laid beside what the files say: one made project, one need, one working yarn at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from statistics import NormalDist
from typing import TYPE_CHECKING

from stash.colour import Colour, mix
from stash.fibre import density

if TYPE_CHECKING:
    from collections.abc import Mapping

    from patterns.needs import Amount, Need, Pattern
    from patterns.projects import Project
    from planner.plan import Plan, PlannedNeed, PlannedProject, YarnRun
    from stash.lots import Lot, Stash

LIMIT = Fraction(1, 10**6)  # every limit is inclusive to this much of its unit
CM = 100  # whole centimetres in a metre
SLACK_CM = LIMIT * CM
WOOL_DENSITY = Fraction("1.31")  # g/cm3
ENDS_CM = 30  # two woven-in ends for each piece taken


def rounded_up_cm(metres: Fraction) -> int:
    """The least whole centimetres that hold `metres`."""
    return math.ceil(metres * CM - SLACK_CM)


def rounded_down_cm(metres: Fraction) -> int:
    """The most whole centimetres within `metres`."""
    return math.floor(metres * CM + SLACK_CM)


def metres(cm: int) -> str:
    return f"{cm / CM:.2f} m"


@dataclass(frozen=True)
class Yarn:
    """A working yarn: each lot with its number of strands."""

    strands: tuple[tuple[Lot, int], ...]

    @cached_property
    def words(self) -> str:
        return " with ".join(lot.id if count == 1 else f"{count} x {lot.id}" for lot, count in self.strands)

    @cached_property
    def lots(self) -> frozenset[str]:
        return frozenset(lot.id for lot, _ in self.strands)

    @cached_property
    def strands_by_lot(self) -> frozenset[tuple[str, int]]:
        return frozenset((lot.id, count) for lot, count in self.strands)

    @property
    def count(self) -> int:
        """How many strands run through the needles."""
        return sum(count for _, count in self.strands)

    @cached_property
    def tex(self) -> Fraction:
        """Grams in a kilometre of working yarn."""
        return sum((lot.count.tex * count for lot, count in self.strands), Fraction(0))

    @cached_property
    def wool_like_m_per_100g(self) -> Fraction:
        """As thick as a wool yarn of this count: diameter goes with the square root of tex over density, wool 1.31."""
        tex = (lot.count.tex * count * WOOL_DENSITY / density(lot.blend) for lot, count in self.strands)
        return 100_000 / sum(tex, Fraction(0))

    @cached_property
    def shares(self) -> dict[str, Fraction]:
        """Each fibre's share of the working yarn by mass."""
        shares: dict[str, Fraction] = {}
        for lot, count in self.strands:
            for fibre, share in lot.blend.shares.items():
                shares[fibre] = shares.get(fibre, Fraction(0)) + share * lot.count.tex * count / self.tex
        return shares

    @cached_property
    def colour(self) -> Colour:
        """The mean in linear light, weighted by tex."""
        if len(self.strands) == 1:
            return self.strands[0][0].colour
        return mix([(lot.colour, float(lot.count.tex * count)) for lot, count in self.strands])

    @property
    def lightness(self) -> float:
        return self.colour.lightness


@dataclass(frozen=True)
class Run:
    """One working yarn in one stretch."""

    planned: YarnRun
    yarn: Yarn


@dataclass(frozen=True)
class MadeNeed:
    """A need of a made project: what the pattern asks, what the plan gives."""

    title: str
    need: Need
    planned: PlannedNeed
    amounts: Mapping[str | None, Amount]
    reserve: Fraction
    runs: tuple[Run, ...]

    @cached_property
    def stretches_m(self) -> dict[str | None, Fraction]:
        """Metres of each stretch without reserve: the parts where each is a run of its own, else the whole need."""
        if self.need.lots.kind == "by-part":
            return {part: amount.metres for part, amount in self.amounts.items()}
        return {None: self.need_m}

    @cached_property
    def stretches_cm(self) -> dict[str | None, int]:
        """Each stretch with its reserve, rounded up to whole centimetres."""
        return {part: rounded_up_cm(length * (1 + self.reserve)) for part, length in self.stretches_m.items()}

    @cached_property
    def need_m(self) -> Fraction:
        return sum((amount.metres for amount in self.amounts.values()), Fraction(0))

    @cached_property
    def yarns(self) -> tuple[Yarn, ...]:
        """Each different working yarn once."""
        return tuple({run.yarn.strands_by_lot: run.yarn for run in self.runs}.values())

    @cached_property
    def lots(self) -> frozenset[str]:
        return frozenset(lot for run in self.runs for lot in run.yarn.lots)


@dataclass(frozen=True)
class MadeProject:
    title: str
    project: Project
    pattern: Pattern
    needs: Mapping[str, MadeNeed]

    @cached_property
    def lots(self) -> tuple[Lot, ...]:
        """Every lot in the project, once, in id order."""
        found = {lot.id: lot for need in self.needs.values() for run in need.runs for lot, _ in run.yarn.strands}
        return tuple(found[name] for name in sorted(found))


@dataclass(frozen=True)
class Facts:
    """The plan and the files. `made` may be asked for only once every name in the plan is known to exist."""

    plan: Plan
    asked: tuple[Project, ...]
    stash: Stash
    patterns: Mapping[str, Pattern]
    best_guess: bool
    confidence: Fraction | None = None  # asked for; None: take the plan's word

    @cached_property
    def z(self) -> float:
        """One-sided normal quantile of the plan's confidence."""
        return NormalDist().inv_cdf(float(self.plan.confidence))

    @cached_property
    def made(self) -> tuple[MadeProject, ...]:
        projects = {project.name: project for project in self.asked}
        return tuple(self._made(row, projects[row.project]) for row in self.plan.projects if row.size is not None)

    def _made(self, row: PlannedProject, project: Project) -> MadeProject:
        pattern = self.patterns[project.pattern]
        reserve = Fraction(0) if self.best_guess else project.reserve
        amounts = pattern.sizes[row.size or ""]
        needs = {
            planned.need: MadeNeed(
                title=f"{row.project}, {planned.need}",
                need=pattern.needs[planned.need],
                planned=planned,
                amounts=amounts[planned.need],
                reserve=reserve,
                runs=tuple(Run(run, self._yarn(run)) for run in planned.runs),
            )
            for planned in row.needs
        }
        return MadeProject(row.project, project, pattern, needs)

    def _yarn(self, run: YarnRun) -> Yarn:
        return Yarn(tuple((self.stash.lots[name], run.lots[name]) for name in sorted(run.lots)))

    @cached_property
    def made_needs(self) -> tuple[MadeNeed, ...]:
        return tuple(need for project in self.made for need in project.needs.values())
