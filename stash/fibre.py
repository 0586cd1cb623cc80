"""Fibres and blends: names, families, and what follows from a blend (density, moisture, felting, likeness)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from stash.fibrenames import (
    ALLOWANCE,
    DENSITY,
    FAMILIES,
    FAMILY_OF,
    UNKNOWN_ALLOWANCE,
    UNKNOWN_DENSITY,
    WOOL_AND_HAIR,
    WORDS,
)
from stash.units import UnitError, read_share, show_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

SUM_WITHIN = Fraction(1, 100)  # a blend may miss 100 % by one point
FELTS_FROM, FELTS_NOT_TO = Fraction(70, 100), Fraction(30, 100)


class FibreError(ValueError):
    """A fibre or blend that cannot be read; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Blend:
    """What a yarn is made of: fibre -> share of the mass, sorted by name, adding up to exactly 1.

    `superwash` is the share that is wool treated not to felt; it is counted in the share of wool too.
    """

    shares: Mapping[str, Fraction]
    superwash: Fraction
    text: str

    def __hash__(self) -> int:
        return hash(self.text)  # equal blends have equal texts; shares are slow to hash


MOST_KEPT = 4096
_APART: dict[tuple[Blend, Blend], Fraction] = {}  # how far blends asked about differ


def canonical_fibre(word: str) -> str | None:
    """Return the one name a fibre word stands for ("nylon" -> "polyamide"), or None."""
    return WORDS.get(_fold(word))


def family(fibre: str) -> str | None:
    """Return the family of a fibre's one name: animal, plant, regenerated, synthetic; None for glass and unknown."""
    return FAMILY_OF.get(fibre)


def read_fibre_or_family(text: str) -> str:
    """Return a fibre's one name, or a family's name. Raises FibreError."""
    folded = _fold(text)
    if folded in FAMILIES:
        return folded
    fibre = canonical_fibre(text)
    if fibre is None:
        otherwise = f"write a fibre such as wool, or a family: {', '.join(FAMILIES)}"
        raise _unknown_word(text, [*WORDS, *FAMILIES], otherwise)
    return fibre


def read_blend(text: str) -> Blend:
    """Return the blend in words such as "80% wool, 20% polyamide"; one fibre alone is 100 %. Raises FibreError."""
    stripped = " ".join(text.split())
    if not stripped:
        raise FibreError("no fibre is given", "write it like 80% wool, 20% polyamide; or unknown")
    if re.search("[0-9],[0-9]+ ?%", stripped):
        pointed = re.sub("(?<=[0-9]),(?=[0-9]+ ?%)", ".", stripped)
        raise FibreError("a share is written with a comma", f"write a point before decimals: {pointed}")
    parts = [_read_part(part.strip(), alone="," not in stripped) for part in stripped.split(",")]
    _refuse_twice([word for _, word in parts])
    total = sum((share for share, _ in parts), Fraction(0))
    if abs(total - 1) > SUM_WITHIN:
        added = " + ".join(_percent(share) for share, _ in parts)
        raise FibreError(f"the shares add up to {_percent(total)}%, not 100% ({added})", "make them add up to 100%")
    shares: dict[str, Fraction] = {}
    for share, word in parts:
        shares[WORDS[word]] = shares.get(WORDS[word], Fraction(0)) + share / total
    superwash = sum((share for share, word in parts if "superwash" in word), Fraction(0)) / total
    return Blend(_sorted(shares), superwash, stripped)


def show_blend(blend: Blend) -> str:
    """Return a blend in one way of writing, largest share first, whole percents: "80% wool, 20% polyamide"."""
    ordered = sorted(blend.shares.items(), key=lambda item: (-item[1], item[0]))
    return ", ".join(f"{show_number(share * 100, 0)}% {fibre}" for fibre, share in ordered)


def share_of(blend: Blend, name: str) -> Fraction:
    """Return the share of a fibre (its one name) or of a whole family in a blend."""
    if name in FAMILIES:
        return sum((share for fibre, share in blend.shares.items() if family(fibre) == name), Fraction(0))
    return blend.shares.get(name, Fraction(0))


@cache
def density(blend: Blend) -> Fraction:
    """Return a blend's density in g/cm3: volumes add, 1/rho = sum(share/rho)."""
    volumes = (share / DENSITY.get(fibre, UNKNOWN_DENSITY) for fibre, share in blend.shares.items())
    return 1 / sum(volumes, Fraction(0))


@cache
def allowance(blend: Blend) -> Fraction:
    """Return a blend's agreed moisture allowance in % of dry mass: the sum of share x allowance."""
    parts = (share * ALLOWANCE.get(fibre, UNKNOWN_ALLOWANCE) for fibre, share in blend.shares.items())
    return sum(parts, Fraction(0))


@cache
def felts_default(blend: Blend) -> bool | None:
    """Return whether a blend felts: 70 % or more wool or hair yes, 30 % or less no, else None.

    Superwash does not count as felting; an unknown fibre is of no family, so it counts as no wool.
    """
    felting = sum((share for fibre, share in blend.shares.items() if fibre in WOOL_AND_HAIR), -blend.superwash)
    if felting >= FELTS_FROM:
        return True
    if felting <= FELTS_NOT_TO:
        return False
    return None


