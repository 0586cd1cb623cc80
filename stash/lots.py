"""Donors, lots and skeins as plain frozen data."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from stash.count import scale_relative_u

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from stash.colour import Colour
    from stash.count import Count
    from stash.faults import Place
    from stash.fibre import Blend
    from stash.garment import Garment


@dataclass(frozen=True)
class Counted:
    """What a skein weighed on a day after it was written down."""

    mass_g: Fraction
    scale_g: Fraction
    on: date
    place: Place = field(compare=False)
    own_line: str = field(default="", compare=False)


@dataclass(frozen=True)
class Skein:
    """One wound bundle of a lot; `shares` are its pieces' parts of its length and add up to 1."""

    id: str
    mass_g: Fraction | None
    length_m: Fraction | None  # as stated in the file; wins over the mass
    scale_g: Fraction  # resolution of the scale the mass was read from; 0 without a mass
    shares: tuple[Fraction, ...]
    assumed_equal: bool  # `pieces: 3`: three equal lengths were assumed
    place: Place
    counted: Counted | None = None
    opened: bool = False  # some of it was taken already

    @cached_property
    def scale_u(self) -> float:
        """Relative standard uncertainty of its weighing."""
        return scale_relative_u(self.mass_g or Fraction(0), self.scale_g)


@dataclass(frozen=True)
class Lot:
    """All the yarn of one colour from one donor: one dye lot."""

    id: str
    donor: str | None
    blend: Blend
    colour: Colour
    count: Count
    felts: bool | None  # None: unknown
    bleeds: bool | None  # None: untested
    skeins: tuple[Skein, ...]
    place: Place


@dataclass(frozen=True)
class Donor:
    """A garment whose yarn may be, or has been, reclaimed."""

    id: str
    garment: str | None
    blend: Blend | None
    mass_g: Fraction | None
    seams: str | None  # "linked" or "cut"
    place: Place
    seen: Garment | None = None  # what was read, counted and measured on it


@dataclass(frozen=True)
class Stash:
    """Everything owned, by id, in id order."""

    donors: Mapping[str, Donor]
    lots: Mapping[str, Lot]
