"""`lotwise measure`: count, class and metres of a yarn."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import (
    HERE,
    Answer,
    AsJson,
    Confidence,
    Ending,
    Folder,
    Given,
    ShowUnits,
    Text,
    Units,
    flag,
)
from planner.telling import tell


@dataclass(frozen=True)
class Asked:
    """How the answer is wanted: flags of the yarn, of a new lot and its name, confidence, and whether to rehearse."""

    yarn: Given
    lot: Given
    add: Text
    confidence: Text
    dry_run: bool


def measure(
    turns: Annotated[Text, flag("--turns", "NUMBER", "Turns on a swift, or strands counted across a hank.")] = None,
    around: Annotated[Text, flag("--around", "LENGTH", "The way once round, such as 1.5 m or 61 in.")] = None,
    length: Annotated[Text, flag("--length", "LENGTH", "The length of a sample laid out.")] = None,
    mass: Annotated[Text, flag("--mass", "MASS", "What the sample weighs.")] = None,
    before: Annotated[Text, flag("--before", "MASS", "By difference: the scale before it was wound off.")] = None,
    after: Annotated[Text, flag("--after", "MASS", "And after.")] = None,
    wraps: Annotated[Text, flag("--wraps", "NUMBER", "Wraps in an inch.")] = None,
    sample: Annotated[
        list[str] | None, flag("--sample", "SAMPLE", 'One of several: "120 turns of 1.5 m, 42 g" or "12.4 m, 5.1 g".')
    ] = None,
    scale: Annotated[Text, flag("--scale", "MASS", "The scale's steps. Without it: the last digit written.")] = None,
    apart: Annotated[
        bool, typer.Option("--apart", help="Weighed on another day than the skeins, or elsewhere.")
    ] = False,
    batch: Annotated[Text, flag("--batch", "MASS", "What all of this yarn weighs.")] = None,
    fibre: Annotated[Text, flag("--fibre", "BLEND", "Such as 80% wool, 20% polyamide. Without it: as wool.")] = None,
    plies: Annotated[Text, flag("--plies", "NUMBER", "How many plies it is twisted of.")] = None,
    add: Annotated[Text, flag("--add", "LOT", "Write it into the stash as a new lot of this name.")] = None,
    colour: Annotated[Text, flag("--colour", "COLOUR", 'The new lot\'s colour, such as "#5b6770" or navy.')] = None,
    donor: Annotated[Text, flag("--donor", "DONOR", "The garment it came from.")] = None,
    bleeds: Annotated[Text, flag("--bleeds", "yes|no|untested", "Whether its dye runs.")] = None,
    felts: Annotated[Text, flag("--felts", "yes|no|unknown", "Whether it felts. Without it: by its blend.")] = None,
    skein: Annotated[
        list[str] | None, flag("--skein", "SKEIN", 'Each of its skeins: "118 g", "96 g in 3 pieces", tide-2="210 yd".')
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what --add would write, and write nothing.")] = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """How thick is this yarn, and how much of it is there? From turns, weight or wraps; asks when no flag is given.

    With --add it goes into the stash as a new lot.
    """
    from planner.commands.endings import finish

    yarn: Given = {"--turns": turns, "--around": around, "--length": length, "--mass": mass}
    yarn |= {"--before": before, "--after": after, "--wraps": wraps, "--sample": sample, "--scale": scale}
    yarn |= {"--apart": "yes" if apart else None, "--batch": batch, "--fibre": fibre, "--plies": plies}
    lot: Given = {"--colour": colour, "--donor": donor, "--bleeds": bleeds, "--felts": felts, "--skein": skein}
    asked = Asked(yarn, lot, add, confidence, dry_run)
    finish(lambda: answer_measure(workspace, asked, units, as_json=as_json), as_json=as_json)


def answer_measure(folder: Path, asked: Asked, units: Units, *, as_json: bool) -> Answer:
    from planner.measure.answering import run_measure

    found, added = run_measure(folder, asked.yarn, asked.lot, asked.add, asked.confidence, rehearse=asked.dry_run)
    changed = f"{added.file} was written" if added is not None and added.written else ""
    ending = Ending.FILE if added is not None and not added.written and not asked.dry_run else Ending.DONE
    if as_json:
        from planner.show.documents import write
        from planner.show.measuredocument import measure_document

        return Answer(write(measure_document(found, added)), ending, changed)
    from planner.faultprint import show_faults
    from planner.show.measure import measure_text

    if added is not None and added.warnings:
        tell(show_faults(added.warnings).rstrip("\n") + "\n")
    return Answer(measure_text(found, units.value, added), ending, changed)
