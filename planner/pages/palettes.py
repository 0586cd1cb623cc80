"""Several ways to make one project side by side: yarns in proportion, how light they are, what each is good at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.page import write_page
from planner.pages.shades import Palette
from planner.pages.yarns import bands_of
from planner.show import words
from planner.show.cautions import project_cautions
from planner.show.options import command_text, option_notes, project_size, summary_text
from planner.show.swatches import Screen

if TYPE_CHECKING:
    from planner.options import Options
    from planner.pages.yarns import Band
    from planner.workspace import Workspace
    from stash.units import System


@dataclass(frozen=True)
class Way:
    """One way to make it."""

    number: int
    size: str
    good_at: str
    bands: tuple[Band, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    command: str


def options_page(found: Options, asked: int, workspace: Workspace, units: System) -> str:
    """The page of the ways that were found, the best first."""
    palette, screen = Palette(), Screen(units)
    ways = [
        Way(
            number,
            project_size(option),
            words.listing(option.good_at),
            bands_of(option.made, workspace.stash, palette, units).bands,
            tuple(option_notes(option, screen)),
            project_cautions(option.made, workspace),
            command_text(option, found.project),
        )
        for number, option in enumerate(found.options, 1)
    ]
    name = found.project.name
    return write_page(
        "options.html",
        "Ways to make it",
        palette,
        name=workspace.patterns[found.project.pattern].name,
        project=name,
        summary=summary_text(found, name, asked) if ways else "No way to make it was found.",
        ways=ways,
    )
