"""The rack list: one page to take along, 80 columns, that reads the same without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.racklist.mass import masses
from planner.show import words
from planner.show.tables import fold
from stash.colour import colour_from_lab
from stash.colourwords import word_for

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.racklist.listing import Find, RackList, UnlockedBy
    from planner.racklist.mass import ClassMass
    from planner.show.swatches import Screen
    from stash.colour import Colour

LINES = 60  # of a page
HANGING = " " * 14
SHOWN = 6  # projects named for a find
NOTES = (
    (
        "Colour: hold the find against its code on a screen or a card; off by 2 is hard to see, by 5 plain to see "
        "(common practice, no source). L* is lightness, 0 black to 100 white. Metres are of yarn wound and measured, "
        "in one length: each further length costs 0.3 m, and one under 5 m is seldom of use. Grams are enough where "
        "there is only a label or a garment to go by. Measure what you find, add it to your stash, and ask again."
    ),
    (
        "A find may bring moths, mould or dust: bag it apart from your stash until washed, or frozen in a sealed bag "
        "at -20 C or colder for a week. Whether it bleeds is not known: test it wet on white cloth."
    ),
)


def rack_list_text(found: RackList, confidence: Fraction, screen: Screen) -> str:
    """What to look for, the find that unlocks most first; then what no find helps. Finds that overfill the page go."""
    if not found.asked:
        return "Nothing is asked: projects.yaml lists no projects."
    finds = ["\n".join(_find_lines(number, find, confidence, screen)) for number, find in enumerate(found.finds, 1)]
    for shown in range(len(finds), -1, -1):
        further = [row.project for find in found.finds[shown:] for row in find.unlocks]
        sections = [fold(head_text(found)), *finds[:shown], *_endings(found, further)]
        sections += ["\n".join(map(fold, NOTES))] if finds else []
        page = "\n\n".join(sections)
        if page.count("\n") < LINES:
            break
    return page


def head_text(found: RackList) -> str:
    """How many projects the finds would make enough, of how many."""
    if not found.short:
        return f"Nothing to look for: {words.counted(found.asked, 'project')} asked, none found short."
    if not found.finds:
        return (
            f"No one find that was tried would make any project enough: {found.short} of "
            f"{words.counted(found.asked, 'project')} cannot be counted on with what you have."
        )
    unlocked = len({row.project for find in found.finds for row in find.unlocks})
    return (
        f"{words.counted(len(found.finds), 'find')} would make {words.counted(unlocked, 'project')} enough, of "
        f"{found.short} that cannot be counted on with what you have. A find is all one yarn in one colour; "
        "each project is asked alone."
    )


def _find_lines(number: int, find: Find, confidence: Fraction, screen: Screen) -> list[str]:
    low, high = find.latitude.counts
    by_class = masses(find, confidence)
    heaviest = max(row.yarn_g for row in by_class)
    named = [unlocked_text(row, find, screen) for row in find.unlocks]
    named = [*named[:SHOWN], f"and {len(named) - SHOWN} more"] if len(named) > SHOWN else named
    together = f"; with one find {find.at_once} of the {len(find.unlocks)} at once" if len(named) > 1 else ""
    rows = [
        ("colour", _colour(find, screen)),
        ("thickness", f"{words.count_range(low, high, screen.units)} as wool"),
        ("fibre", fibre_text(find)),
        ("garment", _garment(find, by_class, screen)),
        ("unlocks", "; ".join(named) + together),
    ]
    title = (
        f"{number}. {find_name(find)}: {metres_text(find.metres, screen)}, or {words.mass_up(heaviest, screen.units)}"
    )
    return [fold(title, hanging="   "), *(fold(text, indent=f"   {name:11}", hanging=HANGING) for name, text in rows)]


def find_name(find: Find) -> str:
    """What it is in a few words."""
    bounds = find.latitude.lightness
    if bounds is None:
        return f"{word_for(find.kind.colour)} ({find.kind.colour.hex})"
    return _any_colour(*bounds)


def _any_colour(low: int, high: int) -> str:
    if low <= 0 and high >= 100:
        return "any colour"
    if low <= 0:
        return f"any colour of L* {high} or darker"
    if high >= 100:
        return f"any colour of L* {low} or lighter"
    return f"any colour of L* {low} to {high}"


def _colour(find: Find, screen: Screen) -> str:
    bounds = find.latitude.lightness
    if bounds is None:
        off = find.latitude.off
        how = f"may be off by {off}" if off else "hardly any other"
        return f"{_seen(find.kind.colour, screen)}; {how}"
    low, high = (colour_from_lab(light, 0, 0) for light in bounds)
    if bounds == (0, 100):
        return "any"
    return f"any hue, from as dark as {_seen(low, screen)} to as light as {_seen(high, screen)}"


def _seen(colour: Colour, screen: Screen) -> str:
    """A swatch where one can be shown; always its word and its code."""
    block = f"{screen.block(colour, 4)} " if screen.truecolour else ""
    return f"{block}{word_for(colour)} {colour.hex}"


def fibre_text(find: Find) -> str:
    """The labels that will do."""
    known = words.listing((name.replace(", ", " with ") for name in find.latitude.fibres), "or")
    return "any that is on a label" if find.latitude.every_fibre else known


def _garment(find: Find, by_class: tuple[ClassMass, ...], screen: Screen) -> str:
    linked = ", ".join(f"{row.name} {words.mass_up(row.linked_g, screen.units)}" for row in by_class)
    if find.latitude.cut_metres is None:
        return f"{linked} or more; seams linked, not cut"
    cut = ", ".join(f"{row.name} {words.mass_up(row.cut_g, screen.units)}" for row in by_class if row.cut_g)
    return f"{linked} or more with linked seams; cut seams will do from {cut}"


def unlocked_text(row: UnlockedBy, find: Find, screen: Screen) -> str:
    """A project it unlocks, in which size, what the find becomes there."""
    size = "" if row.project.endswith(f":{row.size}") else f", size {safe_text(row.size)}"
    least = "" if row.metres == find.metres else f", from {metres_text(row.metres, screen)}"
    pinned = f"; add it to `only:` for {words.listing(map(safe_text, row.pinned))}" if row.pinned else ""
    return f"{safe_text(row.project)}{size} ({words.listing(map(safe_text, row.needs))}{least}{pinned})"


def metres_text(metres: int, screen: Screen) -> str:
    """A length to look for."""
    return words.length_up(100 * metres, screen.units).replace(".0 ", " ")


def _endings(found: RackList, further: list[str]) -> list[str]:
    told = ending_lines(found, further)
    return ["\n".join(fold(text, hanging="  ") for text in told)] if told else []


def ending_lines(found: RackList, further: list[str]) -> list[str]:
    """What the list does not help, and `further`: what finds that it does not show would unlock."""
    told = []
    if further:
        told.append(f"More finds than the page holds are left off; they unlock: {_names(tuple(further))}.")
    if found.left_off:
        told.append(f"Left off, each would take a find of its own: {_names(found.left_off)}.")
    if found.no_find:
        told.append(
            f"No one find that was tried unlocks: {_names(found.no_find)}. For more: lotwise shortfall PROJECT."
        )
    if found.undecided:
        told.append(f"Not settled in the time there was: {_names(found.undecided)}.")
    if not found.whole:
        told.append("The tries ran out before every kind of yarn was tried: more may be found.")
    return told


def _names(names: tuple[str, ...]) -> str:
    shown = ", ".join(safe_text(name) for name in names[:8])
    return shown + (f" and {len(names) - 8} more" if len(names) > 8 else "")
