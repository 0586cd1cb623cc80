"""The chance of running short is that of a simulation, on real plans under every lot rule.

Each draw is a world in which every error fell out one way: lots apart from one another, the skeins of a lot with the
same error of the count, every weighing or measuring with its own, and the pattern's figure with its own. Yarn is wound
off by weight, so a piece holds as large a share of its true length as was planned of the length counted on.
"""

import math
from fractions import Fraction

import numpy as np
import pytest

from planner import planning
from planner.asking import ask
from planner.chance import chance_short
from planner.workspace import load_workspace

DRAWS = 20_000
SURE = Fraction(95, 100)
Z95 = 1.6448536

STASH = """\
lots:
  ash:    {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {ash-1: 100 g, ash-2: 60 g, ash-3: 45 g}}
  birch:  {fibre: wool, colour: "#5c6871", count: {turns: 60, around: 1.5 m, mass: 40 g}, skeins: {birch-1: 90 g, birch-2: 70 g}}
  cedar:
    fibre: wool
    colour: "#5d6972"
    count: {length: 30 m, mass: 13.2 g, weighed: apart}
    skeins: {cedar-1: 80 g, cedar-2: {mass: 66 g, pieces: 3}}
  dune:   {fibre: wool, colour: "#5a6670", count: Nm 2.3, skeins: {dune-1: {length: 150 m}, dune-2: {length: 120 m, pieces: 2}}}
  elder:  {fibre: wool, colour: "#c02020", count: dk, skeins: {elder-1: 200 g}}
  fern:   {fibre: wool, colour: "#208040", count: 460 m/100g, skeins: {fern-1: 60 g, fern-2: 80 g}}
"""
PATTERN = """\
name: Trial
craft: knitting
gauge: {{stitches: 22, rows: 30, over: 10 cm}}
yarn: {{count: 230 m/100g, within: 15%}}
strands: {strands}
reserve: {reserve}
needs: {{main: {{lots: {lots}}}}}
sizes: {{one: {{main: {amount}}}}}
"""

# name: (lots, amount, strands, reserve, lots to keep to)
CASES = {
    "one lot, one skein": ("one", "200 m", "1", "0%", "ash"),
    "one lot, several skeins": ("one", "400 m", "1", "2%", "ash"),
    "one lot of a measured sample": ("one", "320 m", "1", "1%", "birch"),
    "one lot weighed apart, in pieces": ("one", "280 m", "1", "0%", "cedar"),
    "one lot of stated lengths": ("one", "240 m", "1", "3%", "dune"),
    "one lot known by its class only": ("one", "330 m", "1", "4%", "elder"),
    "by parts": ("by-part", "{body: 300 m, left: 95 m, right: 95 m}", "1", "1%", "ash, birch, cedar, dune"),
    "by parts, from few lots": ("by-part", "{body: 150 m, left: 90 m, right: 90 m}", "1", "2%", "birch, cedar"),
    "alternate rows": ("alternate 2", "600 m", "1", "1%", "ash, birch"),
    "any lots": ("any", "900 m", "1", "0%", "ash, birch, dune"),
    "held double": ("one", "270 m", "2", "2%", "fern"),
    "a shape": ("one", "{width: 40 cm, length: 60 cm}", "1", "5%", "ash"),
    "a swatch": ("one", "{width: 40 cm, length: 60 cm, swatch: {length: 31 m, width: 16 cm, height: 16 cm}}", "1", "0%", "ash"),
    "balls": ("one", "4 balls of 85 m", "1", "3%", "ash"),
}  # fmt: skip


def a_plan(folder, lots, amount, strands, reserve, only):
    (folder / "patterns").mkdir()
    (folder / "stash.yaml").write_text(STASH)
    pattern = PATTERN.format(lots=lots, amount=amount, strands=strands, reserve=reserve)
    (folder / "patterns" / "trial.yaml").write_text(pattern)
    listed = f"projects: [{{make: trial, size: one, needs: {{main: {{only: [{only}]}}}}}}]\n"
    (folder / "projects.yaml").write_text(listed)
    workspace = load_workspace(folder)
    (project,) = planning.plan(workspace, ask(workspace, (), every_size=False), SURE).projects
    assert project.made
    return workspace, project.needs[0]


def lot_and_own_u(lot, skein):
    """Relative standard uncertainties, written out anew: of all skeins of a lot alike, and of this one alone."""
    if skein.length_m is not None:
        return 0.0, 0.0112
    shared = lot.count.relative_u
    if lot.count.apart:  # wool takes up 17 % of its dry weight; a rectangular half-width of 0.15 of what it holds
        shared = math.hypot(shared, 0.15 * 17 / 117 / math.sqrt(3))
    return shared, float(skein.scale_g) / math.sqrt(12) / float(skein.mass_g)


def short_in_draws(workspace, need, seed=2):
    """How often some strand of some part holds less than the part takes."""
    draws = np.random.default_rng(seed)
    fates = {}

    def fate(name):
        if name not in fates:
            fates[name] = draws.standard_normal(DRAWS)
        return fates[name]

    amounts = workspace.patterns["trial"].sizes["one"]["main"]
    runs = {}
    for run in need.runs:
        for take in run.takes:
            runs.setdefault((run.part, take.strand), []).append(take)
    short = np.zeros(DRAWS, dtype=bool)
    for (part, _), takes in runs.items():
        wanted = [amount for name, amount in amounts.items() if part is None or name == part]
        takes_m = sum(float(a.metres) * (1 + a.relative_u * fate("need")) for a in wanted)
        holds_m = 0.0
        for take in takes:
            lot = workspace.stash.lots[take.lot]
            skein = next(one for one in lot.skeins if one.id == take.skein)
            shared, own = lot_and_own_u(lot, skein)
            length_m = float(skein.length_m or 1000 * (skein.mass_g or 0) / lot.count.tex)
            counted_on_m = length_m * (1 - Z95 * math.hypot(shared, own))
            true_m = length_m * (1 + shared * fate(lot.id) + own * fate(skein.id))
            holds_m = holds_m + take.take_cm / 100 / counted_on_m * true_m - 0.3
        short |= holds_m < takes_m
    return float(short.mean())


@pytest.mark.parametrize("name", CASES)
def test_a_plans_chance_is_that_of_20_000_draws(name, tmp_path):
    workspace, need = a_plan(tmp_path, *CASES[name])
    parts = workspace.patterns["trial"].sizes["one"]["main"]
    chance = chance_short(parts, need.runs, workspace.stash, SURE)
    expected = short_in_draws(workspace, need)
    assert 0.02 < chance < 0.6
    # three standard errors of the draws, and 0.001 for the points the chance is averaged over
    assert expected == pytest.approx(chance, abs=3 * math.sqrt(chance * (1 - chance) / DRAWS) + 0.001)


def test_every_lot_rule_and_kind_of_lot_is_in_the_plans(tmp_path):
    """The cases do what their names say: several skeins, several lots, two strands."""
    seen = {}
    for name in ("one lot, several skeins", "by parts", "alternate rows", "any lots", "held double"):
        folder = tmp_path / name.replace(" ", "-")
        folder.mkdir()
        _, need = a_plan(folder, *CASES[name])
        takes = [take for run in need.runs for take in run.takes]
        seen[name] = len({t.skein for t in takes}), len({t.lot for t in takes}), len({t.strand for t in takes})
    assert seen["one lot, several skeins"][0] > 1
    assert min(seen["by parts"][1], seen["alternate rows"][1], seen["any lots"][1]) > 1
    assert seen["held double"][2] == 2
