"""Commands whose answer goes into a page of its own."""

from pathlib import Path

from planner.commands.shared import Answer, Ending


def write_beside(file: Path, page: str, ending: Ending, *, as_json: bool) -> Answer:
    """Write the page as a new file and say so. Raises OSError."""
    from planner.faultprint import safe_text
    from planner.show.documents import write
    from planner.writing import create_file

    create_file(file, page.encode("utf-8"))
    changed = f"{safe_text(str(file))} was written"
    if as_json:
        return Answer(write({"format": "lotwise/page-1", "file": str(file)}), ending, changed)
    return Answer(f"{changed}. Open it in a browser, and print it from there.", ending, changed)
