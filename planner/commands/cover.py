"""`lotwise cover`: which projects the stash can cover."""

from collections.abc import Sequence
from pathlib import Path

from planner.commands.shared import (
    HERE,
    Answer,
    AsJson,
    Cluster,
    Confidence,
    Ending,
    Folder,
    Projects,
    ShowUnits,
    Units,
)


def cover(
    projects: Projects = None,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    cluster: Cluster = None,
    as_json: AsJson = False,
) -> None:
    """Which projects can the stash cover? Each is asked alone, against everything you have.

    PROJECT is a name from projects.yaml, a pattern, or PATTERN:SIZE; without one, all are asked.
    """
    from planner.commands.endings import finish

    names = tuple(projects or ())
    finish(lambda: answer_cover(workspace, names, units, confidence, cluster, as_json=as_json), as_json=as_json)


def answer_cover(
    folder: Path,
    names: tuple[str, ...],
    units: Units,
    confidence: str | None,
    cluster: str | None = None,
    *,
    as_json: bool,
) -> Answer:
    from functools import partial

    from planner import covering
    from planner.asking import ask, read_confidence
    from planner.commands.reading import read_workspace, tell_decided
    from planner.show.cover import best_verdicts, cover_text
    from planner.show.progress import Progress
    from planner.workers import share_out, workers

    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    projects = ask(workspace, names, every_size=True)
    tell_decided(workspace, names)
    with Progress(), workers(cluster) as crew:
        if cluster:
            rows = share_out(crew, partial(covering.cover, workspace, confidence=sure), projects)
        else:
            rows = covering.cover(workspace, projects, sure, crew)
    ending = ending_of(list(best_verdicts(rows).values()))
    if as_json:
        from planner.show.documents import cover_document, write

        return Answer(write(cover_document(rows, sure, workspace.stash)), ending)
    from planner.show.swatches import screen

    return Answer(cover_text(rows, screen(units.value)), ending)


def ending_of(verdicts: Sequence[str]) -> Ending:
    """A project known to fail weighs more than one that is not settled."""
    from planner.answers import ENOUGH, UNDECIDED

    if all(verdict == ENOUGH for verdict in verdicts):
        return Ending.DONE
    return Ending.UNDECIDED if set(verdicts) <= {ENOUGH, UNDECIDED} else Ending.NOT_ALL
