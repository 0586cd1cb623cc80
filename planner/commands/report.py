"""`lotwise report`: a saved plan as a page with pictures."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Ending, Folder, ShowUnits, Units
from planner.commands.wishes import Around

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.saved import Saved
    from planner.workspace import Workspace

PlanName = Annotated[str, typer.Argument(metavar="PLAN", hidden=True, show_default=False)]
Out = Annotated[
    Path | None,
    typer.Option(
        "--out",
        metavar="FILE.html",
        help="The new file to write. Without it: PLAN.html in the folder plans.",
        show_default=False,
    ),
]


def report(
    plan: PlanName,
    out: Out = None,
    around: Around = None,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """A plan as a page: pictures in its colours, a winding list to tick off, how sure it is, what is left.

    PLAN is the name it was saved under. The page is one file that needs no network; print it from any browser.
    """
    from planner.commands.endings import finish

    finish(
        lambda: answer_report(workspace, plan, out, around, units, as_json=as_json), as_json=as_json, dry_run=dry_run
    )


def answer_report(
    folder: Path, name: str, out: Path | None, around: str | None, units: Units, *, as_json: bool
) -> Answer:
    from planner.commands.pagefiles import write_beside
    from planner.commands.reading import read_workspace
    from planner.pages import keeping
    from planner.saved import load_saved

    metres = keeping.read_around(around)
    saved = load_saved(folder, name)
    file = (folder / saved.file).with_suffix(".html") if out is None else out
    keeping.check_file("--out", file)
    workspace = read_workspace(folder)
    return write_beside(file, _page(saved, workspace, metres, units), Ending.DONE, as_json=as_json)


def _page(saved: "Saved", workspace: "Workspace", around: "Fraction", units: Units) -> str:
    from planner.commands.interrupting import stop_on_interrupt
    from planner.pages import keeping
    from planner.pages.report import report_page
    from planner.pages.standing import stand
    from planner.show.progress import Progress

    found = stand(saved, workspace)
    with Progress(), stop_on_interrupt() as stop:
        asked = keeping.asked_again(found.workspace, saved.plan)
        short = keeping.what_is_short(found.workspace, saved.plan, asked, stop)
    return report_page(
        saved.plan,
        found.workspace,
        units.value,
        around=around,
        instead=keeping.told_instead(saved),
        shortfalls=short,
        past=found.past,
    )
