"""The rooms of the house whose tests are weighed: what is in each, and the tests that look at it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Room:
    """Modules as patterns below the root; `tests`: folders and files."""

    modules: tuple[str, ...]
    tests: tuple[str, ...]

    def files(self) -> list[Path]:
        return sorted(path for pattern in self.modules for path in ROOT.glob(pattern) if path.name != "__init__.py")


READERS = (
    "tests/test_broken.py",
    "tests/fuzz/test_corpus.py",
    *(f"tests/stash/test_{name}.py" for name in ("source", "read", "donors", "samples", "pieces", "units", "count")),
    "tests/patterns",
)
ROOMS = {
    "units": Room(
        ("stash/units.py",), ("tests/stash/test_units.py", "tests/stash/test_count.py", "tests/test_broken.py")
    ),
    "verifying": Room(
        ("planner/verify/*.py",),
        tuple(f"tests/planner/test_verify{part}.py" for part in ("", "_broken", "_limits", "_naming", "_totals")),
    ),
    "reading": Room(
        (
            *(
                f"stash/{name}.py"
                for name in ("source", "nodes", "fields", "kinds", "read", "skeins", "samples", "donors")
            ),
            "patterns/read*.py",
            "planner/workspace.py",
        ),
        (*READERS, "tests/planner/test_workspace.py"),
    ),
    "writing": Room(("planner/writing.py",), ("tests/planner/test_writing.py",)),
    "ledger": Room(("planner/ledger/*.py",), ("tests/planner/ledger", "tests/test_broken.py")),
}
