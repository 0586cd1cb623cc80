"""What `rack` says: verdict and what is to be had first, then why, what it would make, and what the figures mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.rack.figures import strands_of
from planner.rack.judging import COLOUR_HINT
from planner.show import words
from planner.show.rackreasons import about_length, reason_text
from planner.show.tables import fold, table
from stash.reclaiming import Z90
from stash.units import INCH_M, show_length, show_mass, show_number
from stash.yielding import losses

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.rack.figures import Strands
    from planner.rack.judging import Judgement
    from stash.garment import Garment, Panel
    from stash.guesses import Guess
    from stash.pieces import Pieces
    from stash.units import System


def rack_text(judged: Judgement, units: System) -> str:
    """The whole answer at 80 columns."""
    parts = [_answer(judged, units), _unlocked(judged), _why(judged, units)]
    if judged.found.length_m is not None:
        parts += [_yarn(judged, units), _pieces(judged, units)]
    parts.append(_notes(judged, units))
    return "\n\n".join(parts)


def ends(guess: Guess, show: Callable[[float, System], str], units: System) -> str:
    """A best guess with the ends of its interval: "905 m (803 to 1008 m)"."""
    low, high = guess.interval(Z90)
    return f"{show(guess.best, units)} ({show(low, units).partition(' ')[0]} to {show(high, units)})"


def _answer(judged: Judgement, units: System) -> str:
    name = "" if judged.donor is None else f"{safe_text(judged.donor)}: "
    found = judged.found
    verdict = f"{name}{judged.verdict}."
    verdict = verdict[:1].upper() + verdict[1:] if judged.donor is None else verdict
    if found.length_m is None or found.mass_g is None:
        return fold(f"{verdict} It gives no yarn to knit with.")
    had = f"about {ends(found.length_m, show_length, units)} and {ends(found.mass_g, show_mass, units)}"
    main = " of its main colour" if judged.garment.colours > 1 else ""
    return fold(f"{verdict} To be had{main}: {had}. Nine times in ten the truth lies within the brackets.")


def _unlocked(judged: Judgement) -> str:
    if judged.already:
        lots = words.listing(map(safe_text, judged.already))
        return fold(f"Its yarn is in the stash already ({lots}), so it unlocks nothing more.")
    if not judged.asked_of:
        return "There are no patterns here with a stash, to ask what it would unlock."
    if judged.unlocked is None:
        return fold(f"What it would unlock cannot be told without its colour: {COLOUR_HINT}.")
    opened = [f"{safe_text(one.project)} ({', '.join(map(safe_text, one.sizes))})" for one in judged.opened]
    unsettled = [safe_text(one.project) for one in judged.unlocked if one.undecided]
    tail = f" Not settled in the time there was: {words.listing(unsettled)}." if unsettled else ""
    if not opened:
        return fold(f"It would unlock no project that is not enough already.{tail}")
    return fold(f"With what can be counted on of it there would be enough for {words.listing(opened)}.{tail}")


def _why(judged: Judgement, units: System) -> str:
    lines = ["why, the weightiest first:"]
    for reason in judged.reasons:
        mark = "+" if reason.speaks_for else "-"
        lines.append(fold(f"{mark} {reason_text(reason.key, judged, units)}", hanging="  "))
    return "\n".join(lines)


def _yarn(judged: Judgement, units: System) -> str:
    garment = judged.garment
    rows = [_strands_row(one, garment, units) for one in strands_of(garment, judged.found)]
    unit = "yd/oz" if units == words.IMPERIAL else "m/100g"
    head = table(rows, ("the yarn", unit, "class", "gauge to expect"), "lrll", wrap=3)
    said = "Held together, count, class and gauge are reckoned: swatch first."
    return f"{head}\n{fold(said)}"


def _strands_row(one: Strands, garment: Garment, units: System) -> tuple[str, str, str, str]:
    thick, best, thin = (words.count(100_000 / tex, units).partition(" ")[0] for tex in _tex_ends(one.tex))
    names = {
        "one": "one strand alone",
        "as it is": "single" if garment.plies == 1 else f"its {garment.plies} strands together",
        "double": "held double",
        "triple": "held triple",
    }
    return (
        names[one.name],
        f"{best} ({thick}-{thin})",
        f"{one.weight_class.number} {one.weight_class.name}",
        words.gauge(one.stitches, one.rows, units),
    )


def _tex_ends(tex: Guess) -> tuple[float, float, float]:
    """The thick end, the best guess and the thin end."""
    thin, thick = tex.interval(Z90)
    return thick, tex.best, thin


def _pieces(judged: Judgement, units: System) -> str:
    panels = judged.found.panels
    rows = [_piece_row(run, panels[run.panel], units) for run in judged.pieces]
    assumed = "" if judged.garment.panels else " (from the panels such a garment usually has)"
    head = fold(f"Pieces to expect{assumed}, best guess:")
    return f"{head}\n{table(rows, ('panel', 'pieces', 'each about'), 'lrr', indent='  ')}"


def _piece_row(run: Pieces, panel: Panel, units: System) -> tuple[str, str, str]:
    return f"{panel.times} x {words.panel_size(panel, units)}", str(run.number), about_length(run.each_m, units)


def _narrower(garment: Garment) -> list[str]:
    """What was not done yet that would narrow the brackets."""
    rows = garment.gauge is not None and garment.gauge.rows is not None
    left = [
        deed
        for deed, done in (
            ("weigh it", garment.mass_g is not None),
            ("measure its panels", bool(garment.panels)),
            ("count the rows", rows),
        )
        if not done
    ]
    return [f"To narrow the brackets: {', '.join(left)}."] if left else []


def _notes(judged: Judgement, units: System) -> str:
    found = judged.found
    notes = []
    if found.share is not None:
        lost = (f"{loss.why} {words.percent(loss.left)}" for loss in losses(judged.garment))
        notes = [
            _reckoned(judged, units),
            f"comes off whole: {words.percent(round(found.share.best, 3))} ({'; '.join(lost)}).",
            *_narrower(judged.garment),
        ]
    notes.append("Before it is washed: keep it bagged and apart from other wool, and look for moth.")
    return "\n".join(fold(note, hanging="  ") for note in notes)


def _reckoned(judged: Judgement, units: System) -> str:
    """How the metres were come by."""
    found = judged.found
    loop = f"{show_number(found.loop_cm.best, 1)} cm"
    if units == words.IMPERIAL:
        loop = f"{show_number(found.loop_cm.best / 100 / float(INCH_M), 2)} in"
    stitch = judged.garment.stitch
    factor = "" if stitch.factor == 1 else f", {float(stitch.factor):g} times that of plain knitting ({stitch.source})"
    size = "its panels" if judged.garment.panels else "the size such a garment usually has"
    ways = {
        (True, True): f"from {size} and, so far as that helps, from its mass",
        (True, False): f"from {size}, without a mass",
        (False, True): "from its mass, and how tight knitting usually is",
    }[found.by_panels is not None, found.by_mass is not None]
    in_it = show_length(found.in_garment_m.best, units)
    return f"in the garment: {in_it}, {ways}; a stitch takes {loop} of yarn{factor}."
