"""A seeded generator of workspaces: the same arguments give the same files, byte for byte.

Lots hold 1 to 6 skeins of 40 to 200 g. Shades come in families, so that look-alikes and clear contrasts
both happen. Patterns have 1 to 4 needs under every lot rule. Amounts are drawn so that about half of the
projects are enough alone.
"""

from __future__ import annotations

import random
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.workspace import Workspace, load_workspace

if TYPE_CHECKING:
    from collections.abc import Mapping

SHADES = ("#23304f", "#5b6770", "#8a3324", "#c68a2b", "#efe6d2", "#2f5d50", "#8d7f9b", "#43342b", "#c9dccb", "#b8b9ba")
BLENDS = (
    "100% wool",
    "100% lambswool",
    "80% wool, 20% polyamide",
    "90% wool, 10% alpaca",
    "52% wool, 48% acrylic",
    "75% superwash, 25% polyamide",
    "100% acrylic",
    "100% cotton",
    "70% alpaca, 30% silk",
)
BLEND_WEIGHTS = (6, 3, 4, 2, 2, 2, 2, 2, 1)
CLASSES = {"fingering": (360, 520), "sport": (265, 340), "dk": (205, 255), "aran": (140, 195), "bulky": (95, 125)}
CLASS_WEIGHTS = (4, 3, 6, 4, 1)
FILE = 4000  # lots in a file
PULLOVER_METRES = {"fingering": 1250, "sport": 1100, "dk": 900, "aran": 760, "bulky": 560}


@dataclass(frozen=True)
class Asked:
    """How large a workspace is wanted; `projects` None: no projects.yaml."""

    lots: int
    patterns: int
    sizes: int
    seed: int
    projects: int | None = None


def files(asked: Asked) -> dict[str, str]:
    """The files of a workspace: path inside the folder -> text."""
    chance = random.Random(f"{asked.lots} {asked.patterns} {asked.sizes} {asked.seed}")
    text = stash_files(chance, asked.lots)
    for number in range(1, asked.patterns + 1):
        text[f"patterns/p{number:03}.yaml"] = _pattern(chance, number, asked.sizes)
    if asked.projects is not None:
        text["projects.yaml"] = _projects(chance, asked)
    return text


def write(folder: Path, text: Mapping[str, str]) -> None:
    """Write the files under `folder`."""
    for name, content in text.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8")


def stash_files(chance: random.Random, lots: int) -> dict[str, str]:
    """Files of so many lots; a file may hold so many entries."""
    firsts = range(1, lots + 1, FILE)
    names = {first: "generated" if first == 1 else f"generated-{first}" for first in firsts}
    return {f"stash/{names[first]}.yaml": _stash(chance, range(first, min(first + FILE, lots + 1))) for first in firsts}


def _stash(chance: random.Random, numbers: range) -> str:
    rows = ["scale: 1 g", "lots:"]
    for number in numbers:
        lot = f"l{number:03}"
        name = chance.choices(tuple(CLASSES), CLASS_WEIGHTS)[0]
        rows += [
            f"  {lot}:",
            f"    fibre: {chance.choices(BLENDS, BLEND_WEIGHTS)[0]}",
            f'    colour: "{_shade(chance)}"',
            f"    count: {_count(chance, name)}",
            f"    bleeds: {chance.choices(('untested', 'no', 'yes'), (6, 5, 1))[0]}",
            "    skeins:",
        ]
        for skein in range(1, chance.randint(1, 6) + 1):
            mass = chance.randint(40, 200)
            pieces = chance.choices((1, 2, 3, 5), (7, 2, 2, 1))[0]
            stated = f"{mass} g" if pieces == 1 else f"{{mass: {mass} g, pieces: {pieces}}}"
            rows.append(f"      {lot}-{skein}: {stated}")
    return "\n".join(rows) + "\n"


def workspace(lots: int, patterns: int, sizes: int, seed: int, projects: int | None = None) -> Workspace:
    """The same workspace as data, read through the reader the commands use."""
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), files(Asked(lots, patterns, sizes, seed, projects)))
        return load_workspace(Path(folder))


def _shade(chance: random.Random) -> str:
    """A shade of one of the families, a few steps off."""
    base = chance.choice(SHADES)
    off = chance.choice((0, 2, 4, 9, 18))
    channels = [int(base[i : i + 2], 16) + chance.randint(-off, off) for i in (1, 3, 5)]
    return "#" + "".join(f"{min(255, max(0, channel)):02x}" for channel in channels)


