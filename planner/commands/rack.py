"""`lotwise rack`: whether a garment is worth buying and unravelling."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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

if TYPE_CHECKING:
    from planner.workspace import Workspace

Donors = Annotated[list[str] | None, typer.Argument(metavar="DONOR", hidden=True, show_default=False)]


@dataclass(frozen=True)
class Wish:
    """Which donors are asked about, and how the answer is wanted."""

    donors: tuple[str, ...]
    given: Given
    compare: bool
    only_lot: bool
    confidence: Text


def rack(
    donors: Donors = None,
    kind: Annotated[Text, flag("--kind", "KIND", "What it is, such as pullover, cardigan or vest.")] = None,
    size: Annotated[Text, flag("--size", "SIZE", "child, S, M, L or XL.")] = None,
    fibre: Annotated[Text, flag("--fibre", "BLEND", "As on the label; without it unknown.")] = None,
    mass: Annotated[Text, flag("--mass", "MASS", "What it weighs.")] = None,
    scale: Annotated[Text, flag("--scale", "MASS", "The scale's steps. Without it: the last digit written.")] = None,
    stitches: Annotated[Text, flag("--stitches", "NUMBER", "Stitches across 10 cm, lying flat.")] = None,
    rows: Annotated[Text, flag("--rows", "NUMBER", "Rows up 10 cm.")] = None,
    over: Annotated[Text, flag("--over", "LENGTH", "If not over 10 cm.")] = None,
    stitch: Annotated[Text, flag("--stitch", "STITCH", "plain, garter, moss, rib, cable, stranded or lace.")] = None,
    panel: Annotated[
        list[str] | None, flag("--panel", "PANEL", 'Each: "2 x 52 cm x 60 cm" or "2 x 20-38 cm x 45 cm".')
    ] = None,
    seams: Annotated[Text, flag("--seams", "linked|cut", "Knitted to shape, or cut and overlocked.")] = None,
    felted: Annotated[Text, flag("--felted", "no|slightly|felted", "How far it is felted.")] = None,
    pilled: Annotated[Text, flag("--pilled", "yes|no", "Whether it is pilled or worn thin.")] = None,
    holes: Annotated[Text, flag("--holes", "NUMBER", "How many holes.")] = None,
    stains: Annotated[Text, flag("--stains", "NUMBER", "How many stains.")] = None,
    smell: Annotated[Text, flag("--smell", "yes|no", "Whether it smells.")] = None,
    moths: Annotated[Text, flag("--moths", "yes|no", "Any sign of moths.")] = None,
    colours: Annotated[Text, flag("--colours", "NUMBER", "How many colours.")] = None,
    main_share: Annotated[Text, flag("--main-share", "SHARE", "The main colour's part, such as 60%.")] = None,
    fancy: Annotated[Text, flag("--fancy", "yes|no", "Looped, hairy or knotted yarn.")] = None,
    plies: Annotated[Text, flag("--plies", "NUMBER", "Strands that run side by side in it.")] = None,
    colour: Annotated[Text, flag("--colour", "COLOUR", 'Its main colour, such as "#5b6770" or navy.')] = None,
    price: Annotated[Text, flag("--price", "NUMBER", "What it costs, a plain number.")] = None,
    compare: Annotated[bool, typer.Option("--compare", help="Rank several donors of your stash files.")] = False,
    lot: Annotated[bool, typer.Option("--lot", help="Print only the lot it would become, as a stash file.")] = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    as_json: AsJson = False,
) -> None:
    """Is this garment worth buying and unravelling? What it would give, and which projects it would unlock.

    DONOR is a garment of your stash files; without one it is told by flags, or asked when none is given.
    """
    from planner.commands.endings import finish

    given: Given = {"--kind": kind, "--size": size, "--fibre": fibre, "--mass": mass, "--scale": scale}
    given |= {"--stitches": stitches, "--rows": rows, "--over": over, "--stitch": stitch, "--panel": panel}
    given |= {"--seams": seams, "--felted": felted, "--pilled": pilled, "--holes": holes, "--stains": stains}
    given |= {"--smell": smell, "--moths": moths, "--colours": colours, "--main-share": main_share}
    given |= {"--fancy": fancy, "--plies": plies, "--colour": colour, "--price": price}
    wish = Wish(tuple(donors or ()), given, compare, lot, confidence)
    finish(lambda: answer_rack(workspace, wish, units, as_json=as_json), as_json=as_json)


def answer_rack(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    from patterns.read_projects import CONFIDENCE
    from planner.asking import read_confidence
    from planner.rack import ask_rack

    workspace = read_place(folder, needed=bool(wish.donors) or wish.compare)
    sure = read_confidence(wish.confidence, CONFIDENCE if workspace is None else workspace.projects.confidence)
    judged = ask_rack(workspace, wish.donors, wish.given, sure, several=wish.compare)
    if as_json:
        from planner.show.documents import write
        from planner.show.rackdocument import compare_document, rack_document

        return Answer(
            write(compare_document(judged, sure) if wish.compare else rack_document(judged[0], sure)), Ending.DONE
        )
    if wish.only_lot:
        from planner.rack import lot_of

        return Answer("\n".join(lot_of(one).text for one in judged), Ending.DONE)
    from planner.show.rack import rack_text
    from planner.show.rackcompare import compare_text

    return Answer(compare_text(judged, units.value) if wish.compare else rack_text(judged[0], units.value), Ending.DONE)


def read_place(folder: Path, *, needed: bool) -> "Workspace | None":
    """The workspace in `folder`; None where there is none and none is needed."""
    from planner.commands.reading import read_workspace

    if not needed and not any((folder / name).exists() for name in ("stash.yaml", "stash", "patterns")):
        return None
    return read_workspace(folder)
