"""Drawing the charts and stripes of a plan into an image file of its own."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

from planner.asking import AskError
from planner.show.chartkey import chart_of, stripes_of
from planner.show.chartsvg import chart_drawing
from planner.show.stripessvg import stripes_drawing
from planner.show.svg import Drawing as Picture
from planner.show.svg import image
from planner.writing import create_file, unwritten

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from patterns.projects import Project
    from planner.plan import Plan, PlannedProject
    from planner.workspace import Workspace

EXAMPLE = "write a new name in a folder that is there, such as --chart hat.svg"


def check_file(file: Path, projects: Sequence[Project], workspace: Workspace) -> None:
    """Raise AskError, before there is anything to draw, where nothing could be drawn into that file."""
    if file.suffix.lower() != ".svg":
        raise AskError(f"--chart: '{file}' does not end in .svg", EXAMPLE)
    if os.path.lexists(file):
        raise AskError(f"--chart: there is a '{file}' already, and nothing is written over", EXAMPLE)
    if not file.parent.is_dir():
        raise AskError(f"--chart: there is no folder '{file.parent}'", EXAMPLE)
    patterns = [workspace.patterns[project.pattern] for project in projects]
    if all(pattern.chart is None and pattern.stripes is None for pattern in patterns):
        raise AskError(
            "--chart: nothing that is asked has a chart or stripes in its pattern",
            'a chart is written as chart: {legend: {".": main, "x": motif}, rows: ["x..", ".x."]}',
        )


def refuse_with_options() -> NoReturn:
    """Raise AskError: a chart is drawn of one plan."""
    raise AskError(
        "--chart draws one plan, and --options or --lean ask for several",
        "choose among them first; then --only NEED=LOT with --chart draws the one you like",
    )


@dataclass(frozen=True)
class Drawing:
    """What came of a wish for an image, in words; `failed`: it could not be written, and there is no file."""

    said: str = ""
    written: bool = False
    failed: bool = False


def draw(plan: Plan, workspace: Workspace, file: Path | None) -> Drawing:
    """Draw the charts of what is made into a new file. The plan is good whether or not that can be written."""
    if file is None:
        return Drawing()
    found = [drawing for project in plan.projects for drawing in _drawings(project, workspace)]
    if not found:
        return Drawing("No chart was drawn, since nothing with a chart or stripes is made")
    try:
        create_file(file, image(found).encode("utf-8"))
    except OSError as error:
        return Drawing(unwritten("chart was drawn", file, error), failed=True)
    return Drawing(f"{file} was written", written=True)


def _drawings(project: PlannedProject, workspace: Workspace) -> Iterator[Picture]:
    if (chart := chart_of(project, workspace)) is not None:
        yield chart_drawing(chart)
    if (stripes := stripes_of(project, workspace)) is not None:
        yield stripes_drawing(stripes)
