"""Measure lotwise on generated stashes, and print it as Markdown.

    python -m tests.bench                                      all of it: hours
    python -m tests.bench --sizes 60x25x3 200x80 --limit 30
    python -m tests.bench --only growth reading

Tables: `ways`, plans by each way on five sizes (lots x projects x sizes); `growth`, seconds of lotwise as lots and
projects grow in step; `reading`, what stands before a plan. Nothing is asserted. CP-SAT needs the extra `bench`, here or in
the Python named by --cpsat.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import platform
import sys
from importlib.metadata import version
from typing import TYPE_CHECKING

from .reading import read, started
from .ways import OURS, WAYS, Asked, Measured, Size, measure

if TYPE_CHECKING:
    from collections.abc import Sequence

SIZES = ("60x25x3", "200x80", "400x160", "2000x800", "10000x3000")
GROWTH = (100, 200, 400, 800, 1600)  # all of them planned at prices: below that another way answers
PROJECTS = 0.4  # to a lot
READ, COVERED = ("60x25x3", "2900x10"), ("60x25x3", "100x40")  # 2900 lots: 10,000 skeins
TABLES = ("ways", "growth", "reading")


def say(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(map(str, cells))} |\n")
    sys.stdout.flush()


def head(*cells: str) -> None:
    """Columns of figures are named with a leading >."""
    sys.stdout.write("\n")
    say(*(cell.removeprefix(">") for cell in cells))
    say(*("---:" if cell.startswith(">") else "---" for cell in cells))


def ways_table(given: argparse.Namespace) -> None:
    head("lots x projects x sizes", "way", ">seconds", ">grams", ">at most below the best", ">MB")
    for text in given.sizes:
        size = Size.read(text)
        for way in given.ways or WAYS:
            found = measure(Asked(size, given.seed, way, given.limit, given.cpsat))
            say(
                size,
                way,
                f"{found.seconds:.1f}",
                found.grams,
                found.distance,
                f"{found.megabytes:.0f}" if found.megabytes else "",
            )
    sys.stdout.write(
        "\nWith every lot a choice no skein is cut: what is found there may be more than there is. With lots held alone"
        "\nno two are a yarn together, and what is proved there is proved of such plans only.\n"
    )


def growth_table(given: argparse.Namespace) -> None:
    head("lots x projects", ">seconds", ">grams", ">at most below the best")
    ended: list[tuple[int, float]] = []
    for lots in given.growth:
        size = Size(lots, round(lots * PROJECTS))
        found = measure(Asked(size, given.seed, OURS, given.limit, given.cpsat))
        say(size, f"{found.seconds:.1f}", found.grams, found.distance)
        if _ended(found, given.limit):
            ended.append((lots, found.seconds))
    if len(ended) > 1:
        sys.stdout.write(
            f"\nSeconds grow as lots^{exponent(ended):.2f}, over {len(ended)} sizes that ended by themselves.\n"
        )
    else:
        sys.stdout.write("\nToo few sizes ended by themselves to tell how seconds grow.\n")


def _ended(found: Measured, limit: float) -> bool:
    return found.found is not None and found.seconds < 0.98 * limit


def exponent(points: Sequence[tuple[int, float]]) -> float:
    """The slope of the straight line nearest to log seconds over log lots."""
    logs = [(math.log(lots), math.log(seconds)) for lots, seconds in points]
    x = sum(one for one, _ in logs) / len(logs)
    y = sum(one for _, one in logs) / len(logs)
    return sum((a - x) * (b - y) for a, b in logs) / sum((a - x) ** 2 for a, _ in logs)


def reading_table(given: argparse.Namespace) -> None:
    ours, bare = started()
    head("what", ">seconds", ">times")
    say("python -c pass", f"{bare:.3f}", "1.0")
    say("lotwise --help", f"{ours:.3f}", f"{ours / bare:.1f}")
    for text in dict.fromkeys((*given.read, *given.cover)):
        for what, seconds, times in read(Size.read(text), given.seed, covered=text in given.cover):
            say(f"{Size.read(text)}: {what}", f"{seconds:.3f}", f"{times:.1f}")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__.splitlines()[0])
    parser.add_argument("--only", nargs="+", choices=TABLES, default=TABLES)
    parser.add_argument("--sizes", nargs="+", default=SIZES, help="lots x projects x sizes, e.g. 60x25x3")
    parser.add_argument("--ways", nargs="+", choices=WAYS)
    parser.add_argument("--growth", nargs="+", type=int, default=GROWTH, help="lots, with two projects to five of them")
    parser.add_argument("--read", nargs="+", default=READ, help="sizes to read")
    parser.add_argument("--cover", nargs="*", default=COVERED, help="sizes to cover as well, which takes far longer")
    parser.add_argument("--limit", type=float, default=60.0, help="seconds for each way")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cpsat", default=sys.executable, help="a Python that has ortools")
    given = parser.parse_args()
    machine = f"Python {platform.python_version()}, PuLP {version('pulp')}, highspy {version('highspy')}"
    cores = multiprocessing.cpu_count()
    sys.stdout.write(
        f"{machine}, {cores} cores, all used by lotwise from 400 projects on; seed {given.seed}, {given.limit:.0f} seconds for each way\n"
    )
    tables = {"ways": ways_table, "growth": growth_table, "reading": reading_table}
    for name in TABLES:
        if name in given.only:
            tables[name](given)


if __name__ == "__main__":
    main()
