"""Make files that no person would write, read them, and say which break what is promised of every file.

    python -m tests.fuzz --files 20000 --kind stash --seed 7

Without --kind, so many of each kind. Each that fails is kept in tests/corpus/KIND/, where a test reads it from then on:
give it a name that says what it is. Ends with 1 when there is one.
"""

from __future__ import annotations

import argparse
import hashlib
import resource
from pathlib import Path

from tests.fuzz.kinds import KINDS
from tests.fuzz.running import cores, made, run

CORPUS = Path(__file__).parents[1] / "corpus"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--files", type=int, default=20_000)
    parser.add_argument("--kind", choices=KINDS)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=cores())
    asked = parser.parse_args()
    failed = 0
    for kind in [asked.kind] if asked.kind else KINDS:
        before = _seconds()
        finds = run(kind, asked.seed, asked.files, asked.workers)
        for number, words in finds:
            print(f"{_keep(kind, made(kind, asked.seed, number))} (file {number}): {words}")
        print(
            f"{kind}: {asked.files} files, {len(finds)} break what is promised, {_seconds() - before:.0f} s of processor time"
        )
        failed += len(finds)
    return 1 if failed else 0


def _keep(kind: str, data: bytes) -> str:
    path = CORPUS / kind / f"{hashlib.sha256(data).hexdigest()[:12]}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path.relative_to(CORPUS.parents[1]).as_posix()


def _seconds() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    raise SystemExit(main())
