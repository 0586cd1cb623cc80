"""Patterns and their needs as plain frozen data; what a need leaves unsaid is filled in from its pattern."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from patterns.charts import Chart, Stripes
    from patterns.patches import Patch
    from stash.colour import Colour
    from stash.fabric import Gauge
    from stash.faults import Place


@dataclass(frozen=True)
class YarnRange:
    """The wool-equivalent counts a need accepts, in m/100 g, both ends closed."""

    low: Fraction
    high: Fraction
    text: str  # as the user wrote it, e.g. "dk"


@dataclass(frozen=True)
class LotRule:
    """How many working yarns may serve a need; `most` and `match` None: no bound."""

    kind: Literal["one", "by-part", "alternate", "any"]
    most: int | None
    match: float | None


@dataclass(frozen=True)
class FibreRule:
    """Fibre names or families; shares are fractions of 1; `allow` None: all."""

    allow: frozenset[str] | None = None
    at_least: Mapping[str, Fraction] = field(default_factory=dict)
    at_most: Mapping[str, Fraction] = field(default_factory=dict)
    avoid: frozenset[str] = frozenset()


@dataclass(frozen=True)
class ColourRule:
    """Colour rules, all of which hold; names are names of other needs; lightness in L*."""

    near: Colour | None = None
    within: float = 8.0
    against: tuple[str, ...] = ()
    against_lightness: float = 20.0
    lighter_than: tuple[str, ...] = ()
    darker_than: tuple[str, ...] = ()
    lighter_lightness: float = 5.0  # for lighter-than and darker-than
    same_as: tuple[str, ...] = ()
    not_in: tuple[str, ...] = ()


@dataclass(frozen=True)
class Need:
    """One yarn role of a pattern."""

    name: str
    lots: LotRule
    colour: ColourRule
    yarn: YarnRange
    strands: tuple[int, int]
    marl: bool
    fibre: FibreRule
    piece_m: Fraction  # least a piece gives
    joins: int | None  # None: no cap
    place: Place


@dataclass(frozen=True)
class Amount:
    """Metres of working yarn, without reserve, with its relative standard uncertainty.

    `patches`: the shapes it was estimated from, where it was; two amounts are equal whatever they came from.
    """

    metres: Fraction
    relative_u: float
    patches: tuple[Patch, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Pattern:
    """A thing to make. `sizes`: size -> need -> part (None: undivided) -> amount, in file order."""

    id: str
    name: str
    craft: str
    wash: Literal["hand", "machine", "any"]
    reserve: Fraction
    order: tuple[str, ...]
    needs: Mapping[str, Need]
    sizes: Mapping[str, Mapping[str, Mapping[str | None, Amount]]]
    place: Place
    chart: Chart | None = None
    stripes: Stripes | None = None
    gauge: Gauge | None = None
