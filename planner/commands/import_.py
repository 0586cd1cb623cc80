"""`lotwise import`: a spreadsheet's rows into the stash."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Ending, Folder, ShowUnits, Units

if TYPE_CHECKING:
    from planner.sheets.importing import Asked

File = Annotated[Path, typer.Argument(metavar="FILE", hidden=True, show_default=False)]
Map = Annotated[
    list[str] | None,
    typer.Option("--map", metavar='"HEADER=FIELD"', help='What a column is, such as "Wt=mass"; or leave-out.'),
]
SheetName = Annotated[
    list[str] | None,
    typer.Option("--sheet", metavar="NAME", help="The sheet to read. Without it: the one with headers."),
]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Show what would be written, and write nothing.")]


def import_(
    file: File,
    maps: Map = None,
    sheet: SheetName = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,  # noqa: ARG001 - every command takes it; cells are shown as they are
    as_json: AsJson = False,
) -> None:
    """Which of these rows are new? Reads FILE (.xlsx, .ods or .csv) and writes what is new into a new stash file.

    Columns are known by their headers; run it again, and only rows that were added since are written.
    """
    from planner.commands.endings import finish
    from planner.sheets.importing import Asked

    asked = Asked(file, tuple(maps or ()), tuple(sheet or ()), dry_run)
    finish(lambda: answer_import(workspace, asked, as_json=as_json), as_json=as_json)


def answer_import(folder: Path, asked: "Asked", *, as_json: bool) -> Answer:
    from planner.commands.endings import refusal
    from planner.faultprint import show_faults
    from planner.sheets.importing import import_sheet
    from planner.sheets.table import SheetError
    from planner.show.documents import write
    from planner.show.importing import import_document, import_text

    try:
        found = import_sheet(folder, asked)
    except SheetError as error:
        return refusal(str(error), error.hint, Ending.FAULTS, as_json=as_json)
    names = " and ".join(file.name for file in found.files)
    changed = f"{names} {'was' if len(found.files) == 1 else 'were'} written" if names and not asked.rehearse else ""
    ending = Ending.FAULTS if found.refused else Ending.DONE
    if as_json:
        return Answer(write(import_document(found)), ending, changed)
    if found.warnings:
        sys.stderr.write(show_faults(found.warnings).rstrip("\n") + "\n\n")
    return Answer(import_text(found), ending, changed)
