"""What must be told of a new lot beside its count, as questions."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.measure.asking import FIBRE
from planner.measure.newlot import NewLot, NewSkein
from planner.prompting import Question, gather
from stash.colour import read_colour
from stash.kinds import ID
from stash.nearest import suggest
from stash.skeins import MOST_PIECES
from stash.units import LENGTH_UNITS, UnitError, read_length, read_mass, read_number

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from planner.measure.asking import Told
    from stash.lots import Stash

    Given = Mapping[str, str | Sequence[str] | None]

ADD, COLOUR, DONOR, BLEEDS, FELTS, SKEIN = "--add", "--colour", "--donor", "--bleeds", "--felts", "--skein"
_SKEIN = re.compile(r"(?:([A-Za-z0-9][A-Za-z0-9_-]*)\s*=\s*)?(.+?)(?:\s+in\s+(\S+)\s+pieces?)?", re.DOTALL)
_ID_HINT = "a name is plain letters, digits, '-' and '_', at most 64, a letter or digit first, such as tide"
_SKEIN_FORM = 'write "118 g", "210 yd", "96 g in 3 pieces", or with its name tide-2="96 g"'


def ask_name(stash: Stash, given: str | None, *, prompted: bool) -> str | None:
    """The new lot's name: by its flag, or, where the measuring was prompted for, by a prompt; None: nothing to add.

    Raises AskError for a name that cannot be or is taken.
    """
    if given is None and not prompted:
        return None
    words = "Write it into the stash as a new lot? Its name, such as tide:"
    question = Question(ADD, words, _name_reader(stash), "")
    name: str | None = gather([question], {ADD: given})[ADD]
    return name


def ask_lot(name: str, told: Told, stash: Stash, given: Given) -> NewLot:
    """Everything else that a lot needs, by flags or by prompts. Raises AskError."""
    whole = "" if told.batch is None else f" (Enter alone: {told.batch.text} as one skein)"
    questions = (
        Question(COLOUR, 'What colour is it? such as "#5b6770" or navy', _colour),
        Question(DONOR, "Which donor did it come from?", _donor_reader(stash), ""),
        Question(BLEEDS, "Does its dye run? yes, no or untested", _choice("yes", "no", "untested"), "untested"),
        Question(FELTS, "Does it felt? yes, no or unknown; by its blend:", _choice("yes", "no", "unknown"), ""),
        Question(
            SKEIN, f"Each skein, such as 118 g, 210 yd or 96 g in 3 pieces{whole}; the next one?", read_skein, many=True
        ),
    )
    values = gather(questions, given)
    skeins = values[SKEIN] or (() if told.batch is None else (NewSkein("", told.batch.text, "mass", None),))
    if not skeins:
        raise AskError(f"{SKEIN} is missing: what does each skein weigh?", _SKEIN_FORM)
    return NewLot(
        name,
        told.blend.text,
        values[COLOUR],
        values[DONOR],
        None if values[BLEEDS] == "untested" else values[BLEEDS],
        values[FELTS],
        _named(name, skeins, stash),
    )


def read_skein(text: str) -> NewSkein:
    """Return the skein of "118 g", "210 yd", "96 g in 3 pieces" or "tide-2=96 g". Raises UnitError."""
    found = _SKEIN.fullmatch(text.strip())
    if found is None:
        raise UnitError("nothing is written here", _SKEIN_FORM)
    name, quantity, pieces = found.groups()
    kind, read = ("length", read_length) if _unit(quantity) in LENGTH_UNITS else ("mass", read_mass)
    if read(quantity).value <= 0:
        raise UnitError(f"'{quantity}' is not above zero", "weigh it again, or leave it out")
    if pieces is not None and (read_number(pieces).denominator != 1 or not 1 <= read_number(pieces) <= MOST_PIECES):
        raise UnitError(f"'{pieces}' pieces cannot be", f"write a whole number from 1 to {MOST_PIECES}")
    return NewSkein(name or "", quantity, kind, None if pieces is None else int(read_number(pieces)))


def _unit(quantity: str) -> str:
    return quantity.strip().lstrip("0123456789., ")


def _named(lot: str, skeins: Sequence[NewSkein], stash: Stash) -> tuple[NewSkein, ...]:
    """Skeins with their names: as given, else LOT-1, LOT-2; a name that is taken is refused, and a free one told."""
    taken = _taken(stash) | {lot.casefold()}
    named: list[NewSkein] = []
    for place, skein in enumerate(skeins, 1):
        own = skein.id or f"{lot}-{place}"
        if own.casefold() in taken:
            free = next(one for n in range(1, len(taken) + 2) if (one := f"{lot}-{n}").casefold() not in taken)
            raise AskError(f"{SKEIN}: the name {own} is taken already", f"give it another: {free}='{skein.quantity}'")
        taken.add(own.casefold())
        named.append(replace(skein, id=own))
    return tuple(named)


def _taken(stash: Stash) -> set[str]:
    skeins = (skein.id for lot in stash.lots.values() for skein in lot.skeins)
    return {name.casefold() for name in (*stash.donors, *stash.lots, *skeins)}


def _name_reader(stash: Stash) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not ID.fullmatch(text):
            raise UnitError(f"'{text}' cannot be the name of a lot", _ID_HINT)
        if text.casefold() in _taken(stash):
            raise UnitError(f"the name {text} is taken already", f"give it another name, such as {text[:62]}-b")
        return text

    return read


def _donor_reader(stash: Stash) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text not in stash.donors:
            raise UnitError(f"there is no donor '{text}'", suggest(text, sorted(stash.donors), "the donors are"))
        return text

    return read


def _colour(text: str) -> str:
    read_colour(text)
    return text.strip()


def _choice(*words: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text not in words:
            raise UnitError(f"'{text}' is not one of them", f"write {', '.join(words[:-1])} or {words[-1]}")
        return text

    return read


def must_tell_fibre(given: Mapping[str, Any]) -> None:
    """A lot names its fibre, even where that is to say that nobody knows it."""
    if not given.get(FIBRE):
        raise AskError(f"{FIBRE} is missing: what is it made of?", 'write "80% wool, 20% polyamide", or unknown')
