"""Options of generated colourwork, looked at by code of its own: distinct, checked, the first as good as the plan.

python -m tests.oracle.colourwork --cases 200
"""

from __future__ import annotations

import argparse
import time
from typing import TYPE_CHECKING

from coloraide import Color

from planner.asking import ask
from planner.options import options
from planner.planning import plan
from planner.show.weighing import used_grams
from planner.verify.check import verify
from tests.bench.generated import workspace

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.plan import PlannedProject
    from planner.workspace import Workspace

ASKED = 6


def faults(seed: int, lots: int = 24) -> Iterator[str]:
    """What is wrong with the options of the generated projects of more than one need."""
    held = workspace(lots, 3, 1, seed, 3)
    for project in ask(held, (), every_size=False):
        if len(held.patterns[project.pattern].needs) < 2:
            continue
        confidence = held.projects.confidence
        found = options(held, project, confidence, ASKED)
        alone = plan(held, [project], confidence)
        if bool(found.options) != alone.projects[0].made:
            yield f"{project.name}: {len(found.options)} options, but the plan makes {alone.projects[0].size}"
        for option in found.options:
            broken = verify(option.plan, (project,), held.stash, held.patterns)
            yield from (f"{project.name}: {words}" for words in broken)
        if found.options:
            first = used_grams(found.options[0].plan, held.stash, held.patterns)
            best = used_grams(alone, held.stash, held.patterns)
            if abs(float(first - best)) > 0.02:
                yield f"{project.name}: the first option uses {float(first)} g, the plan {float(best)} g"
        made = [option.made for option in found.options]
        for at, later in enumerate(made):
            for before in made[:at]:
                if _share_unlike(held, before, later) < 0.1 - 1e-6:
                    yield f"{project.name}: option {at + 1} is like one before it"


def _share_unlike(held: Workspace, before: PlannedProject, later: PlannedProject) -> float:
    """How much of the later one's needs, in parts of each need, is in colours more than 8 from the need's before."""
    total = 0.0
    for old, new in zip(before.needs, later.needs, strict=True):
        colours = [_colour(held, run.lots) for run in old.runs]
        for run in new.runs:
            if all(_colour(held, run.lots).delta_e(one, method="2000") > 8 for one in colours):
                total += run.length_cm / new.planned_cm
    return total


def _colour(held: Workspace, lots: dict[str, int]) -> Color:
    """The mean of the strands in linear light, weighted by tex."""
    weights = {lot: float(held.stash.lots[lot].count.tex) * strands for lot, strands in lots.items()}
    linear = [Color("lab-d65", list(held.stash.lots[lot].colour.lab)).convert("xyz-d65").coords() for lot in weights]
    whole = sum(weights.values())
    mean = [sum(w * c[at] for w, c in zip(weights.values(), linear, strict=True)) / whole for at in range(3)]
    return Color("xyz-d65", mean).convert("lab-d65")


if __name__ == "__main__":
    reader = argparse.ArgumentParser()
    reader.add_argument("--cases", type=int, default=200)
    began, wrong = time.monotonic(), 0
    for seed in range(reader.parse_args().cases):
        for fault in faults(seed):
            wrong += 1
            print(f"{seed}: {fault}")
    print(f"{wrong} faults, {time.monotonic() - began:.0f} s")
