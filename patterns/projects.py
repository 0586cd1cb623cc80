"""Projects: what someone wants to make, in which sizes, and how much they want it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stash.faults import Place


@dataclass(frozen=True)
class Pin:
    """Lots a need must keep to (None: any) or do without; lot ids."""

    only: frozenset[str] | None = None
    without: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Project:
    """One thing to make; each copy is a project of its own, named NAME, NAME#2, NAME#3."""

    name: str
    pattern: str
    sizes: tuple[str, ...]
    reserve: Fraction  # the project's own, else its pattern's
    want: Fraction = Fraction(1)
    must: bool = False
    bleed_risk: bool = False  # True: accepted
    pins: Mapping[str, Pin] = field(default_factory=dict)
    place: Place | None = None


@dataclass(frozen=True)
class ProjectList:
    """projects.yaml as read; without the file, `projects` is None."""

    confidence: Fraction
    projects: tuple[Project, ...] | None
