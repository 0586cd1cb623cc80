"""Put small mistakes into a room's code, one at a time, and count those that its tests find out.

    python -m tests.mutation --room verifying --sample 300 --seed 1

Without --room, all of them. Prints each mistake that no test sees as soon as it is tried, how many were found out so
far, and at the end the share of each room.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import tempfile

from tests.mutation.mutants import Mutant, mutants
from tests.mutation.rooms import ROOMS, ROOT
from tests.mutation.running import survives_anew, survivors, touched, warm_up

EACH = 20  # mutants, how many were found out is told


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--room", choices=ROOMS)
    parser.add_argument("--sample", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    os.chdir(ROOT)
    with tempfile.TemporaryDirectory() as kept:
        os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = kept  # what a mutant fails on is not remembered
        warm_up()
        for name in [asked.room] if asked.room else ROOMS:
            weigh(name, asked)


def weigh(name: str, asked: argparse.Namespace) -> None:
    room = ROOMS[name]
    tests = touched(room)
    everything = [(file, one) for file in room.files() for one in mutants(file.read_text(encoding="utf-8"))]
    drawn = random.Random(asked.seed).sample(everything, min(asked.sample, len(everything)))
    chosen = [(file, one, tests.of(file, one.line)) for file, one in drawn]
    same = [
        (file, Mutant(1, "", "", ast.parse(file.read_text(encoding="utf-8")), True), tests.first())
        for file in room.files()
    ]
    told = survivors(room, same + chosen)
    if not all(alive for _, alive in zip(same, told, strict=False)):
        raise AssertionError("the tests fail without any mistake")
    found = 0
    for tried, ((file, one, ran), passed) in enumerate(zip(chosen, told, strict=True), start=1):
        alive = passed and not (one.inside and tests.at_import(file, one.line) and not survives_anew(file, one, ran))
        found += not alive
        if alive:
            before, after = _differing(one.before, one.after)
            print(f"{file.relative_to(ROOT)}:{one.line} ({len(ran)} tests)\n- {before}\n+ {after}\n")
        if tried == len(chosen):
            share = f"{100 * found / tried:.1f} %"
            print(f"{name}: {found} of {tried} found out, {share} (of {len(everything)} mutants)", flush=True)
        elif alive or tried % EACH == 0:
            print(f"{name}: {found} of {tried} so far", flush=True)


def _differing(before: str, after: str) -> tuple[str, str]:
    """Two long statements from shortly before where they differ on."""
    at = max(
        0, next((place for place, two in enumerate(zip(before, after, strict=False)) if len(set(two)) > 1), 0) - 60
    )
    return before[at : at + 160], after[at : at + 160]


if __name__ == "__main__":
    main()
