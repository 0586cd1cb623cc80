"""The command line: which commands there are, and how a wrong one is answered."""

from __future__ import annotations

import sys
from contextlib import suppress
from io import TextIOWrapper
from typing import TYPE_CHECKING

import typer

from planner.commands.book import book
from planner.commands.card import card
from planner.commands.check import check
from planner.commands.cover import cover
from planner.commands.demo import demo
from planner.commands.endings import refuse_usage
from planner.commands.export import export
from planner.commands.finish import finish
from planner.commands.history import history
from planner.commands.import_ import import_
from planner.commands.lots import lots
from planner.commands.measure import measure
from planner.commands.midway import midway
from planner.commands.needs import needs
from planner.commands.plan import plan
from planner.commands.prep import prep
from planner.commands.rack import rack
from planner.commands.release import release
from planner.commands.report import report
from planner.commands.schema import schema
from planner.commands.shared import Ending
from planner.commands.shortfall import shortfall
from planner.commands.tags import tags
from planner.commands.undo import undo

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

COMMANDS = (  # as --help lists them
    (demo, "write a small invented workspace and answer from it"),
    (check, "are my files in order? every fault, and what to write"),
    (lots, "what do I have? colour, thickness, metres and grams"),
    (rack, "is this garment worth buying and unravelling?"),
    (prep, "a work sheet: unpick, unravel, skein, wash, measure"),
    (measure, "how thick is this yarn, how much is there? from a sample"),
    (needs, "how much yarn does it take? by shape, size and class"),
    (cover, "which projects can the stash cover, each asked alone?"),
    (plan, "which skein goes where? a winding list"),
    (shortfall, "what is missing, what to look for, what to change?"),
    (midway, "will it reach? from what is left on the scale"),
    (report, "a plan as a page with pictures, to look at and to print"),
    (tags, "a tag for every skein, to print, cut and tie on"),
    (card, "a card for the rack, for a pocket or a phone"),
    (book, "set a plan's yarn aside"),
    (finish, "a project is made: its yarn is used"),
    (release, "give back what is set aside"),
    (undo, "take back the last step"),
    (history, "what was set aside, used and given back?"),
    (import_, "a spreadsheet's rows into the stash, those that are new"),
    (export, "the stash, a plan or what to look for as a spreadsheet"),
    (schema, "help my editor: what a file may hold, as a JSON Schema"),
)


def called(command: Callable[..., None]) -> str:
    """A command's name as it is typed; `import` is a word of Python's own, so its function has an underscore."""
    return command.__name__.rstrip("_")


app = typer.Typer(
    name="lotwise",
    help="Plan what reclaimed yarn can become: which skein goes where, is it enough, and what to look for.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)
for command, line in COMMANDS:
    app.command(called(command), short_help=line)(command)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run one command and leave with its exit code."""
    asked = list(sys.argv[1:] if arguments is None else arguments)
    if isinstance(sys.stdout, TextIOWrapper):  # not every terminal has every sign; stderr is set so from the start
        with suppress(OSError):  # where nobody reads any more
            sys.stdout.reconfigure(errors="backslashreplace")
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
