"""Try what the rack list claims: write the find into a copy of the files, run cover, and count better lists.

    python -m tests.oracle.racklist --cases 100

For every find: each project named is enough with it, with finds drawn from within what it may be, and with the grams
told of a yarn that only has a label; one metre less is not enough for all of them. Against brute force: of many lots
drawn at random, no list of as many finds makes 5 % more projects enough. Ends with 1 where a claim is untrue.
"""

from __future__ import annotations

import argparse
import random
import tempfile
import time
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations
from pathlib import Path

from planner import instance as instances
from planner.alone import judge
from planner.answers import ENOUGH
from planner.asking import ask
from planner.covering import cover
from planner.rack.unlocking import with_lot
from planner.racklist.finds import Kind, find_lot, find_text
from planner.racklist.listing import rack_list
from planner.racklist.mass import masses
from planner.workspace import load_workspace
from stash.colour import colour_from_lab, difference, read_colour
from stash.fibre import density, read_blend
from stash.units import show_number
from stash.weightclass import CLASSES, WOOL_DENSITY
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import BLENDS, SHADES, random_case

NAME = "find"
DRAWN = 4  # finds drawn from within each find's latitude
LOTS = 150  # drawn at random for the brute force
MOST = 2  # finds on a list


@dataclass
class Tally:
    """What was tried of some cases; `unlocked` and `best`: projects on our lists, and on the best lists drawn."""

    finds: int = 0
    claims: int = 0
    unlocked: int = 0
    best: int = 0
    untrue: list[str] = field(default_factory=list)


def try_case(seed: int, tally: Tally) -> None:
    """Everything tried of one drawn case."""
    chance = random.Random(seed)
    case = readable(random_case(seed))
    with tempfile.TemporaryDirectory() as folder:
        for name, text in to_yaml(case).items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        workspace = load_workspace(Path(folder))
        projects = ask(workspace, (), every_size=False)
        sure = workspace.projects.confidence
        found = rack_list(workspace, projects, sure, MOST)
        for place, find in enumerate(found.finds):
            tally.finds += 1
            _try_find(f"{seed}.{place}", Path(folder), projects, sure, find, chance, tally)
        if found.short:
            tally.unlocked += len({row.project for find in found.finds for row in find.unlocks})
            tally.best += _best(Path(folder), projects, sure, seed)


def _try_find(name, folder, projects, sure, find, chance, tally):
    for text in (_as_told(find), *(_drawn(find, chance) for _ in range(DRAWN)), *_weighed(find, sure)):
        verdicts = verdicts_with(folder, text, projects, sure, find.unlocks)
        tally.claims += len(find.unlocks)
        tally.untrue += [
            f"{name}: {row.project} {row.size} {verdicts[row.project, row.size]} with\n{text}"
            for row in find.unlocks
            if verdicts[row.project, row.size] != ENOUGH
        ]
    if find.metres > 1:
        text = find_text(find_lot(find.kind, find.metres - 1, NAME))
        verdicts = verdicts_with(folder, text, projects, sure, find.unlocks)
        if all(verdicts[row.project, row.size] == ENOUGH for row in find.unlocks):
            tally.untrue.append(f"{name}: a metre less does as well\n{text}")


def verdicts_with(folder, text, projects, sure, unlocks):
    """What cover says of the projects with the find's file in the stash, added to `only:` where that is told."""
    file = folder / "stash" / "find.yaml"
    file.write_text(text, encoding="utf-8")
    try:
        workspace = load_workspace(folder)
    finally:
        file.unlink()
    asked = []
    for row in unlocks:
        project = next(one for one in projects if one.name == row.project)
        pins = {
            need: replace(pin, only=pin.only | {NAME}) if need in row.pinned else pin
            for need, pin in project.pins.items()
        }
        asked.append(replace(project, sizes=(row.size,), pins=pins))
    return {(row.project, row.size): row.verdict for row in cover(workspace, asked, sure)}


def _as_told(find):
    return find_text(find_lot(find.kind, find.metres, NAME))


def _drawn(find, chance):
    """A find from within all that it may be."""
    reach = find.latitude
    low, high = float(reach.counts[0]) + 0.01, float(reach.counts[1]) - 0.01  # what is written is rounded
    count = Fraction(round(chance.choice((low, high, chance.uniform(low, high))) * 100), 100)
    blend = read_blend(chance.choice(reach.fibres))
    return find_text(find_lot(Kind(count, blend, _colour(find, chance)), find.metres, NAME))


