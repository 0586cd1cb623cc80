"""`lotwise release`: give back what is set aside."""

from pathlib import Path

from planner.commands.finish import ProjectName
from planner.commands.shared import HERE, Answer, AsJson, DryRun, Folder, ShowUnits, Units, Why


def release(
    project: ProjectName,
    why: Why = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """Give back what is set aside for a project: its yarn is free again."""
    from planner.commands.endings import finish

    finish(
        lambda: answer_release(workspace, project, why or "", units, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_release(folder: Path, project: str, why: str, units: Units, *, as_json: bool) -> Answer:
    from planner.commands.reading import tidy, written
    from planner.ledger.booking import release as write

    tidy(folder)
    return written(write(folder, project, why), units, as_json=as_json)
