"""`lotwise midway`: will it reach, from what is left on the scale."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import (
    HERE,
    Answer,
    AsJson,
    Confidence,
    DryRun,
    Ending,
    Folder,
    Given,
    PageFile,
    ShowUnits,
    Text,
    Texts,
    Units,
    flag,
)


def midway(
    project: Annotated[str | None, typer.Argument(metavar="PROJECT", hidden=True, show_default=False)] = None,
    need: Annotated[Text, flag("--need", "NEED", "The need on the needles, such as main.")] = None,
    part: Annotated[Text, flag("--part", "PART", "Its part, such as body. Without it: the whole need.")] = None,
    done: Annotated[Text, flag("--done", "SHARE", "How much of it is done, such as 60%.")] = None,
    rows: Annotated[Text, flag("--rows", "ROW of ROWS", 'Surer: the row you are on, such as "90 of 150".')] = None,
    widths: Annotated[
        Text, flag("--widths", "WIDTHS", 'With --rows, at the start, now and the end: "50 cm, 45 cm, 40 cm".')
    ] = None,
    left: Annotated[Texts, flag("--left", "LOT=MASS", 'What is left: slate=62g, or "slate=62g in 2 pieces".')] = None,
    began: Annotated[
        Texts, flag("--began", "LOT=MASS", "What the part was begun with. Without it: all the files hold.")
    ] = None,
    scale: Annotated[Text, flag("--scale", "MASS", "The scale's steps. Without it: the last digit written.")] = None,
    how: Annotated[Text, flag("--how", "alternate|together|stranded", "How several lots are used.")] = None,
    serves: Annotated[Texts, flag("--serves", "LOT=NEED", "Stranded: the lot of another need: cream=motif.")] = None,
    strands: Annotated[
        Text, flag("--strands", "NUMBER", "Strands of each lot. Without it: as few as suit the need.")
    ] = None,
    hides: Annotated[Texts, flag("--hides", "ROW WORDS", 'Where a change hides: "112 under the arm".')] = None,
    finished: Annotated[Texts, flag("--finished", "PART", "A part or a need that is knitted already.")] = None,
    page: PageFile = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """Will it reach? From what is left on the scale and how much is done; asks when no flag is given.

    PROJECT is the one on the needles, such as hat:adult. Flags for lots may be given more than once.
    """
    from planner.commands.endings import finish

    given: Given = {"--need": need, "--part": part, "--done": done, "--rows": rows, "--widths": widths}
    given |= {"--left": left, "--began": began, "--scale": scale, "--how": how, "--serves": serves}
    given |= {"--strands": strands, "--hides": hides, "--finished": finished}
    finish(
        lambda: answer_midway(workspace, project, given, units, confidence, page, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_midway(
    folder: Path,
    project: str | None,
    given: Given,
    units: Units,
    confidence: str | None,
    page: Path | None = None,
    *,
    as_json: bool,
) -> Answer:
    from planner.asking import read_confidence
    from planner.commands.reading import read_workspace
    from planner.midway.answering import YES
    from planner.midway.answering import midway as answer
    from planner.midway.asking import ask_midway

    if page is not None:
        from planner.pages.keeping import check_file

        check_file("--page", page)
    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    found = answer(workspace, ask_midway(workspace, project, given), sure)
    ending = Ending.DONE if found.verdict == YES else Ending.NOT_ALL
    if page is not None:
        from planner.commands.pagefiles import write_beside
        from planner.pages.midway import midway_page

        return write_beside(page, midway_page(found, units.value), ending, as_json=as_json)
    if as_json:
        from planner.show.documents import write
        from planner.show.midwaydocument import midway_document

        return Answer(write(midway_document(found)), ending)
    from planner.show.midway import midway_text
    from planner.show.swatches import screen

    return Answer(midway_text(found, screen(units.value)), ending)
