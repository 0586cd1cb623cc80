"""Stop what writes, again and again.

Without a number for one of them, each command that writes is stopped at each of its calls to the disk:

    python -m tests.crash [--every N]        every call in every way, or each Nth of these
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.crash import points
from tests.crash.runner import Runner


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.crash", description=__doc__)
    parser.add_argument("--every", type=int, default=1, metavar="N")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        sys.exit(stop_everywhere(Path(folder), asked.every))


def stop_everywhere(folder: Path, every: int) -> int:
    runner = Runner()
    tried = failed = 0
    for case in points.cases(folder, runner):
        for point in points.points(case)[::every]:
            tried += 1
            if found := points.wrong(point, folder / "trial-of-one", runner):
                failed += 1
                print(*found, sep="\n", flush=True)
    runner.close()
    print(f"{tried} points, {failed} of them wrong")
    return min(failed, 1)


if __name__ == "__main__":
    main()
