"""Keeping pages: where one may be written, how it is written, and what else is asked for it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from planner.asking import AskError, ask
from planner.pages.winding import AROUND
from planner.workers import StoppedError, share_out, workers
from planner.writing import create_file, unwritten
from stash.units import UnitError, read_length

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction
    from pathlib import Path

    from patterns.projects import Project
    from planner.answers import ProjectShortfall
    from planner.plan import Plan
    from planner.saved import Saved
    from planner.workers import Stop
    from planner.workspace import Workspace

ENDINGS = (".html", ".htm", ".xhtml")
MOST_SHORT = 10  # projects that are not made of which a page says what is missing
MOST_LOTS = 400  # of a stash where that is asked at all: it takes seconds a project
LEAST_AROUND, MOST_AROUND = "20 cm", "10 m"  # of a swift, a niddy-noddy or a hand and elbow


@dataclass(frozen=True)
class Kept:
    """What came of a wish for a page, in words; `failed`: it could not be written, and there is no file."""

    said: str = ""
    written: bool = False
    failed: bool = False


def check_file(flag: str, file: Path) -> None:
    """Raise AskError, before there is anything to show, where no page could be written into that file."""
    if file.suffix.lower() not in ENDINGS:
        raise AskError(f"{flag}: '{file}' does not end in .html", f"write a new name, such as {flag} {_ending(file)}")
    if os.path.lexists(file):
        raise AskError(f"{flag}: there is a '{file}' already, and nothing is written over", f"try {flag} {_free(file)}")
    if not file.parent.is_dir():
        raise AskError(f"{flag}: there is no folder '{file.parent}'", "write a new name in a folder that is there")


def keep(file: Path, page: str) -> Kept:
    """Write a page into a new file; what it was made from is good whether or not that can be done."""
    try:
        create_file(file, page.encode("utf-8"))
    except OSError as error:
        return Kept(unwritten("page was written", file, error), failed=True)
    return Kept(f"{file} was written", written=True)


def read_around(text: str | None) -> Fraction:
    """How far it is round the swift, in metres; None: as usual. Raises AskError."""
    if text is None:
        return AROUND
    try:
        metres = read_length(text).value
    except UnitError as error:
        raise AskError(f"--around {text}: {error}", error.hint) from error
    if not read_length(LEAST_AROUND).value <= metres <= read_length(MOST_AROUND).value:
        raise AskError(
            f"--around {text} is out of bounds", f"write {LEAST_AROUND} to {MOST_AROUND}, such as --around 1.5m"
        )
    return metres


def what_is_short(
    workspace: Workspace, plan: Plan, projects: Sequence[Project], stop: Stop
) -> tuple[ProjectShortfall, ...]:
    """What is missing for the first projects that are not made; nothing where there is too much, or `stop` is set."""
    missed = {project.project for project in plan.projects if not project.made}
    asked = [project for project in projects if project.name in missed][:MOST_SHORT]
    if not asked or len(workspace.stash.lots) > MOST_LOTS or stop.is_set():
        return ()
    from planner.shortfall import shortfall  # noqa: PLC0415 (heavy, and seldom needed)

    try:
        with workers(hands=1) as crew:
            return share_out(crew, partial(shortfall, workspace, confidence=plan.confidence), asked, stop)
    except StoppedError:
        return ()


def asked_again(workspace: Workspace, plan: Plan) -> tuple[Project, ...]:
    """The projects of a plan as the files have them now; those that are there no more are left out."""
    found: list[Project] = []
    for project in plan.projects:
        try:
            found += ask(workspace, (project.project,), every_size=False)
        except AskError:
            continue
    return tuple(found)


def told_instead(saved: Saved) -> list[str]:
    """What its file says is to be left out for a project that is not made, in words."""
    return [
        words
        for project in saved.document["projects"]
        for one in _rows(project.get("changes"))
        if isinstance(words := one.get("change"), str)
    ]


def _rows(found: object) -> list[dict[str, Any]]:
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _ending(file: Path) -> str:
    return f"{file.stem or 'plan'}.html"


def _free(file: Path) -> Path:
    number = 2
    while os.path.lexists(file.with_stem(f"{file.stem}-{number}")):
        number += 1
    return file.with_stem(f"{file.stem}-{number}")
