"""A rehearsal of a command that writes: the same work, and what it would have written in place of its answer."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.shared import Answer

if TYPE_CHECKING:
    from planner.noting import Rehearsal


def rehearsed(work: Callable[[], Answer], *, as_json: bool) -> Answer:
    """Do the work without writing, and show exactly what would be written."""
    from planner.noting import rehearsing

    with rehearsing() as rehearsal:
        answer = work()
    if as_json:
        from planner.show.documents import write

        files = [{"file": str(path), "adds": shown, "bytes": size} for path, shown, size, _ in _each(rehearsal)]
        return Answer(write({"format": "lotwise/dry-run-1", "files": files}), answer.ending)
    return Answer(_text(rehearsal), answer.ending)


def _text(rehearsal: "Rehearsal") -> str:
    from planner.faultprint import safe_text

    sections = ["Nothing is written. Without --dry-run it would be:"]
    for path, shown, size, is_new in _each(rehearsal):
        file = safe_text(str(path))
        head = f"{file}, a new file of {size} bytes" if is_new else f"{file}, {size} bytes more at its end"
        lines = [safe_text(line) for line in shown.splitlines()]
        sections.append("\n".join([f"{head}{':' if lines else '.'}", *lines]))
    return "\n\n".join(sections) if len(sections) > 1 else "Nothing is written, nor would it be without --dry-run."


def _each(rehearsal: "Rehearsal") -> Iterator[tuple[Path, str, int, bool]]:
    """Each file with what is new in it as text ("" where it is none), its bytes, and whether the file is new."""
    for path, data, before in rehearsal.files:
        new = data.removeprefix(before)
        try:
            shown = new.decode("utf-8")
        except UnicodeDecodeError:
            shown = ""
        yield path, shown, len(new), not before