def _count(chance: random.Random, name: str) -> str:
    """One of the ways to state a count, for a yarn of the class `name`."""
    metres = chance.randint(*CLASSES[name])  # in 100 g
    turns = chance.randint(60, 140)
    ways = (
        f"{{turns: {turns}, around: 1.5 m, mass: {turns * 1.5 * 100 / metres:.0f} g}}",
        f"{{length: 24.0 m, mass: {2400 / metres:.1f} g}}",
        f"{metres} m/100g",
        f"{round(metres / 2 / 0.9144)} yd/50g",
        f"{round(100000 / metres)} tex",
        f"{round(1000000 / metres)} dtex",
        f"{round(900000 / metres)} den",
        f"Nm {metres / 100:.1f}" if metres < 200 else f"Nm 2/{metres / 50:.1f}",  # the smaller number would be the fold
        f"worsted {metres / 112.9:.1f}" if metres < 200 else f"worsted 2/{metres * 2 / 112.9:.1f}",
        f"{{wraps: {round(0.87 * metres**0.5)}}}",
        name,
    )
    return chance.choices(ways, (6, 3, 4, 2, 2, 1, 1, 2, 1, 1, 1))[0]


def _lot_rule(chance: random.Random) -> str:
    return chance.choices(("one", "by-part", "alternate 2", "any 4", "any"), (5, 3, 2, 1, 1))[0]


def _main_colour(chance: random.Random) -> str:
    """Most people have a colour in mind for most things."""
    return f', colour: {{near: "{chance.choice(SHADES)}", within: 10}}' if chance.random() < 0.7 else ""


def _second_need(chance: random.Random, number: int) -> str:
    """The rule of a motif or an edging beside the main need."""
    colour = (
        f"{{against: main, lightness: {chance.choice((15, 20, 25))}}}",
        "{not: main}",
        f"{{darker-than: main, lightness: {chance.choice((5, 10))}}}",
        f'{{near: "{chance.choice(SHADES)}", within: 12}}',
        "any",
    )
    rule = "one" if number == 1 else chance.choice(("one", "any 3"))
    return f"{{lots: {rule}, colour: {chance.choice(colour)}}}"


def _pattern(chance: random.Random, number: int, sizes: int) -> str:
    yarn = chance.choices(tuple(CLASSES), CLASS_WEIGHTS)[0]
    rule = _lot_rule(chance)
    base = PULLOVER_METRES[yarn] * chance.choice((0.15, 0.3, 0.5, 0.8, 1.0, 1.3))
    names = ["motif", "edging", "band"][: chance.choices((0, 1, 2, 3), (4, 4, 2, 1))[0]]
    rows = [
        f"name: Generated {number}",
        "craft: knitting",
        "gauge: {stitches: 22, rows: 30, over: 10 cm}",
        f"yarn: {yarn}",
        f"strands: {chance.choices(('1', '1-2', '2'), (3, 5, 1))[0]}",
        f"wash: {chance.choices(('hand', 'any', 'machine'), (6, 3, 1))[0]}",
        "needs:",
        f"  main: {{lots: {rule}{_main_colour(chance)}}}",
    ]
    rows += [f"  {name}: {_second_need(chance, place)}" for place, name in enumerate(names, start=1)]
    rows.append("sizes:")
    for size in range(1, sizes + 1):
        grown = base * (1 + 0.15 * (size - 1))
        main = f"{grown:.0f} m"
        if rule == "by-part":
            main = f"{{body: {grown * 0.6:.0f} m, left: {grown * 0.2:.0f} m, right: {grown * 0.2:.0f} m}}"
        others = "".join(f", {name}: {grown * 0.14:.0f} m" for name in names)
        rows.append(f"  s{size}: {{main: {main}{others}}}")
    return "\n".join(rows) + "\n"


def _projects(chance: random.Random, asked: Asked) -> str:
    """Each project asks one pattern in any of its sizes."""
    count = min(asked.projects or 0, asked.patterns)
    chosen = sorted(chance.sample(range(1, asked.patterns + 1), count))
    rows = ["projects:"]
    for number in chosen:
        want = chance.choice(("1", "1", "2", "0.5"))
        must = ", must: yes" if chance.random() < 0.1 else ""
        rows.append(f"  - {{make: p{number:03}, want: {want}{must}}}")
    return "\n".join(rows) + "\n"
