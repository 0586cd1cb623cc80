"""How an answer that is worked out as it is printed comes to its end."""

import pytest
import typer

from planner.commands.endings import finish
from planner.commands.shared import Answer, Ending


def ended(more, *, as_json=False):
    """The code that a command leaves with whose answer goes on with these sections."""
    with pytest.raises(typer.Exit) as left:
        finish(lambda: Answer("the answer", Ending.NOT_ALL, more=more), as_json=as_json)
    return left.value.exit_code


def stopped_by(error):
    yield "one"
    raise error


def test_sections_follow_the_text_with_a_line_between_them(capsys):
    assert ended(iter(["one\ntwo\n", "three"])) == Ending.NOT_ALL
    assert capsys.readouterr().out == "the answer\n\none\ntwo\n\nthree\n"


def test_what_is_shown_so_far_stands_where_it_is_interrupted(capsys):
    assert ended(stopped_by(KeyboardInterrupt())) == Ending.INTERRUPTED
    shown = capsys.readouterr()
    assert shown.out == "the answer\n\none\n"
    assert shown.err.startswith("lotwise: interrupted; what is shown is not all of the answer\n")


def test_our_own_fault_midway_is_told_as_such(capsys):
    assert ended(stopped_by(ZeroDivisionError("of ours"))) == Ending.OURS
    told = capsys.readouterr().err
    assert told.startswith(
        "lotwise: what is shown is not all of the answer\nlotwise: lotwise made a mistake of its own"
    )
    assert "of ours" in told


def test_each_section_is_on_the_screen_before_the_next_is_worked_out(capsys):
    seen = []

    def sections():
        seen.append(capsys.readouterr().out)
        yield "one"
        seen.append(capsys.readouterr().out)

    ended(sections())
    assert seen == ["the answer\n", "\none\n"]


@pytest.mark.parametrize(
    ("error", "code"), [(KeyboardInterrupt(), Ending.INTERRUPTED), (ZeroDivisionError("of ours"), Ending.OURS)]
)
def test_no_second_document_follows_one_that_was_begun(error, code, capsys):
    assert ended(stopped_by(error), as_json=True) == code
    shown = capsys.readouterr()
    assert shown.out == "the answer\n\none\n"
    assert "what is shown is not all of the answer" in shown.err
