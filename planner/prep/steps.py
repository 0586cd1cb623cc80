"""The steps of a work sheet, one function each: what to do, what to mind there, and what to note."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.prep.washing import care_for, fahrenheit
from planner.show import words
from stash.fibrenames import UNKNOWN
from stash.units import show_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.prep.washing import Care
    from stash.fibre import Blend
    from stash.garment import Garment, Panel
    from stash.pieces import Pieces
    from stash.reclaiming import Reclaimed
    from stash.units import System

LEAST_TIES = 4
_BLADES = "Blades and seam rippers: cut away from you, in good light, with your eyes shielded; count pins and needles."
_FREEZERS = (
    "Many home freezers are not cold enough; measure yours (The Textile Museum; US National Park Service, Conserve O "
    "Gram 3/6)."
)
_DUST = (
    "Dusty or musty? Open it out of doors, with a mask, and wash it cool and still before you unravel it. Mould that "
    "you can see: throw it out, sealed in its bag."
)
_FLAME = (
    "Unknown fibre: leave burn tests to those who know how, and never burn synthetics indoors: they melt, drip and "
    "give off bad fumes. Keep it from flame and from small children's things."
)
_FIRST = "Take off label, buttons and pockets; keep the label with the yarn."
_CHAIN = (
    "Turn it inside out. In each seam find the chain stitch: snip one end of it and pull the thread from the other; "
    "the side that looks like a row of V runs free."
)
_ORDER = (
    "In this order: collar and bands, side seams and the undersides of the sleeves, sleeves out of the armholes, "
    "shoulders last. Ease, never tear: cut the seam thread, not the yarn."
)
_FROM_THE_END = (
    "On each panel undo the cast-off edge, and unravel from the end knitted last: that is most often the top, and the "
    "sleeve's cap. If it will not run, try the other end."
)
_WIND = "Wind as it comes, slowly, round a chair's back or a swift; at a break begin a new piece, without a knot."
_CUT_ROWS = (
    "Begin each panel at the edge knitted last, most often the top; free a thread there and draw the row out. If it "
    "will not run, try the other end."
)
_LAY = "Lay each thread straight beside the last, all ends to one side; do not knot them together."
_TIE = (
    f"Skein it and tie it in {LEAST_TIES} places at least, loosely, in a figure of eight, with white cotton; knot both "
    "ends to a tie."
)
_BUNDLE = (
    f"Lay the threads side by side in bundles and tie each in {LEAST_TIES} places at least, loosely, in a figure of "
    "eight; do not knot them together."
)


@dataclass(frozen=True)
class Step:
    """One step; `cautions` stand where they matter, `blanks` are lines to write on."""

    key: str
    title: str
    do: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()


def keep_apart(garment: Garment) -> Step:
    """Before it comes near other wool."""
    seen = "Moths were seen" if garment.moths else "If you see any"
    do = (
        "Seal it in a bag until you begin; look inside collar, cuffs and seams for moths, webs and grit.",
        f"{seen}: freeze it in the sealed bag at -20 C (-4 F) or colder for a week, then shake it out of doors.",
    )
    cautions = [_FREEZERS, _DUST]
    if garment.blend is None or UNKNOWN in garment.blend.shares:
        cautions.append(_FLAME)
    return Step("keep-apart", "Keep it apart", do, tuple(cautions), ("bagged on: __________   moths: yes / no",))


def take_apart(garment: Garment) -> Step:
    """Into its panels."""
    do = [_FIRST, _CHAIN, _ORDER]
    if garment.seams == "cut":
        do[1:] = [
            "The edges are overlocked: cut along just inside the overlocking, seam by seam, and lay the panels flat.",
            "Every row is now a thread of its own: it comes off one row at a time, from the edge knitted last.",
        ]
    if garment.seams is None:
        do.append("If the edges turn out cut and bound over, every row is a thread of its own: stop and think again.")
    return Step("take-apart", "Take it apart", tuple(do), (_BLADES,))


def undo(garment: Garment, pieces: Sequence[Pieces], found: Reclaimed | None, units: System) -> Step:
    """Each panel down to yarn."""
    do = [_CUT_ROWS, _LAY] if garment.seams == "cut" else [_FROM_THE_END, _WIND]
    if garment.holes or garment.stains:
        do.append("Cut out holes and stains as you reach them; each makes one more piece.")
    if garment.colours > 1:
        do.append("Keep the colours apart from the first row: each is a lot of its own.")
    if garment.felted == "slightly" or garment.pilled:
        do.append("Where threads cling, draw them apart sideways; where they are worn thin, break them now, not later.")
    expected = () if found is None else tuple(_panel_blank(run, found.panels[run.panel], units) for run in pieces)
    dust = "Fine dust comes out as it runs: air the room, or go outside."
    return Step("unravel", "Unravel", tuple(do), (dust,), expected or 3 * ("panel ____________   pieces ______",))


def _panel_blank(run: Pieces, panel: Panel, units: System) -> str:
    panels, pieces = words.counted(panel.times, "panel"), words.counted(run.number, "piece")
    each = show_length(run.each_m, units)
    return f"{panels} of {words.panel_size(panel, units)}: expect {pieces} of about {each}; found ______"


def skein(garment: Garment) -> Step:
    """Ready for water."""
    tie = _BUNDLE if garment.seams == "cut" else _TIE
    return Step(
        "skein", "Skein and tie", (tie, "Tag each skein with its name before it gets wet."), (), ("skeins: ______",)
    )


def rinse_test() -> Step:
    """Whether the dye runs."""
    return Step(
        "bleed-test",
        "Test for bleeding",
        (
            "Wet a length of each colour in lukewarm water with a drop of soap and leave it on white cloth overnight.",
            "Colour on the cloth: it bleeds. Wash it alone, and write bleeds: yes.",
        ),
        ("Dark reds, navy and black bleed most often; never soak an untested one with a pale one.",),
        ("bleeds: yes / no",),
    )


def wash_and_dry(blend: Blend, *, felts: bool | None) -> tuple[Step, Step]:
    """By fibre and finish."""
    cares = care_for(blend, felts=felts)
    hottest = min(care.hottest_c for care in cares)
    water = (
        f"Water of {hottest} C ({fahrenheit(hottest)} F) at most, by a thermometer: the gentlest that any of its "
        "fibres asks. Soak for 20 to 30 minutes; press, do not rub."
    )
    rinse = "Rinse in clean water, as warm as the first, until it stays clear. Press the water out in a towel."
    do = (water, *(line for care in cares for line in care.do), rinse)
    cautions = ["Hot water and steam scald: fill the basin cold first, and keep it from children."]
    if felts is not False:
        cautions.append("Above 40 C with rubbing wool felts, for good; so does a change from warm to cold.")
    cautions.append("Dyes may bleed: wash colours apart.")
    return Step("wash", "Wash", do, tuple(cautions), ("water: ______ C   rinsed ______ times",)), _dry(cares)


def _dry(cares: Sequence[Care]) -> Step:
    if all(care.weighted for care in cares):
        hang = (
            "Hang the skeins in the shade with a light weight in the loop (a spoon, not a jar), so that crimps relax."
        )
    else:
        heavy = " and ".join(care.fibres for care in cares if not care.weighted)
        hang = f"Lay the skeins flat or over a rail, without a weight: {heavy} stretches when wet."
    return Step(
        "dry", "Dry", (hang, "Away from stove, radiator and sun; turn it once a day."), (), ("dry on: __________",)
    )


def make_use() -> Step:
    """A felted garment as fabric."""
    return Step(
        "use-as-fabric",
        "Use it as fabric",
        (
            "Felted wool cannot be unravelled. To be sure, snip one edge and pull: if no thread runs, it is fabric.",
            "Cut it as you like, for it will not ladder: slippers, pot-holders, bags, patches, soles.",
        ),
        (
            "Sharp shears and thick felt: cut away from you, on a table.",
            "Pot-holders: wool only, and dry; synthetics melt and wet felt scalds.",
        ),
    )


_NAMING = (
    "If you sell or give what you make: never call it virgin or new wool (Regulation (EU) 1007/2011, Art. 8; 16 CFR "
    "300.20), label the fibres only as you know them, and ask what rules hold where you live."
)
_NIGHTWEAR = (
    "No children's nightwear from reclaimed yarn: it has to pass flame tests (16 CFR 1615 and 1616; other places have "
    "their own)."
)
SELLING = (_NAMING, _NIGHTWEAR)
