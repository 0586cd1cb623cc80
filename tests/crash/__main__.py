"""Stop what writes, again and again.

python -m tests.crash                    stop each command at each of its calls to the disk, in every way
python -m tests.crash --every 30         at each 30th of these points
python -m tests.crash --kills 1000       kill a loop of bookings at random moments
python -m tests.crash --together 8 50    let 8 processes book 50 projects each at once, in one workspace
python -m tests.crash --same 50          let two processes book one project at once, 50 times
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.crash import points
from tests.crash.kills import kill
from tests.crash.runner import Runner
from tests.crash.together import book_the_same, book_together


def main() -> None:
    parser = argparse.ArgumentParser(
        prog="python -m tests.crash", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--every", type=int, default=1, metavar="N")
    parser.add_argument("--kills", type=int, metavar="TIMES")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--together", type=int, nargs=2, metavar=("PROCESSES", "BOOKINGS"))
    parser.add_argument("--same", type=int, metavar="TIMES")
    asked = parser.parse_args()
    if asked.kills:
        sys.exit(kill(asked.kills, asked.seed))
    if asked.together:
        sys.exit(book_together(*asked.together))
    if asked.same:
        sys.exit(book_the_same(asked.same))
    with tempfile.TemporaryDirectory() as folder:
        sys.exit(stop_everywhere(Path(folder), asked.every))


def stop_everywhere(folder: Path, every: int) -> int:
    """Stop each command that writes at each of these points; 1 where anything is not as it should be, else 0."""
    runner = Runner()
    tried = failed = 0
    for case in points.cases(folder, runner):
        for point in points.points(case):
            tried += 1
            if tried % every:
                continue
            if found := points.wrong(point, folder / "trial-of-one", runner):
                failed += 1
                print(*found, sep="\n", flush=True)
    runner.close()
    print(f"{tried // every} points, {failed} of them wrong")
    return min(failed, 1)


if __name__ == "__main__":
    main()
