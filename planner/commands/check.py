"""`lotwise check`: every fault in the files."""

from pathlib import Path

from planner.commands.shared import HERE, Answer, AsJson, Ending, Folder, ShowUnits, Units


def check(
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,  # noqa: ARG001 - every command takes it; faults show what the user wrote
    as_json: AsJson = False,
) -> None:
    """Are my files in order? Every fault, with its place, your own line and what to write instead."""
    from planner.commands.endings import finish

    finish(lambda: answer_check(workspace, as_json=as_json), as_json=as_json)


def answer_check(folder: Path, *, as_json: bool) -> Answer:
    from planner.checking import run_check

    text, code = run_check(folder, as_json=as_json)
    return Answer(text, Ending(code))
