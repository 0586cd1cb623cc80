"""`lotwise export`: the stash and the answers as spreadsheets."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from planner.commands.shared import HERE, Answer, AsJson, Confidence, Ending, Folder, Projects, ShowUnits, Units, flag

if TYPE_CHECKING:
    from planner.sheets.writing import Sheet

    Document = dict[str, Any]


class What(StrEnum):
    """What can be exported."""

    STASH = "stash"
    PLAN = "plan"
    SHORTFALL = "shortfall"
    LIST = "list"


WhatToWrite = Annotated[What, typer.Argument(metavar="WHAT", hidden=True, show_default=False)]
File = Annotated[Path, typer.Argument(metavar="FILE", hidden=True, show_default=False)]


def export(
    what: WhatToWrite,
    file: File,
    projects: Projects = None,
    plan: Annotated[str | None, flag("--plan", "NAME", "With plan: a saved one, plans/NAME.json.")] = None,
    raw: Annotated[
        bool, typer.Option("--raw", help="CSV: leave text that looks like a formula as it is; open it with care.")
    ] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would be written, and write nothing.")] = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """Rows for a spreadsheet: WHAT is stash, plan, shortfall or list; FILE ends in .xlsx or .csv and must be new.

    stash: a row a skein, which import reads back. plan: the winding list. shortfall: what to look for. list: the finds
    for the rack. The last three may be kept to PROJECTs.
    """
    from planner.commands.endings import finish

    names = tuple(projects or ())
    finish(
        lambda: answer_export(
            workspace, what, file, names, plan, units, confidence, raw=raw, dry_run=dry_run, as_json=as_json
        ),
        as_json=as_json,
    )


def answer_export(
    folder: Path,
    what: What,
    file: Path,
    names: tuple[str, ...],
    saved: str | None,
    units: Units,
    confidence: str | None,
    *,
    raw: bool,
    dry_run: bool,
    as_json: bool,
) -> Answer:
    from planner.commands.endings import refusal
    from planner.sheets.table import SheetError
    from planner.sheets.writing import check_ending, sheet_bytes
    from planner.show.documents import write
    from planner.show.exporting import export_document, export_text

    check_ending(file)
    try:
        sheets = _sheets(folder, what, names, saved, units, confidence, guarded=_is_csv(file) and not raw)
    except SheetError as error:
        return refusal(str(error), error.hint, Ending.FAULTS, as_json=as_json)
    data = sheet_bytes(sheets, file, raw=raw)
    if not dry_run:
        _create(file, data)
    changed = "" if dry_run else f"{file} was written"
    if as_json:
        return Answer(write(export_document(file, sheets, rehearsed=dry_run)), Ending.DONE, changed)
    return Answer(export_text(file, data, sheets, rehearsed=dry_run), Ending.DONE, changed)


def _is_csv(file: Path) -> bool:
    return file.suffix.lower() == ".csv"


def _create(file: Path, data: bytes) -> None:
    from planner.writing import create_file

    try:
        create_file(file, data)
    except FileExistsError as error:
        raise FileExistsError(error.errno, "there is one already; give another name", str(file)) from None


def _sheets(
    folder: Path,
    what: What,
    names: tuple[str, ...],
    saved: str | None,
    units: Units,
    confidence: str | None,
    *,
    guarded: bool,
) -> "list[Sheet]":
    from planner.asking import AskError
    from planner.sheets import answers

    if saved is not None and (what is not What.PLAN or names):
        raise AskError("--plan names a saved plan, which has its projects", "use it with plan alone")
    if what is What.STASH:
        if names:
            raise AskError("a stash is exported whole", "leave the projects out")
        from planner.measure.newlot import known_stash
        from planner.sheets.exporting import stash_sheets

        return stash_sheets(folder, known_stash(folder), units.value, guarded=guarded)
    make = {What.PLAN: answers.plan_sheets, What.SHORTFALL: answers.shortfall_sheets, What.LIST: answers.list_sheets}
    return make[what](_document(folder, what, names, saved, confidence), units.value)


def _document(
    folder: Path, what: What, names: tuple[str, ...], saved: str | None, confidence: str | None
) -> "Document":
    """The answer's document: a saved plan's, else as the command of its name gives it with --json."""
    import json

    if saved is not None:
        from planner.sheets.saved import saved_plan

        return saved_plan(folder, saved)
    if what is What.PLAN:
        from planner.commands.plan import answer_plan
        from planner.commands.wishes import Wish

        answer = answer_plan(folder, Wish(names, confidence=confidence), Units.METRIC, as_json=True)
    else:
        from planner.commands.shortfall import answer_list, answer_shortfall

        asked = answer_list if what is What.LIST else answer_shortfall
        answer = asked(folder, names, Units.METRIC, confidence, as_json=True)
    document: Document = json.loads(answer.text)
    return document
