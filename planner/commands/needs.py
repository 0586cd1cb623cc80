"""`lotwise needs`: what a shape takes, by size and class."""

from pathlib import Path
from typing import Annotated

import typer

from planner.commands.shared import HERE, Answer, AsJson, DryRun, Ending, Folder, Given, ShowUnits, Text, Units, flag

Shape = Annotated[Text, typer.Argument(metavar="SHAPE", hidden=True, show_default=False)]


def needs(
    shape: Shape = None,
    construction: Annotated[
        Text,
        flag("--construction", "HOW", "drop shoulder, raglan, round yoke; turned-up brim; triangle, half circle."),
    ] = None,
    whom: Annotated[Text, flag("--for", "WHOM", "baby, child, woman, man or everyone.")] = None,
    size: Annotated[Text, flag("--size", "SIZE", 'Such as M, or "S, M"; without it every size.')] = None,
    fit: Annotated[Text, flag("--fit", "FIT", "very close, close, classic, loose or oversized.")] = None,
    ease: Annotated[Text, flag("--ease", "LENGTH", "How much wider than the body, instead of a fit.")] = None,
    rib: Annotated[Text, flag("--rib", "LENGTH", "How deep the edgings are.")] = None,
    craft: Annotated[Text, flag("--craft", "CRAFT", "knitting or crochet; crochet needs a swatch.")] = None,
    stitch: Annotated[Text, flag("--stitch", "STITCH", "plain, garter, moss, rib, cable, stranded or lace.")] = None,
    yarn: Annotated[Text, flag("--yarn", "CLASS", "Such as dk; without it each class.")] = None,
    gauge: Annotated[Text, flag("--gauge", "GAUGE", 'Stitches x rows in 10 cm, such as "22 x 30".')] = None,
    swatch: Annotated[Text, flag("--swatch", "SWATCH", '"20 cm x 20 cm, 31 m", instead of a gauge.')] = None,
    bands: Annotated[Text, flag("--bands", "BANDS", 'Stripes by their rows: "main 20, ochre 4".')] = None,
    motif: Annotated[Text, flag("--motif", "SHARE", 'Stranded motif, of the stitches: "35% of yoke".')] = None,
    edging: Annotated[Text, flag("--edging", "same|own", "Whether edgings have a yarn of their own.")] = None,
    pattern: Annotated[Text, flag("--pattern", "NAME", "Answer with a pattern file, to be saved.")] = None,
    save: Annotated[bool, typer.Option("--save", help="Save that file as a new one in patterns.")] = False,
    dry_run: DryRun = False,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Annotated[Text, flag("--confidence", "SHARE", "How sure each end is; without it 95%.")] = None,
    as_json: AsJson = False,
) -> None:
    """How much yarn does it take? By shape, size and class of yarn; asks when no flag is given.

    SHAPE is pullover, cardigan, vest, hat, mittens, socks, cowl, scarf, shawl or blanket. With --pattern the answer
    is a pattern file.
    """
    from planner.commands.endings import finish

    given: Given = {"SHAPE": shape, "--construction": construction, "--for": whom, "--size": size, "--fit": fit}
    given |= {"--ease": ease, "--rib": rib, "--craft": craft, "--stitch": stitch, "--yarn": yarn, "--gauge": gauge}
    given |= {"--swatch": swatch, "--bands": bands, "--motif": motif, "--edging": edging, "--pattern": pattern}
    given |= {"--save": "yes" if save else None}
    finish(lambda: answer_needs(workspace, given, confidence, units, as_json=as_json), as_json=as_json, dry_run=dry_run)


def answer_needs(folder: Path, given: Given, confidence: Text, units: Units, *, as_json: bool) -> Answer:
    from planner.needs.answering import run_needs

    done = run_needs(folder, given, confidence)
    changed = f"{done.saved} was written" if done.saved else ""
    if as_json:
        from planner.show.documents import write
        from planner.show.needsdocument import needs_document

        return Answer(write(needs_document(done.found, done.pattern, done.saved)), Ending.DONE, changed)
    if done.pattern is not None and not done.saved:
        return Answer(done.pattern, Ending.DONE)
    from planner.show.needs import needs_text

    return Answer(needs_text(done.found, units.value, done.saved), Ending.DONE, changed)
