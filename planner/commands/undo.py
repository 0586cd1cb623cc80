"""`lotwise undo`: take back the last step."""

from pathlib import Path

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Folder, ShowUnits, Units, Why


def undo(
    why: Why = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """Take back the last step that counts: a booking, a finish or a release. Again takes back the one before."""
    from planner.commands.endings import finish

    finish(
        lambda: answer_undo(workspace, why or "", units, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_undo(folder: Path, why: str, units: Units, *, as_json: bool) -> Answer:
    from planner.commands.reading import tidy, written
    from planner.ledger.booking import undo as write

    tidy(folder)
    return written(write(folder, why), units, as_json=as_json)
