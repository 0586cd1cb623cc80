"""Files to begin from: the demo, the hand-solved cases, drawn workspaces, and files that are broken already."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import yaml

from tests.bench.generated import Asked, files
from tests.fuzz.ledgers import ledgers
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import random_case

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "planner" / "demo"
BROKEN = ROOT / "tests" / "broken"
CASES = ROOT / "tests" / "cases"
DRAWN = 20
SKERRY = b"yarn: dk\nneeds: {main: {}}\nsizes: {S: {main: 9 m}, M: {main: 9 m}, L: {main: 9 m}, XXL: {main: 9 m}}\n"


@cache
def seeds(kind: str) -> tuple[bytes, ...]:
    """All files whose path begins with the kind ("stash", "patterns", "projects", "ledger"), always in the same order."""
    return (*good(kind), *(path.read_bytes() for path in _of_kind(BROKEN, kind)))


@cache
def good(kind: str) -> tuple[bytes, ...]:
    """Those of them that hold no fault."""
    if kind == "ledger":
        return ledgers()
    found = [path.read_bytes() for path in _of_kind(DEMO, kind)]
    return (*found, *(text.encode() for each in _workspaces() for name, text in each.items() if name.startswith(kind)))


@cache
def patterns() -> dict[str, bytes]:
    """What the projects ask for: the pattern files by their names."""
    found = {path.stem: path.read_bytes() for path in _of_kind(DEMO, "patterns")} | {"skerry": SKERRY}
    for each in _workspaces():
        found |= {Path(name).stem: text.encode() for name, text in each.items() if name.startswith("patterns")}
    return found


def _of_kind(folder: Path, kind: str) -> list[Path]:
    return sorted(path for path in folder.rglob("*.yaml") if kind in {path.parent.name, path.stem})


@cache
def _workspaces() -> tuple[dict[str, str], ...]:
    """Whole workspaces, no two with a pattern of the same name."""
    cases = [yaml.safe_load(path.read_text(encoding="utf-8"))["files"] for path in sorted(CASES.glob("*.yaml"))]
    drawn = [to_yaml(readable(random_case(number))) for number in range(DRAWN)]
    made = [files(Asked(lots=12, patterns=6, sizes=3, seed=number, projects=5)) for number in range(3)]
    return tuple(_renamed(each, f"w{number}-") for number, each in enumerate([*cases, *drawn, *made]))


def _renamed(each: dict[str, str], before: str) -> dict[str, str]:
    return {
        name.replace("patterns/", f"patterns/{before}"): re.sub(r"\bmake: ", f"make: {before}", text)
        for name, text in each.items()
    }
