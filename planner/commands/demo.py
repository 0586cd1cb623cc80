"""`lotwise demo`: an invented workspace, and the main answers on it."""

import os
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Ending, Folder, ShowUnits, Units

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

DemoFolder = Annotated[Path, typer.Argument(metavar="[FOLDER]", hidden=True, show_default=False)]


def demo(
    folder: DemoFolder = Path("harbour-demo"),
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    as_json: AsJson = False,
) -> None:
    """Show me: writes a small invented workspace and runs cover, plan and shortfall on it.

    FOLDER is a new folder to write it to (harbour-demo without one).
    """
    from planner.commands.endings import finish

    def work() -> Answer:
        if dry_run:
            write_demo(workspace / folder)
            return Answer("", Ending.DONE)
        return answer_demo(workspace / folder, units, as_json=as_json)

    finish(work, as_json=as_json, dry_run=dry_run)


def answer_demo(folder: Path, units: Units, *, as_json: bool) -> Answer:
    from planner.commands.cover import answer_cover
    from planner.commands.plan import answer_plan
    from planner.commands.shortfall import answer_shortfall
    from planner.commands.wishes import Wish

    written = write_demo(folder)
    answers = {
        "cover": answer_cover(folder, (), units, None, as_json=as_json),
        "plan": answer_plan(folder, Wish(), units, as_json=as_json),
        "shortfall": answer_shortfall(folder, (), units, None, as_json=as_json),
    }
    if as_json:
        import json

        from planner.show.documents import write

        documents = {name: json.loads(answer.text) for name, answer in answers.items()}
        return Answer(write({"format": "lotwise/demo-1", "files": written, **documents}), Ending.DONE)
    from planner.faultprint import safe_text

    place = shlex.quote(str(folder))
    sections = [f"Wrote {len(written)} files of an invented harbour-town group to {safe_text(str(folder))}."]
    for name, answer in answers.items():
        sections += [f"$ lotwise {name} --workspace {safe_text(place)}", *answer.sections]
    sections.append("Now read and change the files there, and ask again.")
    return Answer("\n\n".join(sections), Ending.DONE)


def write_demo(folder: Path) -> list[str]:
    """Write the demo's files to a new or empty folder, all or none, and name them.

    Raises AskError when the folder is not empty, OSError when it cannot be written.
    """
    from importlib.resources import files

    from planner.asking import AskError
    from planner.writing import create_folder

    if folder.exists() and folder.samefile(Path()):  # the folder would be another, and the terminal in none
        raise AskError("the folder you are in cannot be made anew", "name a new folder: lotwise demo FOLDER")
    if os.path.lexists(folder) and (not folder.is_dir() or any(folder.iterdir())):
        raise AskError(
            f"{folder} is there already and is not an empty folder", "name a new folder: lotwise demo FOLDER"
        )
    texts = dict(_texts(files("planner") / "demo", ""))
    create_folder(folder, texts)
    return sorted(texts)


def _texts(folder: "Traversable", above: str) -> Iterator[tuple[str, bytes]]:
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        if entry.is_dir() and not entry.name.startswith("_"):
            yield from _texts(entry, f"{above}{entry.name}/")
        elif entry.name.endswith((".yaml", ".md")):
            yield f"{above}{entry.name}", entry.read_bytes()
