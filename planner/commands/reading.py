"""Reading a workspace for a command that answers, its warnings told beside the answer."""

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.shared import Answer, Ending, Units
from planner.telling import tell

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
        tell(above + show_faults(workspace.warnings).rstrip("\n") + "\n")
    return workspace


def tidy(folder: Path) -> None:
    """Discard what runs left half written in the folders of a workspace."""
    from planner.writing import tidy as tidy_folder

    for one in (folder, *(folder / name for name in ("stash", "patterns", "plans"))):
        with suppress(OSError):  # a folder that is not there, or that cannot be read, has nothing of ours
            tidy_folder(one)


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
            tell(fold(f"Not asked, since {said} already: {shown}."))


def written(booked: "Booked", units: Units, *, as_json: bool) -> Answer:
    """The answer of a command that has added to the ledger."""
    changed = f"revision {booked.entry.revision} was written"
    if as_json:
        from planner.show.documents import write
        from planner.show.ledgerdocument import entry_document

        return Answer(write({"format": "lotwise/entry-1", **entry_document(booked.entry)}), Ending.DONE, changed)
    from planner.show.ledger import step_text

    return Answer(step_text(booked, units.value), Ending.DONE, changed)
