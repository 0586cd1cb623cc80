"""Pins from the command line: lots that a need keeps to, lots that a project does without."""

from __future__ import annotations

import difflib
from dataclasses import replace
from typing import TYPE_CHECKING

from patterns.projects import Pin
from planner.asking import AskError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from patterns.projects import Project
    from planner.workspace import Workspace


def pinned(workspace: Workspace, project: Project, only: Sequence[str], without: Sequence[str]) -> Project:
    """The project with more pins: `only` such as "motif=ochre" or "main=slate,pewter", `without` such as "slate".

    A need told twice may have the lots of both. Raises AskError for a need or a lot that is not there.
    """
    pins = dict(project.pins)
    needs = workspace.patterns[project.pattern].needs
    told: dict[str, frozenset[str]] = {}
    for text in only:
        need, _, lots = text.partition("=")
        _known("--only", need.strip(), needs, f"need of {project.pattern}")
        names = frozenset(_known("--only", lot.strip(), workspace.stash.lots, "lot") for lot in lots.split(","))
        told[need.strip()] = told.get(need.strip(), frozenset()) | names
    refused = frozenset(_known("--without", lot, workspace.stash.lots, "lot") for lot in without)
    for need in needs:
        own = pins.get(need, Pin())
        kept = told.get(need, own.only)
        pins[need] = Pin(kept, own.without | refused)
    return replace(project, pins=pins)


def _known(flag: str, name: str, names: Iterable[str], what: str) -> str:
    every = list(names)
    if name in every:
        return name
    near = difflib.get_close_matches(name, every, n=3)
    hint = f"did you mean {' or '.join(near)}?" if near else f"write {flag} as one of {', '.join(every[:12])}"
    raise AskError(f"{flag}: no {what} is called {name or 'nothing'}", hint)


def the_one(projects: Sequence[Project]) -> Project:
    """The single project asked for. Raises AskError for none or several."""
    if len(projects) != 1:
        names = ", ".join(project.name for project in projects[:6])
        raise AskError(
            "options are for one project at a time",
            f"name one of {names}{' and more' if len(projects) > 6 else ''}" if projects else "name it",
        )
    return projects[0]
