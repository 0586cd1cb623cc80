"""Plan generated stashes by hand, all in one program and at prices, and print a Markdown table.

    python -m tests.bench.plans                                  60x20 and 200x80
    python -m tests.bench.plans 400x160 2000x800 --exact-limit 120

Each row is a process of its own: seconds from a read workspace to a checked plan, and the most memory it held. Nothing is
asserted.
"""

from __future__ import annotations

import argparse
import multiprocessing
import platform
import resource
import sys
import time
from importlib.metadata import version
from typing import TYPE_CHECKING

from planner.planning import UndecidedError, plan

from .generated import workspace
from .greedy import first_fit

if TYPE_CHECKING:
    from multiprocessing.queues import Queue

WAYS = ("by hand", "exact", "priced")


def measure(lots: int, projects: int, seed: int, way: str, limit: float, told: Queue[tuple[str, ...]]) -> None:
    """One way on one stash: (grams, proven distance, seconds, MB)."""
    drawn = workspace(lots, projects, 1, seed, projects)
    asked, confidence = drawn.projects.projects or (), drawn.projects.confidence
    began = time.perf_counter()
    grams, distance = "nothing found", ""
    if way == "by hand":
        grams = f"{first_fit(drawn, asked, confidence):.0f}"
    else:
        try:
            answer = plan(drawn, asked, confidence, way=way, seconds=limit)
            grams = f"{answer.aim_value:.0f}"
            distance = f"{(answer.aim_bound - answer.aim_value) / max(answer.aim_bound, 1e-9):.2%}"
        except UndecidedError:
            pass
    seconds = time.perf_counter() - began
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    told.put((grams, distance, f"{seconds:.1f}", f"{megabytes:.0f}"))


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.plans", description=__doc__.splitlines()[0])
    parser.add_argument("sizes", nargs="*", default=["60x20", "200x80"], help="lots x projects, e.g. 400x160")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--exact-limit", type=float, default=60.0, help="seconds for all in one program")
    parser.add_argument("--priced-limit", type=float, default=300.0, help="seconds for plans at prices")
    parser.add_argument("--ways", default=",".join(WAYS))
    given = parser.parse_args()
    machine = f"Python {platform.python_version()}, highspy {version('highspy')}, {multiprocessing.cpu_count()} cores"
    sys.stdout.write(f"{machine}, seed {given.seed}\n\n")
    sys.stdout.write("| lots x projects | way | grams | at most below the best | seconds | MB |\n")
    sys.stdout.write("| --- | --- | ---: | ---: | ---: | ---: |\n")
    spawn = multiprocessing.get_context("spawn")
    for text in given.sizes:
        lots, projects = (int(number) for number in text.split("x"))
        for way in given.ways.split(","):
            limit = given.exact_limit if way == "exact" else given.priced_limit
            told = spawn.Queue()
            worker = spawn.Process(target=measure, args=(lots, projects, given.seed, way, limit, told))
            worker.start()
            row = told.get()
            worker.join()
            sys.stdout.write(f"| {lots} x {projects} | {way} | {' | '.join(row)} |\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
