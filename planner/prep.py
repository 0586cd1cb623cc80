"""A donor's work sheet: what to do with a garment, step by step, from the bag to a lot in the stash."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.prepsteps import Step, keep_apart, make_use, rinse_test, skein, take_apart, undo, wash_and_dry
from planner.racklot import FELTS_WORD, blend_of, shrinks
from stash.fibre import show_blend
from stash.pieces import pieces_of
from stash.reclaiming import NoGaugeError, reclaim
from stash.sampling import TURNS_IF_THICKNESS_UNKNOWN, grams_needed, turns_needed
from stash.units import read_length, read_mass, show_mass

if TYPE_CHECKING:
    from stash.garment import Garment
    from stash.pieces import Pieces
    from stash.reclaiming import Reclaimed
    from stash.units import Quantity, System

USUAL_AROUND = read_length("1.5 m")
USUAL_SCALE = read_mass("1 g")


@dataclass(frozen=True)
class Sample:
    """What to wind and weigh: so many turns, or `grams` at least where the thickness is not known before.

    `turns` is None where the yarn comes in threads too short to wind: they are laid out along a tape.
    """

    turns: int | None
    grams: float
    thickness_known: bool


@dataclass(frozen=True)
class Tools:
    """The user's swift and scale."""

    around: Quantity = USUAL_AROUND
    scale: Quantity = USUAL_SCALE


@dataclass(frozen=True)
class WorkSheet:
    """All steps of a garment, in order, and the lot's own text with blanks; no lot where it is felted."""

    donor: str | None
    garment: Garment
    felts: bool | None
    steps: tuple[Step, ...]
    sample: Sample | None
    blanks: tuple[str, ...]


def work_sheet(garment: Garment, donor: str | None, tools: Tools, felts: bool | None, units: System) -> WorkSheet:
    """Return the work sheet; `felts` None: as its blend does."""
    found, pieces = _expected(garment)
    blend = blend_of(garment)
    felts = shrinks(blend) if felts is None else felts
    if garment.felted == "felted":
        return WorkSheet(donor, garment, felts, (keep_apart(garment), make_use()), None, ())
    sample = _threads(found, tools) if garment.seams == "cut" else _sample(found, tools)
    steps = (
        keep_apart(garment),
        take_apart(garment),
        undo(garment, pieces, found, units),
        skein(garment),
        rinse_test(),
        *wash_and_dry(blend, felts=felts),
        _measure(sample, tools, units),
    )
    return WorkSheet(donor, garment, felts, steps, sample, _blanks(garment, donor, felts, tools))


def _expected(garment: Garment) -> tuple[Reclaimed | None, tuple[Pieces, ...]]:
    """What is expected of it, where enough was seen to say."""
    try:
        found = reclaim(garment)
    except NoGaugeError:
        return None, ()
    return found, pieces_of(garment, found)


def _sample(found: Reclaimed | None, tools: Tools) -> Sample:
    """Turns for a count known to 2 %."""
    if found is not None:
        turns = turns_needed(tools.around.value, found.tex.best, tools.scale.value)
        if turns is not None:
            return Sample(turns, turns * float(tools.around.value) * found.tex.best / 1000, thickness_known=True)
    return Sample(TURNS_IF_THICKNESS_UNKNOWN, math.ceil(grams_needed(tools.scale.value)), thickness_known=False)


def _threads(found: Reclaimed | None, tools: Tools) -> Sample:
    """Rows laid out until they weigh enough for a count known to 2 %."""
    return Sample(None, math.ceil(grams_needed(tools.scale.value)), thickness_known=found is not None)


def _measure(sample: Sample, tools: Tools, units: System) -> Step:
    around, scale = tools.around.text, tools.scale.text
    cautions: tuple[str, ...] = ("Keep fingers, hair and sleeves clear of a turning swift.",)
    blanks: tuple[str, ...] = ("turns: ______     sample: ______ g     pieces in all: ______",)
    if sample.turns is None:
        wind = (
            "The threads are too short for a swift. Count out threads of one panel until they weigh "
            f"{show_mass(sample.grams, units)} or more, and lay ten of them along a tape without pulling: their "
            "mean length times the number of threads is the length of the sample. With a scale of "
            f"{scale} steps the count is then known to about 2 %."
        )
        cautions = ()
        blanks = (
            "threads: ______   one of ten: ______ cm   sample: ______ m, ______ g",
            "pieces in all: ______",
        )
    elif sample.thickness_known:
        wind = (
            f"Wind a sample of {sample.turns} turns on a swift {around} round, without pulling: so many that the count "
            f"is known to 2 % with a scale of {scale} steps. It should weigh about {show_mass(sample.grams, units)}."
        )
    else:
        wind = (
            f"Wind a sample on a swift {around} round, without pulling: {sample.turns} turns at least, and on until it "
            f"weighs {show_mass(sample.grams, units)} or more; then the count is known to 2 % with a scale of {scale} "
            "steps."
        )
    return Step(
        "measure",
        "Measure, once it is quite dry",
        (
            "Let it lie a day where the scale is: yarn is heavier in damp air. Weigh all of it on the same day.",
            wind,
            "Weigh the sample, then every skein; count the pieces in each. Write it all down on the sheet below.",
        ),
        cautions,
        blanks,
    )


def _blanks(garment: Garment, donor: str | None, felts: bool | None, tools: Tools) -> tuple[str, ...]:
    """The lot as the stash files have it, with blanks to fill in."""
    colour = f'"{garment.colour.hex}"' if garment.colour is not None else '"#______"'
    fibre = "______" if garment.blend is None else show_blend(garment.blend)
    wound = f"turns: ______, around: {tools.around.text}"
    if garment.seams == "cut":
        wound = "length: ______ m"
    lines = [
        "lots:",
        "  ______:",
        *([] if donor is None else [f'    donor: "{donor}"']),
        f"    fibre: {fibre}",
        f"    colour: {colour}",
        f"    scale: {tools.scale.text}",
        f"    count: {{{wound}, mass: ______ g}}",
        f"    felts: {FELTS_WORD[felts]}",
        "    bleeds: ______",
        "    skeins:",
        "      ______-1: {mass: ______ g, pieces: ______}",
        "      ______-2: {mass: ______ g, pieces: ______}",
        "      ______-3: {mass: ______ g, pieces: ______}",
    ]
    return tuple(lines)
