"""`lotwise tags`: skein tags to print."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Confidence, DryRun, Ending, Folder, ShowUnits, Units


class PaperName(StrEnum):
    """What is printed on."""

    A4 = "a4"
    LETTER = "letter"


class TagSize(StrEnum):
    """How large a tag is."""

    SMALL = "small"
    MEDIUM = "medium"
    LARGE = "large"


Lots = Annotated[list[str] | None, typer.Argument(metavar="LOT", hidden=True, show_default=False)]
Out = Annotated[Path, typer.Option("--out", metavar="FILE.html", help="The new file to write.")]
OnPaper = Annotated[PaperName, typer.Option("--paper", metavar="a4|letter", help="What it is printed on.")]
Size = Annotated[
    TagSize,
    typer.Option("--size", metavar="small|medium|large", help="24, 18 or 8 on a sheet of A4; Letter 21, 15, 8."),
]


def tags(
    lots: Lots = None,
    out: Out = Path("tags.html"),
    paper: OnPaper = PaperName.A4,
    size: Size = TagSize.MEDIUM,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """A tag for every skein that is left: id, colour, metres and grams, care, what it is set aside for.

    LOT is the name of a lot; without one, all are tagged. Print the page from any browser and cut along its marks.
    """
    from planner.commands.endings import finish

    names = tuple(lots or ())
    finish(
        lambda: answer_tags(workspace, names, out, paper, size, units, confidence, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_tags(
    folder: Path,
    names: tuple[str, ...],
    out: Path,
    paper: PaperName,
    size: TagSize,
    units: Units,
    confidence: str | None,
    *,
    as_json: bool,
) -> Answer:
    from planner.asking import read_confidence
    from planner.commands.reading import read_workspace
    from planner.faultprint import safe_text
    from planner.pages import keeping
    from planner.pages.grids import GRIDS
    from planner.pages.tags import tags_page
    from planner.show.documents import write
    from planner.show.words import counted
    from planner.writing import create_file

    keeping.check_file("--out", out)
    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    page, number = tags_page(workspace, names, GRIDS[paper.value, size.value], sure, units.value)
    create_file(out, page.encode("utf-8"))
    changed = f"{out} was written"
    if as_json:
        document = {"format": "lotwise/tags-1", "file": str(out), "tags": number}
        return Answer(write(document), Ending.DONE, changed)
    said = f"{safe_text(changed)}: {counted(number, 'tag')}. Open it in a browser, and print it at 100 %."
    return Answer(said, Ending.DONE, changed)
