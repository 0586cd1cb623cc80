"""The smallest changes that would make a project enough, each solved again before it is named."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from planner import instance as instances
from planner.answers import ENOUGH, Change
from planner.covering import judge
from planner.planning import UndecidedError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from patterns.projects import Project
    from planner.instance import Making
    from planner.workspace import Workspace

STEP = Fraction(1, 1000)  # reserve is lessened by tenths of a percent


def changes(workspace: Workspace, making: Making, confidence: Fraction) -> tuple[Change, ...]:
    """Changes to one project in one size, those that leave the knitted thing as it is first."""
    trial = _Trial(workspace, confidence)
    named = (
        *_other_lots(trial, making),
        *_washing(trial, making),
        *_less_reserve(trial, making),
        *_other_sizes(trial, making),
    )
    return tuple(Change(text, ENOUGH) for text in named)


class _Trial:
    def __init__(self, workspace: Workspace, confidence: Fraction) -> None:
        self.workspace, self.confidence = workspace, confidence

    def enough(self, project: Project, size: str, *, by_hand: bool = False) -> bool:
        """Whether the project would be enough in that size, or in that size washed by hand."""
        alone = replace(project, sizes=(size,))
        own = self.workspace.patterns[project.pattern]
        own = replace(own, wash="hand") if by_hand else own
        workspace = replace(self.workspace, patterns={**self.workspace.patterns, own.id: own})
        asked = instances.build(workspace.stash, workspace.patterns, [alone], self.confidence)
        try:
            return judge(workspace, asked, asked.makings[0], self.confidence) is not None
        except UndecidedError:  # not shown to work, so not named
            return False


def _other_lots(trial: _Trial, making: Making) -> Iterator[str]:
    """Letting go of what the project pins to certain lots, one need at a time."""
    for need in making.project.pins:
        pins = {name: pin for name, pin in making.project.pins.items() if name != need}
        if trial.enough(replace(making.project, pins=pins), making.size):
            yield f"let any suitable lot serve {need}"


def _washing(trial: _Trial, making: Making) -> Iterator[str]:
    """Taking the risk of bleeding, and washing by hand what is not so washed."""
    project, size = making.project, making.size
    if not project.bleed_risk and trial.enough(replace(project, bleed_risk=True), size):
        yield "take the risk that a dark lot bleeds (bleed-risk: accept); wash-test it first"
    if making.pattern.wash != "hand" and trial.enough(project, size, by_hand=True):
        yield "wash it by hand only (wash: hand)"


def _less_reserve(trial: _Trial, making: Making) -> Iterator[str]:
    """The largest reserve, in tenths of a percent, with which it is enough."""
    own = making.project.reserve
    low, high = 0, -(-own // STEP)  # low is enough, high is not
    if own <= 0 or not trial.enough(replace(making.project, reserve=Fraction(0)), making.size):
        return
    while high - low > 1:
        middle = (low + high) // 2
        if trial.enough(replace(making.project, reserve=middle * STEP), making.size):
            low = middle
        else:
            high = middle
    yield f"keep back {low / 10:g}% instead of {float(own) * 100:g}%"


def _other_sizes(trial: _Trial, making: Making) -> Iterator[str]:
    """The pattern's other sizes that were not asked, nearest to this one in the pattern's list first."""
    sizes = list(making.pattern.sizes)
    others = [size for size in sizes if size not in making.project.sizes]
    for size in sorted(others, key=lambda size: abs(sizes.index(size) - sizes.index(making.size))):
        if trial.enough(making.project, size):
            yield f"make size {size}"
            return
