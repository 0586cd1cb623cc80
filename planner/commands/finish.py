"""`lotwise finish`: a project is made, its yarn is used."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Folder, ShowUnits, Texts, Units, Why, flag

ProjectName = Annotated[str, typer.Argument(metavar="PROJECT", hidden=True, show_default=False)]
Left = Annotated[Texts, flag("--left", "SKEIN=MASS", "What a whole skein weighs now: heron-1=34g. Give each once.")]


def finish(
    project: ProjectName,
    left: Left = None,
    why: Why = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """A project is made: what was set aside for it is used.

    With --left for each of its skeins the rest is known from the scale, and so is how thick the yarn really is.
    """
    from planner.commands.endings import finish as end

    end(
        lambda: answer_finish(workspace, project, tuple(left or ()), why or "", units, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_finish(
    folder: Path, project: str, left: tuple[str, ...], why: str, units: Units, *, as_json: bool
) -> Answer:
    from planner.commands.reading import read_workspace, written
    from planner.ledger.finishing import finish as write

    return written(
        write(folder, read_workspace, project, left, why),
        units,
        as_json=as_json,
    )