def mix(weighted: Iterable[tuple[Blend, Fraction | int]]) -> Blend:
    """Return the blend of several held together; the weights are their tex (any unit, above 0 in sum)."""
    pairs = [(blend, Fraction(weight)) for blend, weight in weighted]
    total = sum((weight for _, weight in pairs), Fraction(0))
    if total <= 0:
        raise ValueError("the weights of a mix must be above zero")
    shares: dict[str, Fraction] = {}
    for blend, weight in pairs:
        for fibre, share in blend.shares.items():
            shares[fibre] = shares.get(fibre, Fraction(0)) + share * weight / total
    superwash = sum((blend.superwash * weight for blend, weight in pairs), Fraction(0)) / total
    mixed = Blend(_sorted(shares), superwash, "")
    return Blend(mixed.shares, superwash, show_blend(mixed))


def distance(first: Blend, second: Blend) -> Fraction:
    """Return how far two blends differ, in points: half the sum of absolute differences of their shares in %."""
    # not an lru_cache: its bounded kind crashes CPython 3.11 where keys are compared by Python code in two threads
    apart = _APART.get((first, second))
    if apart is None:
        fibres = {*first.shares, *second.shares}
        none = Fraction(0)
        apart = 50 * sum((abs(first.shares.get(name, none) - second.shares.get(name, none)) for name in fibres), none)
        if len(_APART) >= MOST_KEPT:
            _APART.clear()
        _APART[first, second] = apart
    return apart


def _read_part(part: str, *, alone: bool) -> tuple[Fraction, str]:
    """Return (share, folded word) of one part of a blend."""
    found = re.fullmatch(r"(\S+ ?%) ?(.+)", part)
    if found:
        written, word = found.groups()
        share = _share(written)
    elif alone and not re.search("[0-9%]", part):
        share, word = Fraction(1), part
    else:
        raise _misshapen(part)
    folded = _fold(word)
    if folded not in WORDS:
        raise _unknown_fibre(part, word)
    return share, folded


def _share(written: str) -> Fraction:
    try:
        share = read_share(written)
    except UnitError as error:
        raise FibreError(str(error), error.hint) from None
    if not 0 < share <= 1:
        raise FibreError(f"a share of {_percent(share)}% cannot be", "write a share above 0% and up to 100%")
    return share


def _misshapen(part: str) -> FibreError:
    shown = part if len(part) <= 40 else f"{part[:37]}..."
    if not part:
        return FibreError("a comma has no fibre beside it", "write it like 80% wool, 20% polyamide")
    if re.fullmatch("[0-9.]+ ?%", part):
        return FibreError(f"'{shown}' has no fibre", f"write the fibre too, for example {part} wool")
    turned = re.fullmatch(r"(.+?) ([0-9.]+) ?%", part) or re.fullmatch(r"([^0-9%]+) ([0-9.]+)", part)
    if turned:
        return FibreError(f"'{shown}' is the wrong way round", f"write {turned.group(2)}% {turned.group(1)}")
    bare = re.fullmatch(r"([0-9.]+) ([^0-9%]+)", part)
    if bare and re.fullmatch(r"0?\.[0-9]{1,4}", bare.group(1)):
        return FibreError(f"'{shown}' has no % sign", f"write {_percent(Fraction(bare.group(1)))}% {bare.group(2)}")
    if bare:
        return FibreError(f"'{shown}' has no % sign", f"write {bare.group(1)}% {bare.group(2)}")
    example = shown if re.fullmatch(r"[^\W\d_]+(?:[ -][^\W\d_]+)*", part) else "wool, 80% acrylic"
    return FibreError(f"'{shown}' has no share", f"write its share too, for example 20% {example}")


def _unknown_fibre(part: str, word: str) -> FibreError:
    joined = re.sub(r"\s*(?:/|\+|;|&|\band\b)\s*(?=[0-9])|\s+(?=[0-9.]+ ?%)", ", ", part)
    if joined != part:
        return FibreError("the parts of a blend are not told apart", f"write commas between them: {joined}")
    return _unknown_word(word, list(WORDS), "write the fibre as on the label, such as wool or cotton; or unknown")


def _unknown_word(word: str, known: list[str], otherwise: str) -> FibreError:
    shown = word if len(word) <= 40 else f"{word[:37]}..."
    close = get_close_matches(_fold(word), known, n=1, cutoff=0.7)
    return FibreError(f"'{shown}' is not a fibre known here", f"did you mean {close[0]}?" if close else otherwise)


def _refuse_twice(words: list[str]) -> None:
    """Refuse a fibre named twice; different words for wool, such as merino and lambswool, are different wools."""
    seen: dict[str, str] = {}
    for word in words:
        fibre = WORDS[word]
        key = word if fibre == "wool" else fibre
        if key in seen:
            named = f"'{word}'" if seen[key] == word else f"'{seen[key]}' and '{word}' are one fibre, which"
            raise FibreError(f"{named} is named twice", f"add the shares up and write {fibre} once")
        seen[key] = word


def _sorted(shares: Mapping[str, Fraction]) -> Mapping[str, Fraction]:
    return dict(sorted(shares.items()))


def _percent(share: Fraction) -> str:
    shown = show_number(share * 100, 4)
    return shown.rstrip("0").rstrip(".")


def _fold(word: str) -> str:
    return " ".join(word.casefold().replace("’", "'").replace("-", " ").split())