def _colour(find, chance):
    if find.latitude.lightness is not None:
        low, high = find.latitude.lightness
        for _ in range(200):
            tried = colour_from_lab(chance.uniform(low, high), chance.uniform(-40, 40), chance.uniform(-40, 40))
            shown = read_colour(tried.hex)
            if low <= shown.lightness <= high:
                return shown
        return find.kind.colour
    lightness, a, b = find.kind.colour.lab
    off = find.latitude.off
    for _ in range(200):
        light = min(max(lightness + chance.uniform(-off, off), 0), 100)
        tried = read_colour(colour_from_lab(light, a + chance.uniform(-off, off), b + chance.uniform(-off, off)).hex)
        if difference(tried, find.kind.colour) <= off:
            return tried
    return find.kind.colour


def _weighed(find, sure):
    """The grams told, of a yarn with a label, at the thick end of each class and of the heaviest fibre."""
    low = find.latitude.counts[0]
    heaviest = max(find.latitude.fibres, key=lambda name: density(read_blend(name)))
    for row in masses(find, sure):
        bin_low = next(one.low for one in CLASSES if one.name == row.name)
        wool = max(low, bin_low)
        own = wool * WOOL_DENSITY / density(read_blend(heaviest))
        grams = -(-int(row.yarn_g * 10 + 1) // 10)
        yield (
            f"lots:\n  {NAME}:\n    fibre: {heaviest}\n    colour: '{find.kind.colour.hex}'\n"
            f"    count: {show_number(own * 100, 4)} m/10kg\n    skeins: {{{NAME}-1: {grams} g}}\n"
        )


def _best(folder, projects, sure, seed):
    """The most projects that some list of drawn finds makes enough, by counting all lists of as many finds.

    Drawn by a chance of its own, over every count, colour and blend that bears on a need, each find 3000 m long.
    """
    chance = random.Random(f"{seed} best")
    workspace = load_workspace(folder)
    enough = _enough(workspace, workspace.stash, projects, sure, frozenset())
    needs = [need for project in projects for need in workspace.patterns[project.pattern].needs.values()]
    own = [lot.colour for lot in workspace.stash.lots.values()]
    sets = {frozenset()}
    for _ in range(LOTS):
        kind = _any_kind(chance, chance.choice(needs), own)
        if kind is not None:
            richer = with_lot(workspace.stash, find_lot(kind, 3000, NAME))
            sets.add(_enough(workspace, richer, projects, sure, enough))
    return max(len(frozenset().union(*some)) for n in range(MOST + 1) for some in combinations(sets, n))


def _enough(workspace, stash, projects, sure, already):
    """The projects that are enough with a stash, those that are without it left out."""
    asked = instances.build(stash, workspace.patterns, [one for one in projects if one.name not in already], sure)
    richer = replace(workspace, stash=stash)
    found = set()
    for making in asked.makings:
        if making.project.name not in found and judge(richer, asked, making, sure) is not None:
            found.add(making.project.name)
    return frozenset(found)


def _any_kind(chance, need, own):
    """A find as thick as a need may take it, of any blend and colour."""
    low, high = float(need.yarn.low), float(need.yarn.high)
    count = Fraction(round(chance.choice((low, high, (low + high) / 2, chance.uniform(low, high))) * 100), 100)
    count *= chance.randint(*need.strands)
    if not 10 < count < 5000:
        return None
    grey = read_colour(colour_from_lab(chance.uniform(2, 98), 0, 0).hex)
    colours = [read_colour(chance.choice(SHADES)), grey, chance.choice(own)]
    if need.colour.near is not None:
        colours.append(need.colour.near)
    return Kind(count, read_blend(chance.choice(BLENDS)), chance.choice(colours))


def main() -> int:
    """Run the cases asked for and print what is untrue."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=100)
    parser.add_argument("--first", type=int, default=0)
    asked = parser.parse_args()
    began, tally = time.monotonic(), Tally()
    for seed in range(asked.first, asked.first + asked.cases):
        before, missed = len(tally.untrue), tally.best - tally.unlocked
        try:
            try_case(seed, tally)
        except Exception as error:  # noqa: BLE001 (a crash is an untruth too)
            tally.untrue.append(f"{seed}: {type(error).__name__} {str(error)[:300]}")
        for line in tally.untrue[before:]:
            print(line, flush=True)
        if tally.best - tally.unlocked > missed:
            print(f"{seed}: a better list was drawn", flush=True)
    print(
        f"{asked.cases} cases, {tally.finds} finds, {tally.claims} claims tried, {len(tally.untrue)} untrue; "
        f"{tally.unlocked} projects on our lists, {tally.best} on the best drawn; {time.monotonic() - began:.0f} s"
    )
    return 1 if tally.untrue or tally.unlocked < 0.95 * tally.best else 0


if __name__ == "__main__":
    raise SystemExit(main())
