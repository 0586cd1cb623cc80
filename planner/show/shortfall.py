"""What `shortfall` says: what is missing, what to look for, why the near ones do not serve, what to change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.answers import ENOUGH, TIGHT, UNDECIDED
from planner.faultprint import safe_text
from planner.show import words
from planner.show.tables import fold

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.answers import Change, LookFor, ProjectShortfall, ShortNeed
    from planner.show.swatches import Screen

FIND_CAUTION = (
    "A find may bring moths, mould or dust: bag it apart from your stash until it is washed, or frozen in a sealed bag "
    "at -20 C or colder for a week (many home freezers are not that cold)."
)
_LEFT_OUT = "If a plan leaves one out, another project has its yarn."
KINDS = {
    "top-up": "top up with a look-alike",
    "replace": "replace: one lot has to do it all",
}
VERDICTS = {
    TIGHT: "tight: it would reach only by the best guess of every length and with no reserve.",
    UNDECIDED: "not settled in the time there was.",
}


def shortfall_text(answers: Sequence[ProjectShortfall], screen: Screen) -> str:
    """What every project lacks, most useful first: the missing lengths, then the finds, then the changes."""
    if not answers:
        return "Nothing is asked: projects.yaml lists no projects."
    lacking = sum(answer.verdict != ENOUGH for answer in answers)
    head = f"{lacking} of {words.counted(len(answers), 'project')} cannot be counted on with what you have."
    if not lacking:
        head = (
            f"Nothing is missing: {words.counted(len(answers), 'project')} asked, each enough on its own. {_LEFT_OUT}"
        )
    sections = [fold(head), *(project_text(answer, screen) for answer in answers if answer.verdict != ENOUGH)]
    if 0 < lacking < len(answers):
        names = ", ".join(safe_text(answer.project) for answer in answers if answer.verdict == ENOUGH)
        sections.append(fold(f"Enough, each on its own: {names}. {_LEFT_OUT}", hanging="  "))
    if any(need.look_for for answer in answers for need in answer.needs):
        sections.append(fold(FIND_CAUTION))
    return "\n\n".join(sections)


def project_text(answer: ProjectShortfall, screen: Screen) -> str:
    """What one project lacks in the size nearest to enough."""
    missing = sum(need.short_cm for need in answer.needs)
    verdict = VERDICTS.get(answer.verdict, f"short by {words.length_up(missing, screen.units)} beyond what you have.")
    lines = [fold(f"{safe_text(answer.project)}, size {safe_text(answer.size)}: {verdict}", hanging="  ")]
    if answer.why is not None:
        lines.append(fold(safe_text(answer.why.reason.said(screen.units)), indent="  "))
    for need in answer.needs:
        if need.kind is not None or need.short_cm:
            lines += _need_lines(need, screen)
    if answer.changes:
        lines.append("  What would help instead:")
        for change in answer.changes:
            lines += _change_lines(change, screen)
    return "\n".join(lines)


def _change_lines(change: Change, screen: Screen) -> list[str]:
    """What would help, and what to write in which file for it."""
    what = change.words.said(screen.units) if change.words is not None else change.change
    risk = ""
    if change.chance_short is not None:
        risk = f" (chance that it then runs short: {words.chance(change.chance_short)})"
    lines = [fold(f"{safe_text(what)}: {change.verdict}{risk}", indent="    - ", hanging="      ")]
    lines += [
        fold(
            f"in {safe_text(edit.file)}, {safe_text(edit.under)}: {safe_text(edit.text)}",
            indent="        ",
            hanging="          ",
        )
        for edit in change.edits
    ]
    return lines


def _need_lines(need: ShortNeed, screen: Screen) -> list[str]:
    what = f"{words.length_up(need.short_cm, screen.units)} missing" if need.short_cm else "nothing missing by itself"
    how = f"; {KINDS[need.kind]}" if need.kind else ""
    lines = [fold(f"{safe_text(need.need)}: {what}{how}", indent="  ", hanging="    ")]
    if need.look_for is not None:
        lines.append(fold(_find_text(need.look_for, screen), indent="    ", hanging="      "))
    lines += [fold(safe_text(note), indent="    ! ", hanging="      ") for note in need.notes]
    if need.refusals:
        lines.append("    Near, but not for this:")
    lines += [
        fold(f"{safe_text(one.lot)}: {safe_text(why)}", indent="      - ", hanging="        ")
        for one in need.refusals
        if (why := "; ".join(reason.said(screen.units) for reason in one.reasons))
    ]
    return lines


def _find_text(find: LookFor, screen: Screen) -> str:
    units = screen.units
    seen = screen.named(find.colour_near) if find.colour_near is not None else ""
    return (
        f"Look for {words.length_up(find.length_cm, units)} ({words.mass_up(find.mass_g, units)}) "
        f"at {words.count_range(*find.m_per_100g, units)} as wool; fibre: {safe_text(find.fibre)}; "
        f"colour{seen}: {safe_text(find.colour)}; "
        f"or a garment of {words.mass_up(find.donor_mass_g, units)} or more to unravel"
    )
