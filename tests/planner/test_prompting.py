"""Commands are told what they need by flags, or by prompts that ask a wrong answer again."""

import io

import pytest

from planner.asking import AskError
from planner.prompting import Question, gather
from stash.units import read_length, read_number

TURNS = Question("--turns", "how many turns?", read_number)
AROUND = Question("--around", "how long is one turn?", read_length, default="1.5 m")
NOTE = Question("--note", "a note?", str, default="")
WEIGHED = Question("--weighed", "what does it weigh?", read_number, many=True)
FEW = Question("--few", "so few?", str, when=lambda values: values["--turns"] < 10)


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture
def terminal(monkeypatch):
    """Answers typed, and what stands on the screen."""

    def typed(text):
        screen = Terminal()
        monkeypatch.setattr("sys.stdin", Terminal(text))
        monkeypatch.setattr("sys.stderr", screen)
        return screen

    return typed


def test_flags_are_read_and_defaults_filled_in():
    values = gather([TURNS, AROUND, NOTE, WEIGHED], {"--turns": "40", "--weighed": ["3", "4"]})
    assert (values["--turns"], values["--around"].value, values["--note"]) == (40, 1.5, None)
    assert values["--weighed"] == (3, 4)


def test_a_wrong_flag_is_refused_with_its_reason():
    with pytest.raises(AskError) as refused:
        gather([TURNS, AROUND], {"--turns": "40", "--around": "150"})
    assert str(refused.value).startswith("--around: ")
    assert refused.value.hint


def test_a_missing_flag_is_named():
    with pytest.raises(AskError) as refused:
        gather([TURNS, AROUND], {"--around": "1 m"})
    assert str(refused.value) == "--turns is missing: how many turns?"


def test_a_wrong_answer_is_asked_again_with_the_reason(terminal):
    screen = terminal("\nmany\n12\n\n")
    values = gather([TURNS, AROUND], {}, lead="A sample.")
    assert (values["--turns"], values["--around"].value) == (12, 1.5)
    said = screen.getvalue().splitlines()
    assert said[0] == "A sample."
    assert screen.getvalue().count("how many turns?") == 3
    assert "this one is needed" in screen.getvalue()
    assert "[1.5 m]" in screen.getvalue()


def test_many_answers_end_with_enter_alone(terminal):
    terminal("3\n4\n\n")
    assert gather([WEIGHED], {}) == {"--weighed": (3, 4)}


def test_a_question_that_does_not_arise_is_not_asked(terminal):
    terminal("12\n")
    assert gather([TURNS, FEW], {}) == {"--turns": 12, "--few": None}


def test_answers_that_end_early_are_refused(terminal):
    terminal("12\n")
    with pytest.raises(AskError):
        gather([TURNS, AROUND], {})


def test_nobody_is_prompted_where_nobody_can_answer(monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO("12\n"))
    with pytest.raises(AskError, match="--turns is missing"):
        gather([TURNS], {})
