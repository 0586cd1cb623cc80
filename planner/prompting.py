"""What a command must be told: by flags, or, where none is given and someone is there to answer, by prompts."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.faultprint import safe_text
from planner.show.tables import fold

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence


@dataclass(frozen=True)
class Question:
    """One thing to be told.

    `read` makes a value of its text, or raises ValueError, whose `hint`, where it has one, says what to write instead.
    Enter alone stands for `default`, which may hang on the answers before; "" may be left out (its value is None), None
    must be answered. `many`: any number of answers, as a tuple; prompted for until Enter alone. `when`: whether it
    arises, by the answers before it. `needed`: whether a prompt takes no Enter alone for the first of many, because of
    what was left out before it.
    """

    flag: str  # such as "--turns"
    words: str  # such as "how many turns on the swift?"
    read: Callable[[str], Any]
    default: str | Callable[[], str | None] | None = None
    many: bool = False
    when: Callable[[Mapping[str, Any]], bool] = lambda _: True
    needed: Callable[[Mapping[str, Any]], bool] = lambda _: False

    @property
    def offered(self) -> str | None:
        return self.default() if callable(self.default) else self.default


def someone_answers() -> bool:
    """Whether a person can be asked: both input and error output are a terminal."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def gather(
    questions: Sequence[Question], given: Mapping[str, str | Sequence[str] | None], *, lead: str = ""
) -> dict[str, Any]:
    """Flag -> value, for every question; None, or no value of many, where it does not arise or is left out.

    `given`: flag -> its text, or texts, as on the command line. Prompts, after the `lead`, only when nothing is given
    and both input and error output are a terminal. Raises AskError for a flag that is wrong or missing.
    """
    by_prompt = not any(given.values()) and someone_answers()
    if by_prompt and lead:
        _say(f"{lead}\n")
    values: dict[str, Any] = {}
    for question in questions:
        if not question.when(values):
            values[question.flag] = () if question.many else None
        elif by_prompt:
            values[question.flag] = _prompted_many(question, values) if question.many else _prompted(question)
        else:
            values[question.flag] = _flagged(question, given.get(question.flag))
    return values


def _flagged(question: Question, given: str | Sequence[str] | None) -> Any:
    if question.many:
        return tuple(_read_flag(question, text) for text in given or ())
    text = question.offered if given is None else str(given)
    if text is None:
        raise AskError(f"{question.flag} is missing: {question.words}", "give it, or give no flag at all to be asked")
    return None if given is None and not text else _read_flag(question, text)


def _read_flag(question: Question, text: str) -> Any:
    try:
        return question.read(text)
    except ValueError as error:
        raise AskError(f"{question.flag}: {error}", getattr(error, "hint", "")) from None


def _prompted_many(question: Question, before: Mapping[str, Any]) -> tuple[Any, ...]:
    values = [_prompted(question)] if question.needed(before) else []
    while (value := _prompted(question, default="")) is not None:
        values.append(value)
    return tuple(values)


def _prompted(question: Question, default: str | None = None) -> Any:
    """Ask until the answer can be read."""
    default = question.offered if default is None else default
    offered = f" [{default}]" if default else " (Enter to leave it out)" if default == "" else ""
    while True:
        _say(f"{fold(question.words + offered)} ")
        line = sys.stdin.readline()
        if not line:
            raise AskError("the answers ended before the questions", "answer all of them, or use the flags")
        text = line.strip() or default
        if text == "":
            return None
        if text is None:
            _say("  this one is needed\n")
            continue
        try:
            return question.read(text)
        except ValueError as error:
            hint = getattr(error, "hint", "")
            for told in (str(error), hint):
                _say(fold(safe_text(told), indent="  ") + "\n" if told else "")


def _say(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
