"""`lotwise plan`: which skein goes where."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.commands.shared import (
    HERE,
    Aim,
    Answer,
    AsJson,
    Confidence,
    Ending,
    Folder,
    Projects,
    ShowUnits,
    Units,
)

if TYPE_CHECKING:
    from patterns.projects import Project
    from planner.workspace import Workspace

Within = Annotated[
    str | None,
    typer.Option(
        "--within",
        metavar="SHARE",
        help="Stop at a plan known to be this close to the best, such as 1%.",
        show_default=False,
    ),
]
TimeLimit = Annotated[
    str | None,
    typer.Option(
        "--time-limit",
        metavar="TIME",
        help="Show the best found in this time, such as 30s, 1.5s or 2m. Without it: until it is proved.",
        show_default=False,
    ),
]
FirstAim = Annotated[
    Aim,
    typer.Option(
        "--aim",
        metavar="grams|projects|lots",
        help="What to have most of: yarn used, projects made, or lots finished.",
    ),
]
ChartFile = Annotated[
    Path | None,
    typer.Option(
        "--chart",
        metavar="FILE.svg",
        help="Draw the charts and stripes of what is made, in its colours, into a new image file.",
        show_default=False,
    ),
]


class Way(StrEnum):
    """How a plan is found."""

    EXACT = "exact"
    PRICED = "priced"


ByWay = Annotated[
    Way | None,
    typer.Option(
        "--way",
        metavar="exact|priced",
        help="All in one, or project by project at prices for the lots. Without it: by how much there is.",
        show_default=False,
    ),
]


class Mood(StrEnum):
    """What colourwork may lean to."""

    WARM = "warm"
    COOL = "cool"
    MUTED = "muted"
    VIVID = "vivid"
    LIGHT = "light"
    DARK = "dark"


HowMany = Annotated[
    int | None,
    typer.Option(
        "--options",
        metavar="NUMBER",
        help="Show so many truly different ways to make one project, in place of a winding list.",
        show_default=False,
    ),
]
Only = Annotated[
    list[str] | None,
    typer.Option("--only", metavar="NEED=LOT", help="Keep a need to these lots: motif=ochre, main=slate,pewter."),
]
Without = Annotated[list[str] | None, typer.Option("--without", metavar="LOT", help="Do without this lot.")]
Lean = Annotated[
    Mood | None,
    typer.Option(
        "--lean",
        metavar="MOOD",
        help="With --options: lean to warm, cool, muted, vivid, light or dark.",
        show_default=False,
    ),
]


@dataclass(frozen=True)
class Wish:
    """What is asked of a plan, as written on the command line."""

    names: tuple[str, ...] = ()
    aim: Aim = Aim.GRAMS
    way: Way | None = None
    within: str | None = None
    time_limit: str | None = None
    confidence: str | None = None
    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    options: int | None = None
    lean: Mood | None = None
    chart: Path | None = None


def plan(
    projects: Projects = None,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    aim: FirstAim = Aim.GRAMS,
    way: ByWay = None,
    within: Within = None,
    time_limit: TimeLimit = None,
    only: Only = None,
    without: Without = None,
    options: HowMany = None,
    lean: Lean = None,
    chart: ChartFile = None,
    as_json: AsJson = False,
) -> None:
    """Which skein goes where? A winding list for the projects that can be made together.

    PROJECT is a name from projects.yaml, a pattern, or PATTERN:SIZE; without one, all are asked.
    """
    from planner.commands.endings import finish

    wish = Wish(
        tuple(projects or ()),
        aim,
        way,
        within,
        time_limit,
        confidence,
        tuple(only or ()),
        tuple(without or ()),
        options,
        lean,
        chart,
    )
    answer = answer_plan if options is None and lean is None else answer_options
    finish(lambda: answer(workspace, wish, units, as_json=as_json), as_json=as_json)


def answer_plan(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    from planner import charting, planning
    from planner.asking import read_confidence, read_seconds, read_within
    from planner.changes import givingup
    from planner.commands.interrupting import stop_on_interrupt
    from planner.commands.reading import read_workspace
    from planner.faultprint import safe_text
    from planner.show.progress import Progress

    within, seconds = read_within(wish.within), read_seconds(wish.time_limit)
    workspace = read_workspace(folder)
    sure = read_confidence(wish.confidence, workspace.projects.confidence)
    projects = wished(workspace, wish)
    if wish.chart is not None:
        charting.check_file(wish.chart, projects, workspace)
    with Progress(interruptible=True) as progress, stop_on_interrupt() as stop:
        found = planning.plan(
            workspace,
            projects,
            sure,
            aim=wish.aim.value,
            way=wish.way and wish.way.value,
            within=within,
            seconds=seconds,
            progress=progress.report,
            stop=stop,
        )
        instead = () if stop.is_set() else givingup.instead(workspace, found, projects, sure)
    drawing = charting.draw(found, workspace, wish.chart)
    changed = drawing.said if drawing.written else ""
    ending = Ending.DONE if all(project.made for project in found.projects) else Ending.NOT_ALL
    if drawing.failed:
        ending = Ending.FILE
    if as_json:
        from planner.show.documents import write
        from planner.show.plandocument import plan_document

        if drawing.failed:
            typer.echo(f"lotwise: {safe_text(drawing.said)}", err=True)
        return Answer(write(plan_document(found, workspace, instead)), ending, changed)
    from planner.show.plan import plan_text
    from planner.show.swatches import screen

    text = plan_text(found, workspace, screen(units.value), instead)
    return Answer(f"{text}\n\n{safe_text(drawing.said)}." if drawing.said else text, ending, changed)


def answer_options(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    from planner import charting, options
    from planner.asking import read_confidence, read_seconds
    from planner.commands.reading import read_workspace
    from planner.pinning import the_one
    from planner.show.progress import Progress

    if wish.chart is not None:
        charting.refuse_with_options()
    workspace = read_workspace(folder)
    sure = read_confidence(wish.confidence, workspace.projects.confidence)
    project = the_one(wished(workspace, wish))
    number = options.how_many(wish.options)
    with Progress():
        found = options.options(
            workspace,
            project,
            sure,
            number,
            mood=None if wish.lean is None else wish.lean.value,
            seconds=read_seconds(wish.time_limit) or options.SECONDS,
        )
    ending = Ending.DONE if found.options else Ending.NOT_ALL if found.complete else Ending.UNDECIDED
    if as_json:
        from planner.show.documents import write
        from planner.show.optionsdocument import options_document

        return Answer(write(options_document(found, workspace)), ending)
    from planner.show.options import options_text
    from planner.show.swatches import screen

    return Answer(options_text(found, number, screen(units.value)), ending)


def wished(workspace: "Workspace", wish: Wish) -> "tuple[Project, ...]":
    """The projects asked for, with what the command line asks of their lots."""
    from planner.asking import ask
    from planner.pinning import pinned

    projects = ask(workspace, wish.names, every_size=False)
    if not wish.only and not wish.without:
        return projects
    return tuple(pinned(workspace, project, wish.only, wish.without) for project in projects)
