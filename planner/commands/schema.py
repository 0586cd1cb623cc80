"""`lotwise schema`: what a file may hold, for editors that check and complete as you type."""

from enum import StrEnum
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, Ending, Folder, ShowUnits, Units


class Which(StrEnum):
    """The kinds of file a person writes."""

    STASH = "stash"
    PATTERN = "pattern"
    PROJECTS = "projects"


Asked = Annotated[Which, typer.Argument(metavar="stash|pattern|projects", hidden=True, show_default=False)]


def schema(
    which: Asked,
    workspace: Folder = HERE,  # noqa: ARG001 - every command takes it; the answer is the same everywhere
    units: ShowUnits = Units.METRIC,  # noqa: ARG001 - likewise
    as_json: AsJson = False,
) -> None:
    """Help my editor: what a stash, a pattern or projects.yaml may hold, as a JSON Schema.

    Write it to a file and name that file in the first line of yours: # yaml-language-server: $schema=FILE
    """
    from planner.commands.endings import finish

    finish(lambda: answer_schema(which), as_json=as_json)


def answer_schema(which: Which) -> Answer:
    from planner.schemas import TOP, schema_of
    from planner.show.documents import write

    return Answer(write(schema_of(TOP[which])), Ending.DONE)
