"""`lotwise plan --each`: a plan for each of several folders."""

import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.shared import HERE, Answer, Ending, Units
from planner.commands.wishes import Wish
from planner.telling import tell

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.folders import Outcome, Question

    Planned = tuple[Question, Outcome] | Exception

# From best to worst; a project known to fail weighs more than one that is not settled, as everywhere.
WORSE = (Ending.DONE, Ending.UNDECIDED, Ending.NOT_ALL, Ending.USAGE, Ending.FAULTS, Ending.FILE, Ending.OURS)


def answer_each(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    """The folders stand where else the projects do."""
    from patterns.read_projects import CONFIDENCE
    from planner.asking import read_confidence
    from planner.commands.plan import ending_of, read_limits

    _refuse_what_is_for_one(folder, wish)
    limits = read_limits(wish)
    read_confidence(wish.confidence, CONFIDENCE)  # a wrong one is told once, not for every folder
    whole = replace(wish, names=())  # of each folder all projects are asked
    every = _planned([_read(name, whole, limits) for name in wish.names], wish.cluster)
    endings = [_ending_of_none(one) if isinstance(one, Exception) else ending_of(one[1]) for one in every]
    worst = max(endings, key=WORSE.index)
    told = list(zip(wish.names, every, strict=True))
    if as_json:
        from planner.show.documents import write

        rows = [_row(name, one) for name, one in told]
        return Answer(write({"format": "lotwise/plans-1", "folders": rows}), worst)
    return Answer("\n\n\n".join(_section(name, one, units) for name, one in told), worst)


def _refuse_what_is_for_one(workspace: Path, wish: Wish) -> None:
    from planner.asking import AskError

    if not wish.names:
        raise AskError("--each needs folders", "name them: lotwise plan --each FOLDER FOLDER")
    if workspace != HERE:
        raise AskError("--each names the folders itself", "leave --workspace out")
    for flag, given in {
        "--chart": wish.chart,
        "--report": wish.report,
        "--around": wish.around,
        "--options": wish.options,
        "--lean": wish.lean,
    }.items():
        if given is not None:
            raise AskError(f"{flag} is for one folder", f"leave out --each or {flag}")


def _read(folder: str, wish: Wish, limits: "tuple[Fraction, float | None]") -> "Question | Exception":
    from planner.commands.plan import question_of
    from planner.commands.reading import read_workspace

    try:
        return question_of(read_workspace(Path(folder), heading=_heading(folder)), wish, limits)
    except Exception as error:  # noqa: BLE001 (told under the folder's heading)
        return error


def _planned(asked: "list[Question | Exception]", cluster: str | None) -> "list[Planned]":
    from planner.commands.interrupting import stop_on_interrupt
    from planner.folders import attempted
    from planner.show.progress import Progress
    from planner.workers import gather, workers

    questions = [one for one in asked if not isinstance(one, Exception)]
    with Progress(interruptible=True), stop_on_interrupt() as stop, workers(cluster) as crew:
        found = iter(gather(crew, attempted, questions, stop))
    return [one if isinstance(one, Exception) else _both(one, next(found)) for one in asked]


def _both(question: "Question", outcome: "Outcome | Exception") -> "Planned":
    return outcome if isinstance(outcome, Exception) else (question, outcome)


def _section(folder: str, planned: "Planned", units: Units) -> str:
    """The plan under the folder's heading; where there is none, why not, in full on the error stream."""
    if isinstance(planned, Exception):
        from planner.commands.endings import explain

        tell(_heading(folder))
        explain(planned, as_json=False)
        return f"{_heading(folder)}\n\nNo plan: {_refusal(planned)['message']}."
    from planner.show.plan import plan_text
    from planner.show.swatches import screen

    question, outcome = planned
    return f"{_heading(folder)}\n\n{plan_text(outcome.plan, question.workspace, screen(units.value), outcome.instead)}"


def _row(folder: str, planned: "Planned") -> dict[str, Any]:
    if isinstance(planned, Exception):
        return {"folder": folder, "plan": None, "error": _refusal(planned)}
    from planner.show.plandocument import plan_document

    question, outcome = planned
    document = plan_document(outcome.plan, question.workspace, outcome.instead)
    return {"folder": folder, "plan": document, "error": None}


def _refusal(error: Exception) -> dict[str, Any]:
    """What is said of an error, as a document."""
    from planner.commands.endings import explain

    document: dict[str, Any] = json.loads(explain(error, as_json=True).text)
    return document


def _ending_of_none(error: Exception) -> Ending:
    from planner.commands.endings import explain

    return explain(error, as_json=True).ending


def _heading(folder: str) -> str:
    from planner.faultprint import safe_text

    return f"In {safe_text(folder)}:"
