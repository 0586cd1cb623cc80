"""What `measure` must be told, as questions, and the yarn as it was measured, made of the answers."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.prompting import Question, gather
from stash.budget import Measured
from stash.count import CountError, count_fault
from stash.fibre import Blend, read_blend
from stash.measuring import Reading, Sample, sample_of
from stash.samples import scale_of
from stash.units import Quantity, UnitError, read_length, read_mass, read_number

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    Given = Mapping[str, str | Sequence[str] | None]

WAY = "--turns, --length, --wraps or --sample"  # no flag of its own: the others tell
TURNS, AROUND, LENGTH, WRAPS, SAMPLE = "--turns", "--around", "--length", "--wraps", "--sample"
MASS, BEFORE, AFTER, SCALE, APART = "--mass", "--before", "--after", "--scale", "--apart"
BATCH, FIBRE, PLIES = "--batch", "--fibre", "--plies"
UNKNOWN = "unknown"

_OF_WAY = {
    "turns": {TURNS, AROUND, MASS, BEFORE, AFTER, SCALE, APART},
    "length": {LENGTH, MASS, BEFORE, AFTER, SCALE, APART},
    "wraps": {WRAPS, SCALE},
    "samples": {SAMPLE, SCALE, APART},
}
_WAYS = {TURNS: "turns", LENGTH: "length", WRAPS: "wraps", SAMPLE: "samples"}
_ALSO_CALLED = {"swift": "turns", "turn": "turns", "tape": "length", "wrap": "wraps", "sample": "samples"}
_WITH_ALL = {BATCH, FIBRE, PLIES}
MOST_PLIES = 12
_SAMPLE_FORM = 'write "120 turns of 1.5 m, 42 g", or "12.4 m, 5.1 g"; by difference "12.4 m, 118 g - 76 g"'
LEAD = "Tell what you measured; Enter takes what stands in brackets."


@dataclass(frozen=True)
class Told:
    """What was told: the yarn as measured, how the scale and the samples read, and what else was asked for.

    `length`: a length that was measured but not weighed, with its turns.
    """

    yarn: Measured | None
    length: Reading | None
    readings: tuple[Reading, ...]
    wraps: Fraction | None
    scale: Quantity | None
    apart: bool
    batch: Quantity | None
    blend: Blend
    plies: int


def _above_zero(read: Callable[[str], Any]) -> Callable[[str], Any]:
    def checked(text: str) -> Any:
        value = read(text)
        if (value.value if isinstance(value, Quantity) else value) <= 0:
            raise UnitError(f"'{text.strip()}' is not above zero", "measure it again")
        return value

    return checked


_length, _mass, _number = _above_zero(read_length), _above_zero(read_mass), _above_zero(read_number)


def _way(text: str) -> str:
    text = _ALSO_CALLED.get(text, text)
    if text not in _OF_WAY:
        raise UnitError(f"'{text}' is not one of them", f"write {', '.join(_OF_WAY)}")
    return text


def _yes(text: str) -> bool:
    if text not in {"yes", "no"}:
        raise UnitError(f"'{text}' is neither yes nor no", "write yes or no")
    return text == "yes"


def _plies(text: str) -> int:
    number = read_number(text)
    if number.denominator != 1 or not 1 <= number <= MOST_PLIES:
        raise UnitError(f"'{text}' plies cannot be", f"write a whole number from 1 to {MOST_PLIES}")
    return int(number)


def read_sample(text: str) -> Reading:
    """Return a sample such as "120 turns of 1.5 m, 42 g" or "12.4 m, 118 g - 76 g". Raises UnitError."""
    long, comma, heavy = text.partition(",")
    if not comma:
        raise UnitError(f"'{text.strip()}' is no sample: a length, a comma and a mass", _SAMPLE_FORM)
    wound = re.fullmatch(r"\s*(\S+)\s+(?:turns?|strands?)\s+of\s+(.+)", long)
    weighings = tuple(_mass(one) for one in heavy.split(" - "))
    if len(weighings) > 2:
        raise UnitError(f"'{heavy.strip()}' is more than two weighings", _SAMPLE_FORM)
    if wound:
        reading = Reading(_number(wound[1]), _length(wound[2]), weighings)
    else:
        reading = Reading(None, _length(long), weighings)
    if reading.mass_g <= 0:
        raise UnitError(f"'{heavy.strip()}' leaves nothing", "write what the scale showed before, then after")
    return reading


def _is(*ways: str) -> Callable[[Mapping[str, Any]], bool]:
    return lambda told: told[WAY] in ways


def _weighed(told: Mapping[str, Any]) -> bool:
    """Whether a sample was put on the scale."""
    return bool(told[SAMPLE]) or told[MASS] is not None or told[BEFORE] is not None


def _by_difference(told: Mapping[str, Any]) -> bool:
    return told[WAY] in {"turns", "length"} and told[MASS] is None


QUESTIONS = (
    Question(WAY, "How was it measured? turns (on a swift), length (laid out), wraps (in an inch), samples:", _way),
    Question(TURNS, "How many turns, or strands across the hank?", _number, when=_is("turns")),
    Question(AROUND, "How long is one turn? such as 1.5 m or 61 in", _length, when=_is("turns")),
    Question(LENGTH, "How long is the sample? such as 12.4 m", _length, when=_is("length")),
    Question(WRAPS, "How many wraps lie in an inch?", _number, when=_is("wraps")),
    Question(
        SAMPLE,
        'Each sample, such as "120 turns of 1.5 m, 42 g" or "12.4 m, 5.1 g"; the next one?',
        read_sample,
        many=True,
        when=_is("samples"),
    ),
    Question(
        MASS,
        "What does it weigh? such as 42 g; Enter alone: by difference, or not weighed",
        _mass,
        "",
        when=_is("turns", "length"),
    ),
    Question(BEFORE, "What did the scale show before it was wound off?", _mass, "", when=_by_difference),
    Question(AFTER, "And after?", _mass, when=lambda told: told[BEFORE] is not None),
    Question(
        APART,
        "Weighed on another day or in another room than the skeins, yes or no?",
        _yes,
        "no",
        when=_weighed,
    ),
    Question(BATCH, "What does all of this yarn weigh? such as 440 g", _mass, ""),
    Question(
        SCALE,
        "In what steps does the scale read, such as 0.1 g? (the last digit you wrote)",
        _mass,
        "",
        when=lambda told: _weighed(told) or told[BATCH] is not None,
    ),
    Question(FIBRE, "What is it made of? such as 80% wool, 20% polyamide", read_blend, UNKNOWN),
    Question(PLIES, "How many plies is it twisted of?", _plies, "1"),
)


def ask_measure(given: Given) -> Told:
    """Everything `measure` must be told, from its flags or, where none is given, by prompts.

    Raises AskError for what is missing, wrong or does not go together.
    """
    flags = {flag: value for flag, value in given.items() if value}
    if flags or not (sys.stdin.isatty() and sys.stderr.isatty()):
        flags[WAY] = _way_of(flags)
    return _told(gather(QUESTIONS, flags, lead=LEAD))


def _way_of(flags: Given) -> str:
    """The way that was measured, by the flags given; refuses those that do not go with it."""
    ways = [flag for flag in _WAYS if flag in flags]
    if not ways:
        raise AskError(
            f"{WAY} is missing: how was the yarn measured?",
            "for example --turns 120 --around '1.5 m' --mass '42 g'; or give no flag at all to be asked",
        )
    way = _WAYS[ways[0]]
    odd = sorted(set(flags) - _OF_WAY[way] - _WITH_ALL)
    if odd:
        raise AskError(f"{odd[0]} does not go with {ways[0]}", "tell one way of measuring; see lotwise measure --help")
    if MASS in flags and (BEFORE in flags or AFTER in flags):
        raise AskError(f"{MASS} does not go with {BEFORE} and {AFTER}", "give the mass, or the two readings")
    if AFTER in flags and BEFORE not in flags:
        raise AskError(f"{AFTER} is given without {BEFORE}", "give both readings, or the mass")
    return way


def _told(values: Mapping[str, Any]) -> Told:
    readings = values[SAMPLE] or _readings(values)
    if values[WAY] == "samples" and not readings:
        raise AskError("there is no sample", _SAMPLE_FORM)
    scale, apart, batch, blend = values[SCALE], bool(values[APART]), values[BATCH], values[FIBRE]
    weighed = tuple(one for one in readings if one.weighings)
    yarn = None
    if weighed or values[WRAPS] is not None:
        samples = tuple(weigh(one, scale, apart=apart) for one in weighed)
        batch_g, step = (None, Fraction(0)) if batch is None else (batch.value, scale_of(batch, scale))
        yarn = Measured(samples, values[WRAPS], blend, batch_g, step)
        _refuse_impossible(yarn)
    return Told(
        yarn,
        None if weighed or not readings else readings[0],
        weighed,
        values[WRAPS],
        scale,
        apart,
        batch,
        blend,
        values[PLIES],
    )


def _readings(values: Mapping[str, Any]) -> tuple[Reading, ...]:
    long: Quantity | None = values[AROUND] or values[LENGTH]
    if long is None:
        return ()
    weighings = tuple(one for one in (values[MASS], values[BEFORE], values[AFTER]) if one is not None)
    reading = Reading(values[TURNS], long, weighings)
    if len(weighings) == 2 and reading.mass_g <= 0:
        raise AskError(
            f"{AFTER} {weighings[1].text} is not below {BEFORE} {weighings[0].text}",
            "write what the scale showed before the sample was wound off, then after",
        )
    return (reading,)


def weigh(reading: Reading, scale: Quantity | None, *, apart: bool) -> Sample:
    """The sample of a reading, the scale's step as stated, else the last digit written. Raises AskError."""
    steps = tuple(scale_of(one, scale) for one in reading.weighings)
    if max(steps) > reading.mass_g:
        raise AskError("the sample weighs less than the scale can show", f"weigh a longer sample, or correct {SCALE}")
    return sample_of(reading, steps, apart=apart)


def _refuse_impossible(yarn: Measured) -> None:
    """Refuse a count that no yarn has."""
    try:
        told = count_fault(yarn.count())
    except CountError as error:
        raise AskError(str(error), error.hint) from None
    if told is not None and not told[2]:
        raise AskError(told[0], told[1])
