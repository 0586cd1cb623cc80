"""What `cover` says: which projects the stash can cover, each asked alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.answers import ENOUGH, SHORT, TIGHT, UNDECIDED
from planner.faultprint import safe_text
from planner.show import words
from planner.show.tables import fold, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.answers import CoverNeed, CoverRow
    from planner.show.swatches import Screen
    from stash.units import System

BEST_FIRST = (ENOUGH, TIGHT, UNDECIDED, SHORT)
_NOTES = {
    ENOUGH: "enough: from yarn that would do; there may be other choices.",
    TIGHT: "tight: only with the best guess of every length and no reserve; measure again before you cast on.",
    SHORT: "short: `lotwise shortfall PROJECT` says what to look for and what to change.",
    UNDECIDED: "not settled: there was not time enough to tell; ask for this project alone.",
}


def best_verdicts(rows: Sequence[CoverRow]) -> dict[str, str]:
    """The verdict of each project, in order: that of its best size."""
    verdicts: dict[str, str] = {}
    for row in rows:
        others = verdicts.get(row.project, row.verdict)
        verdicts[row.project] = min(others, row.verdict, key=BEST_FIRST.index)
    return verdicts


def cover_text(rows: Sequence[CoverRow], screen: Screen) -> str:
    """The answer in one line, then a line for each project and size, then what the words mean."""
    if not rows:
        return "Nothing is asked: projects.yaml lists no projects."
    verdicts = list(best_verdicts(rows).values())
    lines = [fold(_summary(verdicts)), ""]
    body = [(safe_text(r.project), safe_text(r.size), r.verdict, _phrase(r, screen.units)) for r in rows]
    lines.append(table(body, ("project", "size", "verdict", "from, or what is missing"), "llll", wrap=3))
    notes = [fold(_NOTES[v], hanging="  ") for v in BEST_FIRST if v in _NOTES and any(r.verdict == v for r in rows)]
    if verdicts.count(ENOUGH) > 1:
        notes.append(fold("Two projects may want the same lot: `lotwise plan` settles which gets it."))
    return "\n".join([*lines, "", *notes]) if notes else "\n".join(lines)


def _summary(verdicts: Sequence[str]) -> str:
    enough = verdicts.count(ENOUGH)
    others = [f"{verdicts.count(v)} {v}" for v in BEST_FIRST[1:] if v in verdicts]
    what = words.counted(len(verdicts), "project")
    tail = f" ({words.listing(others)})" if others else ""
    return f"There is enough for {enough} of {what}{tail}. Each is asked alone, against everything you have."


def _phrase(row: CoverRow, units: System) -> str:
    if row.verdict == UNDECIDED:
        return "not settled in the time there was"
    missing = "; ".join(_missing(need, units) for need in row.needs if need.short_cm > 0)
    if row.verdict == TIGHT:
        return f"by best guess only; {missing}" if missing else "by best guess only"
    if row.verdict == SHORT:
        return missing
    return "; ".join(f"{safe_text(need.need)}: {_yarns(need)}" for need in row.needs)


def _missing(need: CoverNeed, units: System) -> str:
    name = safe_text(need.need)
    if not need.yarns:
        return f"{name}: all {words.length_up(need.short_cm, units)} missing"
    return f"{name}: {words.length_up(need.short_cm, units)} missing beside {_yarns(need)}"


def _yarns(need: CoverNeed) -> str:
    # the parts of a need may share a working yarn, which is then named once
    return words.listing(dict.fromkeys(words.working_yarn(yarn.lots) for yarn in need.yarns))
