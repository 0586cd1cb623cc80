"""How yarn of a blend is washed and dried: the gentlest of what its fibres ask. Common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.fibre import family
from stash.fibrenames import UNKNOWN, WOOL_AND_HAIR

if TYPE_CHECKING:
    from stash.fibre import Blend


@dataclass(frozen=True)
class Care:
    """What one kind of fibre asks: the hottest water in degrees C, and what to do and to mind."""

    fibres: str
    hottest_c: int
    do: tuple[str, ...]
    weighted: bool = True  # whether it may dry under a light weight


FELTING = Care(
    "wool that felts",
    30,
    (
        "Wash and rinse in water of one and the same temperature; never rub, wring or pour water onto it.",
        "A little wool soap or mild shampoo; no biological powder, which eats wool.",
    ),
)
UNFELTING = Care(
    "wool that does not felt",
    40,
    ("Wool soap; it stretches when wet, so lift it with both hands.",),
    weighted=False,
)
HAIR = Care(
    "hair (mohair, alpaca, cashmere, angora)",
    30,
    ("Hair stretches and mats: move it as little as you can and lift it with both hands.",),
    weighted=False,
)
SILK = Care("silk", 30, ("Silk: mild soap, no wringing, and out of the sun; its dyes run easily.",))
PLANT = Care("cotton, linen and other plant fibres", 40, ("Plant fibres are strong when wet; ordinary soap will do.",))
REGENERATED = Care(
    "viscose and its kin",
    30,
    ("Viscose and its kin are weak when wet: no wringing, no hanging; lift it in a cloth.",),
    weighted=False,
)
SYNTHETIC = Care(
    "synthetics",
    30,
    ("Synthetics go limp in heat for good: no hot water, no steam, no iron, no radiator.",),
)
NOT_KNOWN = Care(
    "fibre nobody can name",
    30,
    ("The fibre is not known: treat it as wool that felts and as weak when wet; try one short length first.",),
    weighted=False,
)


def care_for(blend: Blend, *, felts: bool | None) -> tuple[Care, ...]:
    """Return what each kind of fibre in the blend asks, the gentlest first; `felts` None: taken to felt."""
    found: dict[str, Care] = {}
    for fibre in blend.shares:
        care = _of_fibre(fibre, felts=felts)
        found[care.fibres] = care
    return tuple(sorted(found.values(), key=lambda one: (one.hottest_c, one.fibres)))


def _of_fibre(fibre: str, *, felts: bool | None) -> Care:
    if fibre == UNKNOWN:
        return NOT_KNOWN
    if fibre in WOOL_AND_HAIR and fibre != "wool":
        return HAIR
    if fibre == "wool":
        return UNFELTING if felts is False else FELTING
    if fibre == "silk":
        return SILK
    kin = {"plant": PLANT, "regenerated": REGENERATED, "synthetic": SYNTHETIC}
    return kin.get(family(fibre) or "", NOT_KNOWN)


def fahrenheit(celsius: int) -> int:
    """Return the nearest whole degree F."""
    return round(celsius * 9 / 5 + 32)
