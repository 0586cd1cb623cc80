"""What `plan --options` says: strips of colour in proportion to use, then in lightness; what each is good at."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.cautions import project_cautions
from planner.show.tables import fold
from stash.colour import colour_from_lab, nearest_name
from stash.units import show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from patterns.projects import Project
    from planner.options import Contrast, Option, Options, Role
    from planner.show.swatches import Screen
    from planner.workspace import Workspace

WIDE = 60  # columns of a strip
CLEAR, SOFT = 20, 10  # L* apart; our own rule, no source
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def options_text(found: Options, asked: int, workspace: Workspace, screen: Screen) -> str:
    """The options, best first."""
    name = safe_text(found.project.name)
    if not found.options:
        return fold(f"No way to make {name} was found: `lotwise shortfall {name}` says why.")
    sections = [fold(summary_text(found, name, asked)), _reading(screen)]
    sections += [
        _option(number, option, found.project, workspace, screen) for number, option in enumerate(found.options, 1)
    ]
    return "\n\n".join(sections)


def summary_text(found: Options, project: str, asked: int) -> str:
    number = len(found.options)
    ways = f"{words.counted(number, 'way')} to make {project}, the best first, each checked."
    if number >= asked:
        return ways
    if found.complete:
        return f"{ways} There is no other that the eye would tell from {'it' if number == 1 else 'these'}."
    return f"{ways} There may be others: the time was up."


def _reading(screen: Screen) -> str:
    strips = "each strip is in proportion to use"
    if screen.truecolour:
        return fold(f"{strips[0].upper()}{strips[1:]}; below it the same as a black-and-white photograph shows it.")
    return fold(
        f"{strips[0].upper()}{strips[1:]}, a letter for each yarn; below it how light each is, from 0 black to 9 white."
    )


def _option(number: int, option: Option, project: Project, workspace: Workspace, screen: Screen) -> str:
    good = f": {words.listing(option.good_at)}" if option.good_at else ""
    lines = [fold(f"{number}. {project_size(option)}{good}", hanging="   ")]
    lines += [f"   {strip}" for strip in _strips(option.roles, screen)]
    lines += [
        fold(_role(letter, role, screen), indent="   ", hanging="      ")
        for letter, role in zip(_LETTERS, option.roles, strict=False)
    ]
    lines += [fold(text, indent="   ", hanging="      ") for text in option_notes(option, screen)]
    lines += [fold(text, indent="   ! ", hanging="     ") for text in project_cautions(option.made, workspace)]
    lines.append(fold(f"choose it: {command_text(option, project)}", indent="   ", hanging="      "))
    return "\n".join(lines)


def project_size(option: Option) -> str:
    return f"size {safe_text(option.made.size or '')}"


def _strips(roles: Sequence[Role], screen: Screen) -> Iterator[str]:
    columns = shared_out([role.share for role in roles], WIDE)
    if not screen.truecolour:
        yield "".join(letter * wide for letter, wide in zip(_LETTERS, columns, strict=False))
        yield "".join(
            str(min(9, int(role.yarn.colour.lightness / 10))) * wide for role, wide in zip(roles, columns, strict=True)
        )
        return
    yield "".join(screen.block(role.yarn.colour, wide) for role, wide in zip(roles, columns, strict=True))
    yield "".join(
        screen.block(colour_from_lab(role.yarn.colour.lightness, 0, 0), wide)
        for role, wide in zip(roles, columns, strict=True)
    )


def shared_out(shares: Sequence[float], columns: int) -> list[int]:
    """Whole columns in proportion to shares, one at least for each, the largest remainders first."""
    exact = [share * columns for share in shares]
    whole = [max(1, int(one)) for one in exact]
    order = sorted(range(len(shares)), key=lambda at: whole[at] - exact[at])
    for at in order * columns:
        if sum(whole) >= columns:
            break
        whole[at] += 1
    while sum(whole) > columns:
        whole[max(range(len(whole)), key=lambda at: whole[at] - exact[at] if whole[at] > 1 else -1.0)] -= 1
    return whole


def _role(letter: str, role: Role, screen: Screen) -> str:
    name = words.working_yarn({lot.id: strands for lot, strands in role.yarn.lots})
    seen = f"{nearest_name(role.yarn.colour)}, L* {role.yarn.colour.lightness:.0f}"
    mark = screen.block(role.yarn.colour, 1) if screen.truecolour else letter
    return f"{mark} {safe_text(role.need)}: {name} ({seen}), {words.percent(role.share)}"


def option_notes(option: Option, screen: Screen) -> Iterator[str]:
    if option.contrasts:
        yield contrast_text(min(option.contrasts, key=lambda one: one.lightness))
    text = f"{show_mass(option.grams, screen.units)} of {words.counted(option.lots, 'lot')}"
    if option.asked_apart is not None:
        text += f"; {option.asked_apart:.0f} away from the colours asked, on the mean"
    if option.others_before:
        text += f"; {len(option.others)} of {words.counted(option.others_before, 'other project')} stay possible"
    yield text


def contrast_text(least: Contrast) -> str:
    said = "clear" if least.lightness >= CLEAR else "soft" if least.lightness >= SOFT else "hardly seen"
    return (
        f"least contrast: {safe_text(least.one)} and {safe_text(least.other)}, {least.lightness:.0f} apart in "
        f"lightness ({said})"
    )


def command_text(option: Option, project: Project) -> str:
    """What to type for its winding list."""
    lots: dict[str, list[str]] = {}
    for role in option.roles:
        lots.setdefault(role.need, []).extend(lot.id for lot, _ in role.yarn.lots)
    name = project.name if len(project.sizes) == 1 else f"{project.pattern}:{option.made.size}"
    pins = [f"--only {shlex.quote(safe_text(need) + '=' + ','.join(dict.fromkeys(own)))}" for need, own in lots.items()]
    return " ".join([f"lotwise plan {shlex.quote(safe_text(name))}", *pins])
