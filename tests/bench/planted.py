"""How much of what is known to be possible `plan` finds, as a Markdown table.

    python -m tests.bench.planted                        60x25, 200x80, 400x160, 2000x800
    python -m tests.bench.planted 12x5 60x25 --seeds 8
    python -m tests.bench.planted 10000x3000 --limit 600

Each workspace is built from a plan that makes all its projects (`planting.py`); that plan is checked as any other. More
than all of its grams can be found where a thicker yarn will do as well. Ends with 1 where 99 % are missed.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from planner.checked import check
from planner.plan import UndecidedError
from planner.planning import plan
from planner.workspace import load_workspace

from .generated import write
from .planting import plant

if TYPE_CHECKING:
    from planner.plan import Plan
    from planner.workspace import Workspace

SIZES = ("60x25", "200x80", "400x160", "2000x800")
ENOUGH = 0.99


def planted(lots: int, projects: int, seed: int) -> tuple[Workspace, Plan]:
    """A workspace and the checked plan that it is built from."""
    files, known = plant(lots, projects, seed)
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), files)
        workspace = load_workspace(Path(folder))
    check(known, workspace.projects.projects or (), workspace)
    return workspace, known


def share_found(
    workspace: Workspace, known: Plan, way: str | None = None, seconds: float | None = None
) -> tuple[float, int]:
    """Grams found as a share of those known to be possible, and how many projects are made."""
    projects = workspace.projects.projects or ()
    try:
        found = plan(workspace, projects, workspace.projects.confidence, way=way, seconds=seconds)
    except UndecidedError:
        return 0.0, 0
    return found.aim_value / known.aim_value, sum(project.made for project in found.projects)


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.planted", description=__doc__.splitlines()[0])
    parser.add_argument("sizes", nargs="*", default=SIZES, help="lots x projects, e.g. 400x160")
    parser.add_argument("--seeds", type=int, default=1, help="workspaces of each size")
    parser.add_argument("--way", choices=("exact", "priced"), help="by size when left out")
    parser.add_argument("--limit", type=float, help="seconds for a plan; what `plan` takes when left out")
    given = parser.parse_args()
    sys.stdout.write("| lots x projects | seed | planted, g | found | projects made | seconds |\n")
    sys.stdout.write("| --- | ---: | ---: | ---: | ---: | ---: |\n")
    missed = 0
    for text in given.sizes:
        lots, projects = (int(number) for number in text.split("x"))
        for seed in range(1, given.seeds + 1):
            workspace, known = planted(lots, projects, seed)
            began = time.process_time()
            share, made = share_found(workspace, known, given.way, given.limit)
            seconds = time.process_time() - began
            missed += share < ENOUGH
            row = (
                text,
                seed,
                f"{known.aim_value:.0f}",
                f"{share:.1%}",
                f"{made} of {len(known.projects)}",
                f"{seconds:.1f}",
            )
            sys.stdout.write(f"| {' | '.join(map(str, row))} |\n")
            sys.stdout.flush()
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
