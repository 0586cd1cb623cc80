"""Reading a workspace for a command that answers, its warnings told beside the answer."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.workspace import Workspace


def read_workspace(folder: Path) -> "Workspace":
    """The workspace in `folder`; raises FaultyFilesError on any fault, OSError when a file cannot be read."""
    from planner.faultprint import show_faults
    from planner.workspace import load_workspace

    workspace = load_workspace(folder)
    if workspace.warnings:
        sys.stderr.write(show_faults(workspace.warnings).rstrip("\n") + "\n\n")
    return workspace
