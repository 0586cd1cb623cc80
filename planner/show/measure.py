"""What `measure` says: count, class and metres first, then what makes them uncertain and what would sharpen them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.measured import z_of
from planner.show import words
from planner.show.tables import fold, table
from stash.fibre import show_blend
from stash.fibrenames import UNKNOWN
from stash.units import YARD_M, show_length, show_mass, show_number
from stash.weightclass import m_per_100g

if TYPE_CHECKING:
    from planner.measured import Interval, Measurement, YarnFigures
    from planner.newlot import Added
    from stash.budget import Better, Source
    from stash.measuring import Pooled
    from stash.units import System

SOURCES = {  # what makes the metres uncertain, in a knitter's words
    "turns": "the part of a turn at each end of a sample",
    "scale": "the last digit of the scale, at the sample",
    "scatter": "the samples lying farther apart than that explains",
    "around": "the length of one turn of the swift",
    "length": "how the length of the sample was measured",
    "tension": "how hard the yarn was pulled",
    "humidity": "weighed apart: yarn is heavier in damp air",
    "batch scale": "the last digit of the scale, at the whole",
    "wraps": "wraps are a rough measure",
}
_WASH = (
    "Second-hand yarn that is not washed yet: keep it bagged and apart, look for moth, and wash it before it meets "
    "other wool; cool and without rubbing, for heat and rubbing felt wool for good."
)
_AS_WOOL = (
    "fibre: unknown, so taken to be like wool; tell it with --fibre. Keep an unknown fibre from flame, from heat and "
    "from small children's things."
)
_SWIFT = "Keep fingers, hair and sleeves clear of a turning swift."


def measure_text(found: Measurement, units: System, added: Added | None) -> str:
    """The whole answer at 80 columns."""
    parts = [_answer(found, units)]
    if found.yarn is not None:
        if found.yarn.pooled is not None and found.yarn.pooled.scatter is not None:
            parts.append(_samples(found.yarn.pooled, units))
        parts += [_budget(found, found.yarn, units), _sharper(found, found.yarn, units)]
    if added is not None:
        parts.append(added_text(added))
    return "\n\n".join([*parts, _notes(found)])


def _answer(found: Measurement, units: System) -> str:
    told, yarn = found.told, found.yarn
    lines = []
    if yarn is not None:
        lines.append(f"This yarn is {_count_with_ends(yarn.m_per_100g, units)}, {show_number(yarn.count.tex, 0)} tex.")
        lines.append(_class_line(yarn, units))
        if yarn.odd is not None:
            lines.append(f"Look again: {safe_text(yarn.odd[0])}; {yarn.odd[1]}.")
    if found.measured_m is not None:
        many = "The samples together are" if len(told.readings) > 1 else "What you measured is"
        lines.append(f"{many} {_metres_with_ends(found.measured_m, units)} long.")
    if told.batch is not None and yarn is not None and yarn.batch_m is not None:
        lines.append(f"The whole {safe_text(told.batch.text)} is {_metres_with_ends(yarn.batch_m, units)} long.")
    if yarn is None:
        lines.append("It was not weighed, so nothing can be said of its thickness: weigh it too, for the count.")
    elif yarn.ply_m_per_100g is not None:
        one = words.count(yarn.ply_m_per_100g, units)
        lines.append(
            f"One of its {told.plies} plies is {one}, or a little finer: twisting them together takes up a few percent "
            "(common practice, no source)."
        )
    return "\n".join(fold(line) for line in lines)


def _count_with_ends(count: Interval, units: System) -> str:
    low, high = (words.count(end, units) for end in (count.low, count.high))
    return f"{words.count(count.best, units)} ({low.partition(' ')[0]} to {high.partition(' ')[0]})"


def _metres_with_ends(metres: Interval, units: System) -> str:
    unit = float(YARD_M) if units == words.IMPERIAL else 1.0
    digits = 1 if metres.best / unit < 100 else 0
    low, best, high = (show_length(one, units, digits) for one in (metres.low, metres.best, metres.high))
    return f"{best} ({low.partition(' ')[0]} to {high.partition(' ')[0]})"


def _class_line(yarn: YarnFigures, units: System) -> str:
    own = yarn.weight_class
    bounds = words.count_range(own.low, own.high, units)
    said = f"Class {own.number} {own.name} ({bounds}, as wool of the same thickness)"
    sides = (("thick", yarn.thick), ("thin", yarn.thin))
    others = [f"as {how} as {one.number} {one.name}" for how, one in sides if one != own]
    return f"{said}; but it may be {words.listing(others, 'or')}." if others else f"{said}, whichever end is right."


def _samples(pooled: Pooled, units: System) -> str:
    """A line for each sample, and whether they agree."""
    scatter = pooled.scatter
    rows = [
        (
            str(place),
            safe_text(one.text),
            words.count(m_per_100g(one.tex), units),
            f"{'+' if one.tex < pooled.tex else '-'}{words.percent(abs(float(pooled.tex / one.tex) - 1))}",
            words.percent(weight),
        )
        for place, (one, weight) in enumerate(zip(pooled.samples, pooled.weights, strict=True), 1)
    ]
    head = table(rows, ("", "sample", "count", "against all", "weight"), "llrrr", wrap=1)
    if scatter is None or scatter.agree:
        return f"{head}\n{fold('The samples agree: they lie no farther apart than their turns and the scale explain.')}"
    odd = "one of the two is off" if scatter.odd is None else f"sample {scatter.odd + 1} fits the others least"
    said = (
        f"The samples disagree: even yarn would lie so far apart {words.chance(scatter.chance)} of the time. "
        f"It may be yarn of uneven thickness, two yarns mixed up, or a miscounted sample: {odd}. Measure again before "
        f"you trust it; till then each sample is taken to be out by {show_number(scatter.ratio, 1)} times as much as "
        "its turns and the scale explain."
    )
    return f"{head}\n{fold(said)}"


def _budget(found: Measurement, yarn: YarnFigures, units: System) -> str:
    """A line for each source, the largest first."""
    z = z_of(found.confidence)
    what = "the whole" if found.told.batch is not None else show_mass(100, "metric")
    if units == words.IMPERIAL and found.told.batch is None:
        what = "an ounce"
    head = f"What makes the length of {what} uncertain by ±\u00a0{words.percent(z * yarn.relative_u)}:"
    rows = [(SOURCES[one.name], f"± {words.percent(z * one.relative_u)}", _share(one)) for one in yarn.sources]
    return f"{fold(head)}\n{table(rows, ('', 'alone', 'share'), 'lrr', wrap=0, indent='  ')}"


def _share(source: Source) -> str:
    return f"{100 * source.share:.0f} %" if source.share >= 0.01 else "under 1 %"


def _sharper(found: Measurement, yarn: YarnFigures, units: System) -> str:
    if not yarn.better:
        largest = SOURCES[yarn.sources[0].name]
        return fold(f"Nothing easy would sharpen it much: what is left is mostly {largest}.")
    best = yarn.better[0]
    z = z_of(found.confidence)
    before, after = (words.percent(z * one) for one in (best.before_u, best.after_u))
    return fold(f"To sharpen it most, {better_words(best, found, units)}: from ±\u00a0{before} to ±\u00a0{after}.")


def better_words(better: Better, found: Measurement, units: System) -> str:
    """What to do better, as an order."""
    size = show_number(better.figure, 0)
    readings = [one for one in found.told.readings if (one.turns is not None) == (better.what == "turns")]
    least = min((one.length_m if one.turns is None else one.turns for one in readings), default=better.figure)
    each = " for each sample" if len(found.told.readings) > 1 else ""
    step = f"{float(better.figure):g} g"
    return {
        "scale": f"weigh the {'samples' if each else 'sample'} to {step}",
        "batch scale": f"weigh the whole to {step}",
        "turns": f"wind {size} turns{each} instead of {show_number(least, 0)}",
        "length": f"measure {show_length(better.figure, units, 1)}{each} instead of {show_length(least, units, 1)}",
        "same day": "weigh the sample and the skeins on one day in one room",
        "more samples": f"take as many samples again ({size} more)",
        "sample": f"wind {size} turns of 1.5 m on a swift and weigh them to 1 g, instead of counting wraps",
    }[better.what]


def added_text(added: Added) -> str:
    """Where the lot went, or its lines."""
    lot = safe_text(added.lot.id)
    text = "".join(f"  {safe_text(line)}\n" for line in added.text.splitlines()).rstrip("\n")
    if added.written:
        said = f"Wrote {lot}, {words.counted(len(added.lot.skeins), 'skein')}, to {safe_text(added.file)}:"
    elif added.one_file:
        said = (
            f"{lot} is not written: this stash is one file, stash.yaml, which only you write. Put the lines that "
            "follow 'lots:' into it; or make a folder stash, move stash.yaml into it, and ask again."
        )
    else:
        said = f"Would write {lot} to {safe_text(added.file)}:"
    return f"{fold(said)}\n{text}"


def _notes(found: Measurement) -> str:
    sure = words.percent(found.confidence)
    notes = [f"In brackets, and behind ±: each end is {sure} sure."]
    if found.yarn is not None:
        notes.append(
            "alone: how far this alone would reach; share: of all together, which add up as the root of their squares."
        )
        blend = found.told.blend
        known = UNKNOWN not in blend.shares
        notes.append(
            f"fibre: {show_blend(blend)}."
            if known
            else "fibre: unknown, so taken to be like wool; tell it with --fibre."
        )
    if any(one is not None and one.turns is not None for one in (*found.told.readings, found.told.length)):
        notes.append(_SWIFT)
    return "\n".join(fold(note, hanging="  ") for note in (*notes, _WASH))
