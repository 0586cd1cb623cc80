"""What `prep` asks: of the garment what bears on the work, and which swift and scale there are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.prep.sheet import Tools, WorkSheet, work_sheet
from planner.prompting import Question, gather
from planner.rack.asking import QUESTIONS, choice, garment_of, only_given, some
from planner.rack.judging import donor_garment
from stash.garment import Garment
from stash.units import read_length, read_mass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.rack.asking import Given
    from planner.workspace import Workspace
    from stash.units import System

FELTS, AROUND, SCALE = "--felts", "--around", "--scale"
OF_THE_GARMENT = (
    *("--fibre", "--seams", "--felted", "--pilled", "--holes", "--stains", "--smell", "--moths", "--colours"),
    "--colour",
)
LEAD = "Tell what bears on the work; Enter alone takes what stands in brackets."
_SHRINKS = {"yes": True, "no": False, "unknown": None}
PREP_QUESTIONS: tuple[Question, ...] = (
    *(one for one in QUESTIONS if one.flag in OF_THE_GARMENT),
    Question(FELTS, "Does it felt in hot water: yes, no or unknown?", choice(_SHRINKS), ""),
    Question(AROUND, "How long is once round your swift?", some(read_length, most=100), "1.5 m"),
    Question(SCALE, "In what steps does your scale show the mass?", some(read_mass, most=1000), "1 g"),
)


def ask_sheet(workspace: Workspace | None, donor: str | None, given: Given, units: System) -> WorkSheet:
    """The work sheet of a donor, with what flags add; else of a garment told by flags, or by prompts.

    Raises AskError for what cannot be read, or a donor nobody knows.
    """
    if donor is None or workspace is None:
        return _sheet(gather(PREP_QUESTIONS, given, lead=LEAD), Garment(), None, units)
    return _sheet(only_given(PREP_QUESTIONS, given), donor_garment(workspace, donor), donor, units)


def _sheet(values: Mapping[str, Any], base: Garment, donor: str | None, units: System) -> WorkSheet:
    of_garment = {flag: value for flag, value in values.items() if flag in OF_THE_GARMENT}
    usual = Tools()
    tools = Tools(values.get(AROUND) or usual.around, values.get(SCALE) or usual.scale)
    return work_sheet(garment_of(of_garment, base), donor, tools, values.get(FELTS), units)
