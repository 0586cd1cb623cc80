"""`lotwise lots`: what I have."""

from pathlib import Path

from planner.commands.shared import HERE, Answer, AsJson, Confidence, Ending, Folder, ShowUnits, Units


def lots(
    workspace: Folder = HERE, units: ShowUnits = Units.METRIC, confidence: Confidence = None, as_json: AsJson = False
) -> None:
    """What do I have? Each lot's colour, thickness, metres and grams, and what is free."""
    from planner.commands.endings import finish

    finish(lambda: answer_lots(workspace, units, confidence, as_json=as_json), as_json=as_json)


def answer_lots(folder: Path, units: Units, confidence: str | None, *, as_json: bool) -> Answer:
    from planner.asking import read_confidence
    from planner.commands.reading import read_workspace

    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    if as_json:
        from planner.show.documents import lots_document, write

        return Answer(write(lots_document(workspace.owned, workspace.stash, sure)), Ending.DONE)
    from planner.show.lots import lots_text
    from planner.show.swatches import screen

    return Answer(lots_text(workspace.owned, workspace.stash, sure, screen(units.value)), Ending.DONE)
