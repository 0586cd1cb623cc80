"""`lotwise check`: every fault in the files, or whether the solver is to be trusted."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Ending, Folder, ShowUnits, Units

Solver = Annotated[
    bool, typer.Option("--solver", help="Whether the solver on this machine can be trusted; no files are read.")
]


def check(
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,  # noqa: ARG001 - every command takes it; faults show what the user wrote
    solver: Solver = False,
    as_json: AsJson = False,
) -> None:
    """Are my files in order? Every fault, with its place, your own line and what to write instead."""
    from planner.commands.endings import finish

    finish(
        lambda: answer_solver(as_json=as_json) if solver else answer_check(workspace, as_json=as_json),
        as_json=as_json,
    )


def answer_check(folder: Path, *, as_json: bool) -> Answer:
    from planner.checking import run_check
    from planner.commands.reading import tidy

    tidy(folder)
    text, code = run_check(folder, as_json=as_json)
    return Answer(text, Ending(code))


def answer_solver(*, as_json: bool) -> Answer:
    from planner.canaries import try_solver
    from planner.highs import versions
    from planner.show.canaries import solver_document, solver_text

    tried = tuple(try_solver())
    ending = Ending.DONE if all(one.passed for one in tried) else Ending.OURS
    if as_json:
        from planner.show.documents import write

        return Answer(write(solver_document(tried, versions())), ending)
    return Answer(solver_text(tried, versions()), ending)
