"""A hat and mitts from two lots, planned and saved as november."""

from fractions import Fraction

from planner.ledger.booking import book
from planner.workspace import load_workspace
from stash.lengths import guarded_cm

SURE = Fraction(95, 100)
# 230 m/100g with 3 %: 100 g of slate hold 230 m, and 230 x (1 - 1.6448536 x 0.0301) = 218.6 m for sure.
STASH = """\
lots:
  slate: {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 100 g, slate-2: {mass: 40 g, pieces: 2}}}
  fog: {fibre: wool, colour: "#d0d4d8", count: 230 m/100g, skeins: {fog-1: 30 g}}
"""
HAT = """\
name: Hat
craft: knitting
gauge: {stitches: 22, rows: 30, over: 10 cm}
yarn: dk
strands: 1
needs: {main: {lots: one}}
sizes: {one: {main: 100 m}}
"""
MITTS = HAT.replace("Hat", "Mitts").replace("100 m", "50 m")
PROJECTS = "projects: [{make: hat, id: for-the-fair}, {make: mitts}]\n"


def user_files(folder):
    return {path: path.read_bytes() for path in sorted(folder.rglob("*.yaml")) if path.name != "ledger.yaml"}


def sure_cm(stash, lot):
    return sum(sum(guarded_cm(stash.lots[lot], skein, SURE)) for skein in stash.lots[lot].skeins)


def set_aside(folder, *projects, used=False):
    return book(folder, load_workspace, "november", projects, used=used, why="")
