"""The whole question as one program, given to a solver as it stands: what our way is measured against.

At the skein level every piece of every lot is a choice from the start; at the lot level a lot is so much length, which is
too hopeful: what it finds may not be there to cut. With lots held alone no two are a yarn together, for where they are
many the program of all their twos cannot be written down.
"""

from __future__ import annotations

import json
import math
import re
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import pulp

from planner.aims import GRAMS
from planner.highs import _problem, merged
from planner.model import build
from planner.solve import solve

if TYPE_CHECKING:
    from planner.instance import Instance, Making
    from planner.program import Program

MOST_COLUMNS = 1_000_000  # more do not fit a machine of 8 GB
CPSAT = Path(__file__).with_name("cpsat.py")
# what CBC prints when it ends; its best bound where it ends early
_FOUND, _BOUND = (
    re.compile(r"^Objective value: +(\S+)", re.MULTILINE),
    re.compile(r"^Lower bound: +(\S+)", re.MULTILINE),
)
_PROVED = "Result - Optimal solution found"


class TooLargeError(Exception):
    """There is no room to write the program down."""


class NotInstalledError(Exception):
    """The solver is not on this machine."""


@dataclass(frozen=True)
class Found:
    """Grams found, None where none were, and grams that no plan is above, inf where nothing is proved."""

    grams: float | None
    bound: float


def lot_level(instance: Instance) -> Program:
    """Every lot a choice."""
    uses = sum(len(own.yarns) * len(own.stretches) for making in instance.makings for own in making.needs)
    if uses > MOST_COLUMNS:
        raise TooLargeError(f"{uses / 1e6:.1f} million columns")
    columns = build(instance)
    columns.program.aim = GRAMS.terms(columns)
    return columns.program


def alone_level(instance: Instance) -> Program:
    """Every lot a choice, none held together with another."""
    return lot_level(replace(instance, makings=tuple(map(_alone, instance.makings))))


def _alone(making: Making) -> Making:
    needs = (replace(own, yarns=tuple(y for y in own.yarns if len(y.lots) == 1)) for own in making.needs)
    return replace(making, needs=tuple(needs))


def skein_level(instance: Instance) -> Program:
    """Every piece of every lot a choice."""
    pieces = 2 * sum(
        strands * len(instance.stock[lot.id])
        for making in instance.makings
        for own in making.needs
        for yarn in own.yarns
        for lot, strands in yarn.lots
        for _ in own.stretches
    )
    if pieces > MOST_COLUMNS:
        raise TooLargeError(f"{pieces / 1e6:.1f} million columns")
    uses = build(instance).uses
    fine = frozenset((use.key, lot) for use in uses if use.yarn for lot in use.yarn.lot_ids)
    columns = build(instance, fine)
    columns.program.aim = GRAMS.terms(columns)
    return columns.program


def by_highs(program: Program, seconds: float) -> Found:
    answer = solve(program, absolute_gap=GRAMS.step, deadline=time.monotonic() + seconds)
    return Found(None if answer.value is None else -answer.value, -answer.bound)


def by_cbc(program: Program, seconds: float) -> Found:
    """By the CBC that PuLP 3 brings, or one on the path."""
    cbc = getattr(getattr(pulp, "PULP_CBC_CMD", None), "pulp_cbc_path", None) or shutil.which("cbc")
    if cbc is None:
        raise NotInstalledError("no CBC")
    with tempfile.TemporaryDirectory() as folder:
        file = f"{folder}/program.mps"
        problem = _problem(program, None)
        for variable in problem.variables():
            if program.columns[int(variable.name[1:])].whole:
                variable.cat = pulp.LpInteger
        problem.writeMPS(file)
        asked = [
            cbc,
            file,
            "-sec",
            f"{seconds:.0f}",
            "-ratio",
            "0",
            "-threads",
            "1",
            "-timeMode",
            "elapsed",
            "-branch",
        ]
        told = subprocess.run(asked, capture_output=True, text=True, check=True).stdout
    found = _FOUND.search(told)
    bound = found if _PROVED in told else _BOUND.search(told)
    return Found(-float(found[1]) if found else None, -float(bound[1]) if bound else math.inf)


def by_cpsat(program: Program, seconds: float, python: str = sys.executable) -> Found:
    """By CP-SAT, which is whole in everything: lengths in whole cm."""
    if subprocess.run([python, "-c", "import ortools"], capture_output=True, check=False).returncode:
        raise NotInstalledError("no ortools")
    asked = {
        "columns": [(column.low, column.high) for column in program.columns],
        "rows": [(tuple(merged(row.terms).items()), row.sense, row.right) for row in program.rows],
        "aim": tuple(merged(program.aim).items()),
    }
    told = subprocess.run(
        [python, str(CPSAT), str(seconds)], input=json.dumps(asked), capture_output=True, text=True, check=True
    )
    answer = json.loads(told.stdout)
    return Found(None if answer["value"] is None else -answer["value"], -answer["bound"])
