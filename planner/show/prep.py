"""What `prep` says: a work sheet of 80 columns in plain text, to be printed and written on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.prep.steps import SELLING
from planner.show.tables import fold

if TYPE_CHECKING:
    from planner.prep.sheet import WorkSheet
    from planner.prep.steps import Step


def prep_text(sheet: WorkSheet) -> str:
    """The sheet: its heading, the steps with room to tick and to write, and the lot's text with blanks."""
    name = "this garment" if sheet.donor is None else safe_text(sheet.donor)
    told = [fold(f"Work sheet for {name}: {what_it_is(sheet)}.")]
    told += [_step(number, step) for number, step in enumerate(sheet.steps, 1)]
    if sheet.blanks:
        head = "Fill this in, one such lot for each colour, and save it as a new file in the folder stash:"
        told.append(f"{fold(head)}\n\n" + "\n".join(f"  {safe_text(line)}" for line in sheet.blanks))
    told.append("\n".join(fold(f"! {line}", hanging="  ") for line in SELLING))
    return "\n\n".join(told)


def what_it_is(sheet: WorkSheet) -> str:
    garment = sheet.garment
    fibre = "fibre unknown" if garment.blend is None else safe_text(garment.blend.text)
    seams = {"linked": "linked seams", "cut": "cut seams", None: "seams not looked at"}[garment.seams]
    felts = {True: "it felts", False: "it does not felt", None: "whether it felts is unknown"}[sheet.felts]
    return f"{fibre}; {seams}; {'felted already' if garment.felted == 'felted' else felts}"


def _step(number: int, step: Step) -> str:
    lines = [f"{number}. {step.title}"]
    lines += [fold(line, indent="   [ ] ", hanging="       ") for line in step.do]
    lines += [fold(line, indent="     ! ", hanging="       ") for line in step.cautions]
    lines += [f"       {line}" for line in step.blanks]
    return "\n".join(lines)
