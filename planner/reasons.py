"""Why a yarn does not serve, in a knitter's words whose quantities are told in the units asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.units import show_count, show_length

if TYPE_CHECKING:
    from fractions import Fraction

    from stash.units import System


@dataclass(frozen=True)
class Length:
    metres: Fraction | float

    def said(self, units: System) -> str:
        return show_length(self.metres, units)


@dataclass(frozen=True)
class Thickness:
    m_per_100g: Fraction | float

    def said(self, units: System) -> str:
        return show_count(100_000 / self.m_per_100g, units)


@dataclass(frozen=True)
class Reason:
    """Words and quantities, in the order they are said."""

    parts: tuple[str | Length | Thickness, ...]

    def said(self, units: System = "metric") -> str:
        return "".join(part if isinstance(part, str) else part.said(units) for part in self.parts)


def because(*parts: str | Length | Thickness) -> Reason:
    return Reason(parts)
