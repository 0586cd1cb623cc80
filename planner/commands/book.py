"""`lotwise book`: set a plan's yarn aside, or take it off."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Folder, ShowUnits, Units, Why

PlanName = Annotated[str, typer.Argument(metavar="PLAN", hidden=True, show_default=False)]
Projects = Annotated[list[str] | None, typer.Argument(metavar="[PROJECT]...", hidden=True, show_default=False)]
Used = Annotated[bool, typer.Option("--used", help="The yarn is used already: take it off instead.")]


def book(
    plan: PlanName,
    projects: Projects = None,
    used: Used = False,
    why: Why = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """Set a plan's yarn aside, so that nothing else is planned with it.

    PLAN is the name it was saved under; PROJECTs keep to some of those it makes. The plan is checked once more first.
    """
    from planner.commands.endings import finish

    names = tuple(projects or ())
    finish(
        lambda: answer_book(workspace, plan, names, why or "", units, used=used, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_book(
    folder: Path, plan: str, names: tuple[str, ...], why: str, units: Units, *, used: bool, as_json: bool
) -> Answer:
    from planner.commands.reading import read_workspace, written
    from planner.ledger.booking import book as write

    return written(
        write(folder, read_workspace, plan, names, used=used, why=why),
        units,
        as_json=as_json,
    )
