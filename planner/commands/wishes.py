"""What may be asked of a plan: its options, and all of them as one wish."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import Aim

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

SaveAs = Annotated[
    str | None,
    typer.Option("--save", metavar="NAME", help="Keep it as plans/NAME.json, to book or print it.", show_default=False),
]
ReportFile = Annotated[
    Path | None,
    typer.Option(
        "--report",
        metavar="FILE.html",
        help="Show it as a page with pictures, to look at and to print, in a new file.",
        show_default=False,
    ),
]
Around = Annotated[
    str | None,
    typer.Option(
        "--around",
        metavar="LENGTH",
        help="How far it is round your swift, for the turns on a page. Without it: 1.5 m.",
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
Each = Annotated[
    bool,
    typer.Option("--each", help="Name folders in place of projects: a plan for each of them, in the order given."),
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
    cluster: str | None = None
    save: str | None = None
    report: Path | None = None
    around: str | None = None
