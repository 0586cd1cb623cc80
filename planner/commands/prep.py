"""`lotwise prep`: a donor's work sheet."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import (
    HERE,
    Answer,
    AsJson,
    DryRun,
    Ending,
    Folder,
    Given,
    PageFile,
    ShowUnits,
    Text,
    Units,
    flag,
)

Donor = Annotated[Text, typer.Argument(metavar="DONOR", hidden=True, show_default=False)]


def prep(
    donor: Donor = None,
    fibre: Annotated[Text, flag("--fibre", "BLEND", "As on the label; without it unknown.")] = None,
    seams: Annotated[Text, flag("--seams", "linked|cut", "Knitted to shape, or cut and overlocked.")] = None,
    felted: Annotated[Text, flag("--felted", "no|slightly|felted", "How far it is felted.")] = None,
    felts: Annotated[Text, flag("--felts", "yes|no|unknown", "Whether it felts. Without it: by its blend.")] = None,
    pilled: Annotated[Text, flag("--pilled", "yes|no", "Whether it is pilled or worn thin.")] = None,
    holes: Annotated[Text, flag("--holes", "NUMBER", "How many holes.")] = None,
    stains: Annotated[Text, flag("--stains", "NUMBER", "How many stains.")] = None,
    smell: Annotated[Text, flag("--smell", "yes|no", "Whether it smells.")] = None,
    moths: Annotated[Text, flag("--moths", "yes|no", "Any sign of moths.")] = None,
    colours: Annotated[Text, flag("--colours", "NUMBER", "How many colours.")] = None,
    colour: Annotated[Text, flag("--colour", "COLOUR", 'Its main colour, such as "#5b6770" or navy.')] = None,
    around: Annotated[Text, flag("--around", "LENGTH", "Once round your swift; without it 1.5 m.")] = None,
    scale: Annotated[Text, flag("--scale", "MASS", "Your scale's steps; without it 1 g.")] = None,
    page: PageFile = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """What do I do with this garment? A work sheet to print: unpick, unravel, skein, wash, measure.

    DONOR is a garment of your stash files; without one it is told by flags, or asked when none is given.
    """
    from planner.commands.endings import finish

    given: Given = {"--fibre": fibre, "--seams": seams, "--felted": felted, "--felts": felts, "--pilled": pilled}
    given |= {"--holes": holes, "--stains": stains, "--smell": smell, "--moths": moths, "--colours": colours}
    given |= {"--colour": colour, "--around": around, "--scale": scale}
    finish(lambda: answer_prep(workspace, donor, given, units, page, as_json=as_json), as_json=as_json, dry_run=dry_run)


def answer_prep(
    folder: Path, donor: Text, given: Given, units: Units, page: Path | None = None, *, as_json: bool
) -> Answer:
    from planner.commands.rack import read_place
    from planner.prep.asking import ask_sheet

    if page is not None:
        from planner.pages.keeping import check_file

        check_file("--page", page)
    sheet = ask_sheet(None if donor is None else read_place(folder, needed=True), donor, given, units.value)
    if page is not None:
        from planner.commands.pagefiles import write_beside
        from planner.pages.prep import prep_page

        return write_beside(page, prep_page(sheet), Ending.DONE, as_json=as_json)
    if as_json:
        from planner.show.documents import write
        from planner.show.prepdocument import prep_document

        return Answer(write(prep_document(sheet)), Ending.DONE)
    from planner.show.prep import prep_text

    return Answer(prep_text(sheet), Ending.DONE)
