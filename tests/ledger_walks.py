"""Random walks through the ledger beside bookkeeping of its own: no yarn appears twice and none vanishes.

    python -m tests.ledger_walks --walks 1000

Each walk books, uses, finishes, releases and undoes at random on a drawn stash. After every step what is owned and what
is free of each piece, at several confidences, must be what a knitter with a notebook has: she strikes off what is used
as she goes, writes down what the scale shows, and after an undo turns back a page.
"""

from __future__ import annotations

import argparse
import math
import random
import shutil
import sys
import tempfile
from collections import Counter
from copy import deepcopy
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from statistics import NormalDist

from planner.ledger.booking import added_to, release, undo
from planner.ledger.entries import Book, Taking
from planner.ledger.finishing import finish
from planner.workspace import load_workspace
from stash.lengths import guarded_cm

PATTERN = """\
name: Hat
craft: knitting
gauge: {stitches: 22, rows: 30, over: 10 cm}
yarn: dk
needs: {main: {lots: any}}
sizes: {one: {main: 100 m}}
"""
PROJECTS = ("hat", "hat#2", "hat#3", "hat#4")
CONFIDENCES = tuple(Fraction(share, 1000) for share in (500, 800, 950, 999))
STATED_U = 0.0112  # contracted, of a stated length
PRINTED_U, RESERVE, ENDS_M = 0.05, Fraction(1, 10), Fraction(3, 10)
STEPS = 14


@dataclass
class Page:
    """A skein in the notebook: as last weighed or written, and what part of that each piece still is."""

    mass: Fraction | None
    length: Fraction | None
    step: Fraction
    parts: list[Fraction]
    clean: bool = True  # nothing was used since it was weighed

    def metres(self, tex):
        return self.length if self.length is not None else 1000 * self.mass / tex

    def sure_cm(self, tex, u, confidence):
        own = STATED_U
        if self.length is None:
            own = math.hypot(u, float(self.step / self.mass) / math.sqrt(12)) if self.mass else 0.0
        return 100 * self.metres(tex) * Fraction(max(0.0, 1 - NormalDist().inv_cdf(float(confidence)) * own))

    def strike(self, piece, cm, whole_cm):
        self.parts[piece - 1] -= Fraction(cm) / whole_cm if whole_cm else 2

    def weigh(self, mass, step):
        rest = [max(part, Fraction(0)) for part in self.parts]
        total = sum(rest)
        if total:
            self.parts = [part / total for part in rest]
        else:
            self.parts = list(self.before)
        self.mass, self.length, self.step, self.clean, self.before = mass, None, step, True, list(self.parts)

    def __post_init__(self):
        self.before = list(self.parts)


@dataclass
class Notebook:
    """The whole notebook: counts by lot as (tex, relative uncertainty), skeins by lot and name, promises by project."""

    counts: dict
    pages: dict
    aside: dict


def drawn(chance):
    """A stash file, and the notebook on its first day."""
    lines, counts, pages = ["scale: 0.1 g", "lots:"], {}, {}
    for lot in ("fog", "slate"):
        metres = chance.randint(180, 260)
        skeins = []
        for number in range(1, chance.randint(1, 3) + 1):
            mass = Fraction(chance.randint(200, 1500), 10)
            long = Fraction(round(mass * metres * chance.uniform(0.98, 1.02)), 100)
            count = chance.randint(1, 3)
            parts = [Fraction(1, count)] * count
            kind = chance.choice(("mass", "mass", "length", "both"))
            fields = [f"mass: {float(mass)} g"] * (kind != "length") + [f"length: {float(long)} m"] * (kind != "mass")
            skeins.append(f"{lot}-{number}: {{{', '.join(fields)}, pieces: {count}}}")
            pages[lot, f"{lot}-{number}"] = Page(
                None if kind == "length" else mass,
                None if kind == "mass" else long,
                Fraction(0) if kind == "length" else Fraction(1, 10),
                parts,
            )
        lines.append(f"  {lot}: {{fibre: wool, colour: grey, count: {metres} m/100g, skeins: {{{', '.join(skeins)}}}}}")
        counts[lot] = Fraction(100_000, metres), 0.03
    return "\n".join(lines) + "\n", Notebook(counts, pages, {})


