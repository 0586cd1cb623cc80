"""What `check` answers: every fault in a workspace's files, or that there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.faultprint import show_faults
from planner.show.documents import error_document, write
from planner.workspace import Workspace, load_workspace
from stash.faults import FaultyFilesError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from stash.faults import Fault

FAULTS = 3  # the exit code
WRONG, HINT = "there are faults in the files", "put them right, then check again"


def run_check(folder: Path, *, as_json: bool) -> tuple[str, int]:
    """What is said, and the exit code: 0, or 3 with faults. Raises OSError where a file cannot be read."""
    try:
        workspace = load_workspace(folder)
    except FaultyFilesError as error:
        return (write(error_document(WRONG, HINT, error.faults)) if as_json else _told(error.faults)), FAULTS
    if as_json:
        return write(check_document(workspace)), 0
    warnings = f"{show_faults(workspace.warnings)}\n" if workspace.warnings else ""
    return f"{warnings}{_good(workspace)}\n", 0


def _told(faults: Sequence[Fault]) -> str:
    wrong = sum(not fault.warning for fault in faults)
    odd = len(faults) - wrong
    tail = f", {_count(odd, 'warning')}" if odd else ""
    return f"{show_faults(faults)}\n{_count(wrong, 'fault')}{tail}\n"


def _good(workspace: Workspace) -> str:
    """Tell what is there, so that a file that was overlooked is missed."""
    counts = ", ".join(_count(number, word) for word, number in count_all(workspace).items())
    warnings = f", {_count(len(workspace.warnings), 'warning')}" if workspace.warnings else ""
    return f"no faults{warnings}: {counts}"


def _count(number: int, word: str) -> str:
    return f"{number:,} {word}" + ("" if number == 1 else "s")


def count_all(workspace: Workspace) -> dict[str, int]:
    """How many there are of what the files hold."""
    lots = workspace.stash.lots.values()
    return {
        "donor": len(workspace.stash.donors),
        "lot": len(lots),
        "skein": sum(len(lot.skeins) for lot in lots),
        "pattern": len(workspace.patterns),
        "project": len(workspace.projects.projects or ()),
    }


def check_document(workspace: Workspace) -> dict[str, Any]:
    counts = {f"{word}s": number for word, number in count_all(workspace).items()}
    return {"format": "lotwise/check-1", **counts, "warnings": error_document("", "", workspace.warnings)["faults"]}
