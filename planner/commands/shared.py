"""What all commands share: their options, and the codes they end with."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Ending(IntEnum):
    """How a command ends, as its exit code."""

    DONE = 0
    NOT_ALL = 1  # some project is not enough, or not made
    USAGE = 2
    FAULTS = 3  # in the files
    UNDECIDED = 4
    FILE = 5  # could not be read or written
    OURS = 70
    INTERRUPTED = 130


@dataclass(frozen=True)
class Answer:
    """What a command says on stdout, how it ends, and what it has changed by then, if anything.

    `more`: sections after the text, worked out only as they are printed.
    """

    text: str
    ending: Ending
    changed: str = ""
    more: Iterable[str] = ()

    @property
    def sections(self) -> Iterator[str]:
        yield self.text
        yield from self.more


class Units(StrEnum):
    """The units answers are shown in; files may always mix them."""

    METRIC = "metric"
    IMPERIAL = "imperial"


class Aim(StrEnum):
    """What a plan is to have most of, after the projects that must be made."""

    GRAMS = "grams"
    PROJECTS = "projects"
    LOTS = "lots"


Folder = Annotated[Path, typer.Option("--workspace", metavar="FOLDER", help="The folder that holds your files.")]
ShowUnits = Annotated[
    Units, typer.Option("--units", metavar="metric|imperial", help="Metres and grams, or yards and ounces.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as one JSON document, for other programs.")]
Confidence = Annotated[
    str | None,
    typer.Option(
        "--confidence",
        metavar="SHARE",
        help="How sure a length must be, such as 95%. Without it: what projects.yaml says, else 95%.",
        show_default=False,
    ),
]
PageFile = Annotated[
    Path | None,
    typer.Option(
        "--page",
        metavar="FILE.html",
        help="Write it as a page to look at, to print and to write on, into a new file.",
        show_default=False,
    ),
]
Cluster = Annotated[
    str | None,
    typer.Option(
        "--cluster",
        metavar="ADDRESS",
        help="Let the workers of a dask scheduler do it, such as tcp://192.168.1.20:8786. Without it: this machine.",
        show_default=False,
    ),
]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Show exactly what would be written, and write nothing.")]
Why = Annotated[
    str | None,
    typer.Option("--why", metavar="WORDS", help="What it is for, kept in the ledger beside it.", show_default=False),
]
# The help of an argument names its type in a programmer's words, so each command's own text explains it instead.
Projects = Annotated[list[str] | None, typer.Argument(metavar="PROJECT", hidden=True, show_default=False)]

HERE = Path()

Text = str | None
Texts = list[str] | None
Given = dict[str, str | list[str] | None]  # flag -> what was written there


def flag(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    """A flag whose text is read further on, where a wrong one can be told in a knitter's words."""
    option: typer.models.OptionInfo = typer.Option(name, metavar=metavar, help=words, show_default=False)
    return option
