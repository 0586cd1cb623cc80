"""The command line: which commands there are, and how a wrong one is answered."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import typer

from planner.commands.check import check
from planner.commands.cover import cover
from planner.commands.demo import demo
from planner.commands.endings import refuse_usage
from planner.commands.lots import lots
from planner.commands.plan import plan
from planner.commands.shared import Ending
from planner.commands.shortfall import shortfall

if TYPE_CHECKING:
    from collections.abc import Sequence

COMMANDS = (demo, check, lots, cover, plan, shortfall)  # as --help lists them

app = typer.Typer(
    name="lotwise",
    help="Plan what reclaimed yarn can become: which skein goes where, is it enough, and what to look for.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)
for command in COMMANDS:
    app.command(command.__name__)(command)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run one command and leave with its exit code."""
    asked = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = app(args=asked, prog_name="lotwise", standalone_mode=False)
    except KeyboardInterrupt:
        code = Ending.INTERRUPTED
    except Exception as error:
        # typer keeps its kinds of wrong usage to itself; they can be told by what they carry
        if getattr(error, "exit_code", None) != Ending.USAGE:
            raise
        code = refuse_usage(error, as_json="--json" in asked)
    sys.exit(int(code or 0))
