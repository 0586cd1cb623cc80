"""The files that `lotwise plan` writes beside its answer: pictures, a page, the plan itself."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.shared import Units
from planner.commands.wishes import Wish

if TYPE_CHECKING:
    from planner.folders import Outcome, Question
    from planner.options import Options
    from planner.pages.keeping import Kept
    from planner.workers import Stop
    from planner.workspace import Workspace


@dataclass(frozen=True)
class File:
    """What came of one: in a few words, and as it is told below the answer."""

    said: str
    told: str
    written: bool = False
    failed: bool = False


def check_files(folder: Path, wish: Wish, question: "Question") -> None:
    """Refuse, before there is anything to write, every file that could not be written."""
    from planner import charting
    from planner.asking import AskError
    from planner.pages import keeping
    from planner.saved import check_name

    if wish.chart is not None:
        charting.check_file(wish.chart, question.projects, question.workspace)
    if wish.report is not None:
        keeping.check_file("--report", wish.report)
        keeping.read_around(wish.around)
    elif wish.around is not None:
        raise AskError("--around is for a page, and none is asked", "add --report FILE.html, or leave --around out")
    if wish.save is not None:
        check_name(folder, wish.save)


def check_options_file(wish: Wish) -> None:
    """Refuse a page of several ways that could not be written, or turns on it, of which it has none."""
    from planner.asking import AskError
    from planner.pages import keeping

    if wish.around is not None:
        raise AskError("--around is for the winding list of one plan", "leave --around out")
    if wish.report is not None:
        keeping.check_file("--report", wish.report)


def options_files(found: "Options", number: int, workspace: "Workspace", wish: Wish, units: Units) -> list[File]:
    """Write the page of several ways, where it was asked for."""
    from planner.pages.keeping import keep
    from planner.pages.palettes import options_page

    if wish.report is None:
        return []
    kept_page = keep(wish.report, options_page(found, number, workspace, units.value))
    return [_file(kept_page.said, kept_page.written, kept_page.failed)]


def page_of(question: "Question", outcome: "Outcome", wish: Wish, units: Units, stop: "Stop") -> str:
    from planner.pages import keeping
    from planner.pages.report import report_page
    from planner.show.plan import giving_up_text

    short = keeping.what_is_short(question.workspace, outcome.plan, question.projects, stop)
    around = keeping.read_around(wish.around)
    instead = [giving_up_text(one) for one in outcome.instead]
    return report_page(outcome.plan, question.workspace, units.value, around=around, instead=instead, shortfalls=short)


def write_files(
    outcome: "Outcome", workspace: "Workspace", wish: Wish, document: "dict[str, Any]", page: str | None
) -> list[File]:
    """Write each file that was asked for: the plan is good, and shown, whatever comes of them."""
    from planner import charting
    from planner.pages.keeping import keep

    pictures: list[charting.Drawing | Kept] = [charting.draw(outcome.plan, workspace, wish.chart)]
    if wish.report is not None and page is not None:
        pictures.append(keep(wish.report, page))
    files = [_file(one.said, one.written, one.failed) for one in pictures if one.said]
    if wish.save is not None:
        files.append(_saved(workspace, document, wish.save))
    return files


def _saved(workspace: "Workspace", document: "dict[str, Any]", name: str) -> File:
    from planner.faultprint import safe_text
    from planner.saved import save_plan

    try:
        file = save_plan(workspace, document, name)
    except OSError as error:
        words = safe_text(f"The plan could not be saved: {error.filename or name}: {error.strerror or error}")
        return File(words, f"{words}. The plan above is good all the same.", failed=True)
    return File(f"{file} was written", kept(name), written=True)


def _file(said: str, written: bool, failed: bool) -> File:
    from planner.faultprint import safe_text

    words = safe_text(said)
    return File(words, f"{words}.", written=written, failed=failed)


def kept(name: str) -> str:
    return f"Saved as plans/{name}.json. To set its yarn aside: lotwise book {name}"
