"""`lotwise card`: what to look for at the rack, to fold into a pocket or to read on a phone."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Confidence, DryRun, Ending, Folder, Projects, ShowUnits, Units
from planner.commands.tags import OnPaper, PaperName

Out = Annotated[Path, typer.Option("--out", metavar="FILE.html", help="The new file to write.")]


def card(
    projects: Projects = None,
    out: Out = Path("card.html"),
    paper: OnPaper = PaperName.A4,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """A card for the rack: what to look for, how seams look, what labels say, from grams to metres.

    PROJECT is as for shortfall --list. The file is one sheet to fold, and a page for a phone that needs no network.
    """
    from planner.commands.endings import finish

    names = tuple(projects or ())
    finish(
        lambda: answer_card(workspace, names, out, paper, units, confidence, as_json=as_json),
        as_json=as_json,
        dry_run=dry_run,
    )


def answer_card(
    folder: Path,
    names: tuple[str, ...],
    out: Path,
    paper: PaperName,
    units: Units,
    confidence: str | None,
    *,
    as_json: bool,
) -> Answer:
    from functools import partial

    from planner.asking import ask, read_confidence
    from planner.commands.reading import read_workspace, tell_decided
    from planner.faultprint import safe_text
    from planner.pages import keeping
    from planner.pages.card import card_page
    from planner.pages.grids import PAPERS
    from planner.racklist.listing import rack_list
    from planner.show.documents import write
    from planner.show.progress import Progress
    from planner.workers import gather, workers
    from planner.writing import create_file

    keeping.check_file("--out", out)
    workspace = read_workspace(folder)
    sure = read_confidence(confidence, workspace.projects.confidence)
    asked = ask(workspace, names, every_size=False)
    tell_decided(workspace, names)
    with Progress(), workers(hands=1) as crew:
        (found,) = gather(crew, partial(rack_list, workspace, confidence=sure), [asked])
    page = card_page(found, sure, PAPERS[paper.value], units.value)
    create_file(out, page.encode("utf-8"))
    changed = f"{out} was written"
    if as_json:
        document = {"format": "lotwise/card-1", "file": str(out), "finds": len(found.finds)}
        return Answer(write(document), Ending.DONE, changed)
    return Answer(f"{safe_text(changed)}. Open it on a phone, or print it at 100 % and fold it.", Ending.DONE, changed)