class Walk:
    def __init__(self, folder, seed):
        self.folder, self.chance = folder, random.Random(seed)
        text, self.book = drawn(self.chance)
        (folder / "patterns").mkdir(parents=True)
        (folder / "stash.yaml").write_text(text)
        (folder / "patterns" / "hat.yaml").write_text(PATTERN)
        (folder / "projects.yaml").write_text("projects: [{make: hat, copies: 4}]\n")
        self.earlier = []
        self.did = Counter()

    def step(self):
        doing = self.chance.choice((self.take, self.take, self.end, self.end, self.give_back, self.turn_back))
        doing()
        self.must_agree()

    def rest_cm(self, key, piece, confidence):
        """What is sure to be in a piece and nobody's."""
        tex, u = self.book.counts[key[0]]
        page = self.book.pages[key]
        whole = page.sure_cm(tex, u, confidence)
        rest = whole * page.parts[piece - 1]
        return rest - sum(
            Fraction(cm) / page.sure_cm(tex, u, sure) * whole if whole else 0
            for held in self.book.aside.values()
            for other, of, cm, sure in held
            if (other, of) == (key, piece) and page.sure_cm(tex, u, sure)
        )

    def take(self):
        open_ = [name for name in PROJECTS if name not in self.book.aside]
        if not open_:
            return
        project, sure = self.chance.choice(open_), self.chance.choice(CONFIDENCES)
        used = self.chance.random() < 0.3
        held = []
        for key, page in self.book.pages.items():
            for piece in range(1, len(page.parts) + 1):
                rest = math.floor(self.rest_cm(key, piece, sure))
                cm = self.chance.choice((0, rest, self.chance.randint(0, max(0, rest))))
                if cm > 100:
                    twice = self.chance.random() < 0.3  # folded to be held double
                    held += (
                        [(key, piece, cm - cm // 2, sure), (key, piece, cm // 2, sure)]
                        if twice
                        else [(key, piece, cm, sure)]
                    )
        if not held:
            return
        takes = tuple(Taking(project, "main", *key, piece, cm, Fraction(1)) for key, piece, cm, _ in held)
        with added_to(self.folder) as add:
            add(load_workspace(self.folder).books, Book("one", sure, takes, used=used), "")
        self.keep("used" if used else "booked")
        if used:
            self.strike(held)
        else:
            self.book.aside[project] = held

    def strike(self, held):
        struck = [(key, piece, cm, self.book.pages[key].sure_cm(*self.book.counts[key[0]], sure))
                  for key, piece, cm, sure in held]  # fmt: skip
        for key, piece, cm, whole in struck:
            self.book.pages[key].strike(piece, cm, whole)
            self.book.pages[key].clean = False

    def end(self):
        if not self.book.aside:
            return
        project = self.chance.choice(sorted(self.book.aside))
        held = self.book.aside[project]
        weighed = {}
        if self.chance.random() < 0.8:
            for key in dict.fromkeys(key for key, *_ in held):
                page, (tex, _) = self.book.pages[key], self.book.counts[key[0]]
                went = sum(cm for other, _, cm, _ in held if other == key) * tex / 100_000
                left = (page.metres(tex) * tex / 1000 if page.mass is None else page.mass) - went
                if self.chance.random() < 0.9:
                    weighed[key] = Fraction(round(max(0.0, float(left) * self.chance.uniform(0.85, 1.0)) * 10), 10)
        left = [f"{skein}={float(mass):.1f} g" for (_, skein), mass in weighed.items()]
        finish(self.folder, load_workspace, project, left, "")
        self.keep("weighed" if weighed else "finished")
        learnt = dict(self.learnt(held, weighed))
        self.strike(self.book.aside.pop(project))
        for key, mass in weighed.items():
            self.book.pages[key].weigh(mass, Fraction(1, 10))
        self.book.counts |= learnt

    def learnt(self, held, weighed):
        """Counts by the mean of what was believed and what was seen, weighted by the inverses of their variances."""
        for lot in dict.fromkeys(key[0] for key, *_ in held):
            keys = list(dict.fromkeys(key for key, *_ in held if key[0] == lot))
            pages = [self.book.pages[key] for key in keys]
            if not all(key in weighed for key in keys) or any(one.mass is None or not one.clean for one in pages):
                continue
            grams = sum(page.mass - weighed[key] for key, page in zip(keys, pages, strict=True))
            metres = sum(
                (Fraction(cm, 100) - ENDS_M) / (1 + RESERVE) + ENDS_M for key, _, cm, _ in held if key[0] == lot
            )
            if grams <= 0:
                continue
            digits = sum(float(page.step) ** 2 + 0.01 for page in pages) / 12
            # the ledger has centimetres and millionths
            seen, seen_u = (
                float(1000 * grams / round(metres, 2)),
                round(math.hypot(PRINTED_U, math.sqrt(digits) / float(grams)), 6),
            )
            tex, u = float(self.book.counts[lot][0]), self.book.counts[lot][1]
            if abs(seen - tex) > 2 * math.hypot(seen * seen_u, tex * u):
                continue
            inverse, inverse_seen = (tex * u) ** -2, (seen * seen_u) ** -2
            mean = (tex * inverse + seen * inverse_seen) / (inverse + inverse_seen)
            self.did["learnt"] += 1
            yield lot, (Fraction(mean), (inverse + inverse_seen) ** -0.5 / mean)

    def give_back(self):
        if self.book.aside:
            project = self.chance.choice(sorted(self.book.aside))
            release(self.folder, project, "")
            self.keep("released")
            del self.book.aside[project]

    def turn_back(self):
        if self.earlier:
            undo(self.folder, "")
            self.did["undone"] += 1
            self.book = self.earlier.pop()

    def keep(self, what):
        self.did[what] += 1
        self.earlier.append(deepcopy(self.book))

    def must_agree(self):
        now = load_workspace(self.folder)
        for confidence in CONFIDENCES:
            for key, page in self.book.pages.items():
                whole = page.sure_cm(*self.book.counts[key[0]], confidence)
                owned = [max(Fraction(0), whole * part) for part in page.parts]
                free = [max(Fraction(0), self.rest_cm(key, at, confidence)) for at in range(1, len(owned) + 1)]
                for stash, expected, what in ((now.owned, owned, "owned"), (now.stash, free, "free")):
                    lot = stash.lots[key[0]]
                    skein = next(one for one in lot.skeins if one.id == key[1])
                    for found, cm in zip(guarded_cm(lot, skein, confidence), expected, strict=True):
                        assert abs(found - cm) <= 1.01, f"{key[1]}: {found} cm {what}, {float(cm):.2f} in the notebook"


def run_walk(folder: Path, seed: int) -> Counter:
    """Walk once; how often it did what. Raises AssertionError where the two disagree."""
    walk = Walk(folder, seed)
    for _ in range(STEPS):
        walk.step()
    return walk.did


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.ledger_walks", description=__doc__)
    parser.add_argument("--walks", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0, metavar="SEED")
    asked = parser.parse_args()
    did, failed = Counter(), 0
    for seed in range(asked.first, asked.first + asked.walks):
        folder = Path(tempfile.mkdtemp())
        try:
            did += run_walk(folder / "walk", seed)
        except AssertionError as error:
            failed += 1
            print(f"walk {seed}: {error}", flush=True)
        finally:
            shutil.rmtree(folder)
    print(f"{asked.walks} walks, {failed} of them wrong: " + ", ".join(f"{n} {what}" for what, n in did.most_common()))
    return min(failed, 1)


if __name__ == "__main__":
    sys.exit(main())
