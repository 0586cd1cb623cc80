"""`lotwise history`: what was set aside, used and given back."""

from pathlib import Path

from planner.commands.shared import HERE, Answer, AsJson, Ending, Folder, ShowUnits, Units


def history(workspace: Folder = HERE, units: ShowUnits = Units.METRIC, as_json: AsJson = False) -> None:
    """What was done? Every step in the ledger, in order, and what is set aside now."""
    from planner.commands.endings import finish

    finish(lambda: answer_history(workspace, units, as_json=as_json), as_json=as_json)


def answer_history(folder: Path, units: Units, *, as_json: bool) -> Answer:
    from planner.commands.reading import tidy
    from planner.ledger.booking import read_books

    tidy(folder)
    books = read_books(folder)
    if as_json:
        from planner.show.documents import write
        from planner.show.ledgerdocument import history_document

        return Answer(write(history_document(books)), Ending.DONE)
    from planner.show.ledger import history_text

    return Answer(history_text(books, units.value), Ending.DONE)
