"""Lengths of yarn that were cut for a project, and the pattern that asks for just those."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.yarns import WorkingYarn
from stash.weightclass import class_of

if TYPE_CHECKING:
    import random

    from planner.plan import Take
    from stash.lots import Lot

STEP_CM = 11  # 10 cm of a need with its reserve
PARTS = ("body", "left sleeve", "right sleeve")
OTHERS = ("motif", "edging", "band")


@dataclass(frozen=True)
class Length:
    """So much of one lot, in one or two strands, cut from its pieces."""

    lot: Lot
    strands: int
    length_cm: int
    takes: tuple[Take, ...]

    @property
    def yarn(self) -> WorkingYarn:
        return WorkingYarn(((self.lot, self.strands),))

    @property
    def weight(self) -> str:
        return class_of(Fraction(self.yarn.wool_m_per_100g)).name

    @property
    def kind(self) -> tuple[object, ...]:
        return (self.weight, self.strands, tuple(sorted(self.lot.blend.shares.items())))

    def may_meet(self, other: Length) -> bool:
        """Whether neither is known to bleed onto the other; all is washed by hand."""
        apart = self.lot.colour.lightness - other.lot.colour.lightness
        return not (self.lot.bleeds and apart <= -24) and not (other.lot.bleeds and apart >= 24)


@dataclass
class Wish:
    """A project: its main need's lot rule and lengths, and one length for each need beside it."""

    rule: str
    main: list[Length]
    others: list[Length]

    def all(self) -> list[Length]:
        return [*self.main, *self.others]


def pattern_text(chance: random.Random, number: int, wish: Wish) -> str:
    rows = [
        f"name: Planted {number}",
        "craft: knitting",
        "gauge: {stitches: 22, rows: 30, over: 10 cm}",
        "wash: hand",
        "needs:",
        f"  main: {{{_yarn(wish.main[0])}, lots: {wish.rule}{_main_colour(chance, wish)}}}",
    ]
    amounts = [_metres(sum(one.length_cm for one in wish.main))]
    if wish.rule == "by-part":
        parts = (f"{part}: {_metres(one.length_cm)}" for part, one in zip(PARTS, wish.main, strict=False))
        amounts = [f"{{{', '.join(parts)}}}"]
    for name, one in zip(OTHERS, wish.others, strict=False):
        rows.append(f"  {name}: {{{_yarn(one)}, colour: {_beside(chance, wish, one)}}}")
        amounts.append(_metres(one.length_cm))
    named = zip(("main", *OTHERS), amounts, strict=False)
    rows += ["sizes:", f"  one: {{{', '.join(f'{name}: {amount}' for name, amount in named)}}}"]
    return "\n".join(rows) + "\n"


def _yarn(length: Length) -> str:
    return f"yarn: {length.weight}, strands: {length.strands}"


def _metres(planned_cm: int) -> str:
    return f"{planned_cm // STEP_CM / 10:.1f} m"


def _main_colour(chance: random.Random, wish: Wish) -> str:
    if wish.rule == "any 3" or chance.random() > 0.7:
        return ""
    return f", colour: {_near(wish.main[0])}"


def _near(length: Length) -> str:
    return f'{{near: "{length.lot.colour.text}", within: 10}}'


def _beside(chance: random.Random, wish: Wish, one: Length) -> str:
    """A colour rule that the length keeps beside the main need, with room for others to keep it too."""
    rises = [one.lot.colour.lightness - main.lot.colour.lightness for main in wish.main]
    rules = ["any", _near(one)]
    if (least := min(map(abs, rises))) >= 15:
        rules.append(f"{{against: main, lightness: {min(25, int(least // 5 * 5))}}}")
    if max(rises) <= -5:
        rules.append(f"{{darker-than: main, lightness: {min(10, int(-max(rises) // 5 * 5))}}}")
    if all(one.lot is not main.lot for main in wish.main):
        rules.append("{not: main}")
    return chance.choice(rules)
