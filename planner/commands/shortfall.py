"""`lotwise shortfall`: what is missing, what to look for, what to change."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Cluster, Confidence, Folder, Projects, ShowUnits, Units

AsList = Annotated[
    bool, typer.Option("--list", help="One page for the rack: the few finds that would make most projects enough.")
]


def shortfall(
    projects: Projects = None,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_list: AsList = False,
    cluster: Cluster = None,
    as_json: AsJson = False,
) -> None:
    """What is missing? What to look for, why near lots do not serve, and what to change.

    PROJECT is a name from projects.yaml, a pattern, or PATTERN:SIZE; without one, all are asked.
    """
    from planner.commands.endings import finish

    names = tuple(projects or ())
    if as_list:
        finish(lambda: answer_list(workspace, names, units, confidence, cluster, as_json=as_json), as_json=as_json)
        return
    finish(lambda: answer_shortfall(workspace, names, units, confidence, cluster, as_json=as_json), as_json=as_json)


def answer_shortfall(
    folder: Path,
    names: tuple[str, ...],
    units: Units,
    confidence: str | None,
    cluster: str | None = None,
    *,
    as_json: bool,
) -> Answer:
    from functools import partial

    from planner import shortfall as shortfalls
    from planner.asking import ask, read_confidence
    from planner.commands.cover import ending_of
    from planner.commands.reading import read_workspace, tell_decided
    from planner.show.progress import Progress
    from planner.workers import share_out, workers

    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    projects = ask(workspace, names, every_size=False)
    tell_decided(workspace, names)
    with Progress(), workers(cluster, hands=1) as crew:
        answers = share_out(crew, partial(shortfalls.shortfall, workspace, confidence=sure), projects)
    ending = ending_of([answer.verdict for answer in answers])
    if as_json:
        from planner.show.documents import shortfall_document, write

        return Answer(write(shortfall_document(answers, sure)), ending)
    from planner.show.shortfall import shortfall_text
    from planner.show.swatches import screen

    return Answer(shortfall_text(answers, screen(units.value)), ending)


def answer_list(
    folder: Path,
    names: tuple[str, ...],
    units: Units,
    confidence: str | None,
    cluster: str | None = None,
    *,
    as_json: bool,
) -> Answer:
    from functools import partial

    from planner.answers import ENOUGH, SHORT, UNDECIDED
    from planner.asking import AskError, ask, read_confidence
    from planner.commands.cover import ending_of
    from planner.commands.reading import read_workspace, tell_decided
    from planner.racklist.listing import rack_list
    from planner.show.progress import Progress
    from planner.workers import gather, workers

    if cluster is not None:
        raise AskError("each try for the list builds on those before it", "leave --cluster or --list out")
    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    projects = ask(workspace, names, every_size=False)
    tell_decided(workspace, names)
    with Progress(), workers(hands=1) as crew:
        (found,) = gather(crew, partial(rack_list, workspace, confidence=sure), [projects])
    ending = ending_of([SHORT if found.short else UNDECIDED if found.undecided else ENOUGH])
    if as_json:
        from planner.show.documents import write
        from planner.show.racklistdocument import rack_list_document

        return Answer(write(rack_list_document(found, sure)), ending)
    from planner.show.racklist import rack_list_text
    from planner.show.swatches import screen

    return Answer(rack_list_text(found, sure, screen(units.value)), ending)
