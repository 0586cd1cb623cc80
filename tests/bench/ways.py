"""Each way to plan a generated stash, in a process of its own: what it found, what it proved, seconds and memory."""

from __future__ import annotations

import multiprocessing
import resource
import time
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.plan import UndecidedError
from planner.planning import plan

from .generated import workspace
from .greedy import first_fit
from .monolith import (
    Found,
    NotInstalledError,
    TooLargeError,
    alone_level,
    by_cbc,
    by_cpsat,
    by_highs,
    lot_level,
    skein_level,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.queues import Queue

    from patterns.projects import Project
    from planner.instance import Instance
    from planner.program import Program
    from planner.workspace import Workspace

BY_HAND, OURS = "by hand (first fit)", "lotwise"
SKEINS_HIGHS, SKEINS_CBC = "every skein a choice, HiGHS", "every skein a choice, CBC"
LOTS_HIGHS, LOTS_CPSAT = "every lot a choice, HiGHS", "every lot a choice, CP-SAT"
ALONE_HIGHS, ALONE_CPSAT = "every lot a choice, held alone, HiGHS", "every lot a choice, held alone, CP-SAT"
WAYS = (BY_HAND, OURS, SKEINS_HIGHS, SKEINS_CBC, LOTS_HIGHS, LOTS_CPSAT, ALONE_HIGHS, ALONE_CPSAT)
PATIENCE = 120.0  # seconds beside the limit, to write a program down and read it in


@dataclass(frozen=True)
class Size:
    lots: int
    projects: int
    sizes: int = 1

    @classmethod
    def read(cls, text: str) -> Size:
        """From lots x projects, or lots x projects x sizes, such as 60x25x3."""
        return cls(*(int(number) for number in text.split("x")))

    def __str__(self) -> str:
        return f"{self.lots} x {self.projects}" + (f" x {self.sizes}" if self.sizes > 1 else "")


@dataclass(frozen=True)
class Asked:
    size: Size
    seed: int
    way: str
    limit: float
    cpsat: str  # the Python that has OR-tools


@dataclass(frozen=True)
class Measured:
    """`words` in place of an answer where there is none."""

    seconds: float
    megabytes: float
    found: Found | None = None
    words: str = "nothing found"

    @property
    def grams(self) -> str:
        return self.words if self.found is None or self.found.grams is None else f"{self.found.grams:.0f}"

    @property
    def distance(self) -> str:
        """How far below what is proved, as a share of that."""
        if self.found is None or self.found.grams is None or not self.found.bound < 1e12:
            return ""
        return f"{max(self.found.bound - self.found.grams, 0) / max(self.found.bound, 1e-9):.2%}"


def measure(asked: Asked) -> Measured:
    """The way tried in a fresh process, which is ended where it does not end in time."""
    spawn = multiprocessing.get_context("spawn")
    told: Queue[Measured] = spawn.Queue()
    worker = spawn.Process(target=_work, args=(asked, told))
    worker.start()
    worker.join(asked.limit + PATIENCE)
    if worker.is_alive():
        worker.kill()
        worker.join()
        return Measured(asked.limit + PATIENCE, 0.0, words="not ended in time")
    return told.get(timeout=1) if worker.exitcode == 0 else Measured(0.0, 0.0, words="out of memory or failed")


def _work(asked: Asked, told: Queue[Measured]) -> None:
    """Seconds from a read workspace to the answer."""
    drawn = workspace(asked.size.lots, asked.size.projects, asked.size.sizes, asked.seed, asked.size.projects)
    projects = tuple(replace(project, must=False) for project in drawn.projects.projects or ())  # grams alone count
    began = time.perf_counter()
    found, words = None, "nothing found"
    try:
        found = _answers(asked.cpsat)[asked.way](drawn, projects, asked.limit)
    except UndecidedError:
        pass
    except (TooLargeError, NotInstalledError) as error:
        words = str(error)
    seconds = time.perf_counter() - began
    kilobytes = sum(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    told.put(Measured(seconds, kilobytes / 1024, found, words))


def _answers(cpsat: str) -> dict[str, Callable[[Workspace, tuple[Project, ...], float], Found]]:
    return {
        BY_HAND: _by_hand,
        OURS: _our_way,
        SKEINS_HIGHS: partial(_at_once, skein_level, by_highs),
        SKEINS_CBC: partial(_at_once, skein_level, by_cbc),
        LOTS_HIGHS: partial(_at_once, lot_level, by_highs),
        LOTS_CPSAT: partial(_at_once, lot_level, partial(by_cpsat, python=cpsat)),
        ALONE_HIGHS: partial(_at_once, alone_level, by_highs),
        ALONE_CPSAT: partial(_at_once, alone_level, partial(by_cpsat, python=cpsat)),
    }


def _by_hand(drawn: Workspace, projects: tuple[Project, ...], _limit: float) -> Found:
    return Found(first_fit(drawn, projects, drawn.projects.confidence), float("inf"))


def _our_way(drawn: Workspace, projects: tuple[Project, ...], limit: float) -> Found:
    answer = plan(drawn, projects, drawn.projects.confidence, seconds=limit)
    return Found(answer.aim_value, answer.aim_bound)


def _at_once(
    write: Callable[[Instance], Program],
    solve: Callable[[Program, float], Found],
    drawn: Workspace,
    projects: tuple[Project, ...],
    limit: float,
) -> Found:
    asked = instances.build(drawn.stash, drawn.patterns, projects, drawn.projects.confidence)
    return solve(write(asked), limit)
