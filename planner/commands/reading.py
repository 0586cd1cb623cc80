"""Reading a workspace for a command that answers, its warnings told beside the answer."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.shared import Answer, Ending, Units

if TYPE_CHECKING:
    from planner.ledger.booking import Booked
    from planner.workspace import Workspace


def read_workspace(folder: Path, heading: str = "") -> "Workspace":
    """The workspace in `folder`; raises FaultyFilesError on any fault, OSError when a file cannot be read.

    `heading`: said before its warnings.
    """
    from planner.faultprint import show_faults
    from planner.workspace import load_workspace

    tidy(folder)
    workspace = load_workspace(folder)
    if workspace.warnings:
        above = f"{heading}\n" if heading else ""
        sys.stderr.write(above + show_faults(workspace.warnings).rstrip("\n") + "\n\n")
    return workspace


def tidy(folder: Path) -> None:
    """Discard what runs left half written that were stopped, and say so beside the answer."""
    from planner.faultprint import safe_text
    from planner.halves import discard_leftovers

    for one in (folder, *(folder / name for name in ("stash", "patterns", "plans"))):
        try:
            gone = discard_leftovers(one) if one.is_dir() else ()
        except OSError:
            continue  # a folder that cannot be written in has nothing of ours
        for name in gone:
            sys.stderr.write(f"lotwise: discarded {safe_text(name)}, left half written by a run that was stopped\n")


def tell_decided(workspace: "Workspace", names: Sequence[str]) -> None:
    """Say beside the answer which projects were not asked, since their yarn is set aside or used already."""
    from planner.asking import decided
    from planner.faultprint import safe_text
    from planner.show.tables import fold
    from planner.show.words import listing

    aside, finished = decided(workspace) if not names else ((), ())
    for found, said in ((aside, "set aside"), (finished, "finished")):
        if found:
            shown = listing([safe_text(name) for name in found[:8]] + ([f"{len(found) - 8} more"] if found[8:] else []))
            sys.stderr.write(fold(f"Not asked, since {said} already: {shown}.") + "\n")


def written(booked: "Booked", units: Units, *, as_json: bool) -> Answer:
    """The answer of a command that has added to the ledger."""
    changed = f"revision {booked.entry.revision} was written"
    if as_json:
        from planner.show.documents import write
        from planner.show.ledgerdocument import entry_document

        return Answer(write({"format": "lotwise/entry-1", **entry_document(booked.entry)}), Ending.DONE, changed)
    from planner.show.ledger import step_text

    return Answer(step_text(booked, units.value), Ending.DONE, changed)
