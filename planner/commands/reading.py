"""Reading a workspace for a command that answers, its warnings told beside the answer."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.workspace import Workspace


def read_workspace(folder: Path, heading: str = "") -> "Workspace":
    """The workspace in `folder`; raises FaultyFilesError on any fault, OSError when a file cannot be read.

    `heading`: said before its warnings.
    """
    from planner.faultprint import show_faults
    from planner.workspace import load_workspace

    workspace = load_workspace(folder)
    if workspace.warnings:
        above = f"{heading}\n" if heading else ""
        sys.stderr.write(above + show_faults(workspace.warnings).rstrip("\n") + "\n\n")
    return workspace
