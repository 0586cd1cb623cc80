"""Random tiny cases that draw every rule, with lengths that are often nearly enough. The same seed, the same case."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from fractions import Fraction

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, Need, Pattern, YarnRange
from patterns.projects import Pin, Project
from stash.colour import difference, read_colour
from stash.count import read_count
from stash.fabric import Gauge
from stash.faults import Place
from stash.fibre import read_blend
from stash.lots import Lot, Skein, Stash
from tests.oracle.brute import pieces_of

HERE = Place("here", 1, 1)
GAUGE = Gauge(Fraction(22, 10), Fraction(30, 10))
SHADES = (
    "#30405c",
    "#32425e",
    "#5b6770",
    "#5c6870",
    "#8a3324",
    "#8c3526",
    "#c68a2b",
    "#efe6d2",
    "#ede5d0",
    "#b8b9ba",
    "#43342b",
)
BLENDS = (
    "100% wool",
    "100% wool",
    "100% wool",
    "80% wool, 20% polyamide",
    "60% wool, 40% acrylic",
    "70% cotton, 30% silk",
    "90% alpaca, 10% silk",
)
COUNTS = ("230 m/100g", "225 m/100g", "440 tex", "400 m/100g", "450 m/100g", "Nm 2/9", "worsted 2/8")
FELTS = (None, None, None, True, False)
FAMILIES = ("animal", "plant", "synthetic", "wool")


@dataclass(frozen=True)
class Asked:
    """A line of projects.yaml: the project, how many copies, and the id it carries (None: none)."""

    project: Project
    copies: int
    id: str | None
    own_reserve: bool


@dataclass(frozen=True)
class Case:
    """A stash, its patterns, and the lines of the project list."""

    stash: Stash
    patterns: dict[str, Pattern]
    asked: tuple[Asked, ...]
    confidence: Fraction

    @property
    def projects(self) -> tuple[Project, ...]:
        """Each copy a project of its own."""
        return tuple(
            replace(row.project, name=row.project.name if copy == 1 else f"{row.project.name}#{copy}")
            for row in self.asked
            for copy in range(1, row.copies + 1)
        )


def random_case(seed: int) -> Case:
    """3 to 6 lots, 2 to 4 patterns, 2 to 5 projects."""
    chance = random.Random(seed)
    confidence = Fraction(chance.choice((95, 95, 90, 50)), 100)
    lots = {f"l{i}": _lot(chance, f"l{i}") for i in range(1, chance.randint(3, 6) + 1)}
    stash = Stash({}, lots)
    patterns = {f"p{i}": _pattern(chance, f"p{i}", stash, confidence) for i in range(1, chance.randint(2, 4) + 1)}
    return Case(stash, patterns, tuple(_projects(chance, patterns, lots)), confidence)


def _lot(chance: random.Random, name: str) -> Lot:
    blend = read_blend(chance.choice(BLENDS))
    return Lot(
        id=name,
        donor=None,
        blend=blend,
        colour=read_colour(chance.choice(SHADES)),
        count=read_count(chance.choice(COUNTS), blend),
        felts=chance.choice(FELTS),
        bleeds=chance.choice((None, None, None, False, False, False, True)),
        skeins=tuple(_skein(chance, f"{name}-{i}") for i in range(1, chance.choice((1, 1, 2, 2)) + 1)),
        place=HERE,
    )


def _skein(chance: random.Random, name: str) -> Skein:
    length = chance.choice((8, 12, 20, 35, 60, 90))
    equal, shares = False, (Fraction(1),)
    kind = chance.randrange(6)
    if kind == 0:
        equal, shares = True, (Fraction(1, 2),) * 2
    elif kind == 1:
        first = chance.choice((Fraction(1, 4), Fraction(2, 5), Fraction(9, 10)))
        shares = (first, 1 - first)
    if chance.random() < 0.4:
        metres = Fraction(length * 100 + chance.randint(-300, 300), 100)
        return Skein(name, None, metres, Fraction(0), shares, equal, HERE)
    tenths = chance.random() < 0.5
    mass = Fraction(chance.randint(30, 400), 10) if tenths else Fraction(chance.randint(3, 40))
    scale = Fraction(1, 10) if tenths else Fraction(1)
    return Skein(name, mass, None, scale, shares, equal, HERE)


def _pattern(chance: random.Random, name: str, stash: Stash, confidence: Fraction) -> Pattern:
    names = ("main", "motif", "edging")[: chance.choice((1, 1, 2, 2, 2, 3))]
    homes = {need: chance.choice(sorted(stash.lots)) for need in names}
    needs = {need: _need(chance, need, names, homes, stash) for need in names}
    reserve = Fraction(chance.choice((0, 5, 10, 10, 20)), 100)
    held = {lot: sum(pieces) for lot, pieces in pieces_of(stash, confidence).items()}
    guess = {lot: sum(pieces) for lot, pieces in pieces_of(stash, None).items()}
    sizes = {}
    for size in ("S", "M")[: chance.choice((1, 1, 2))]:
        present = [need for need in names if need == "main" or chance.random() < 0.85]
        sizes[size] = {
            need: _amounts(chance, needs[need], held[homes[need]], guess[homes[need]], reserve) for need in present
        }
    order = ()
    if len(names) > 1 and chance.random() < 0.15:
        light = {need: stash.lots[homes[need]].colour.lightness for need in names}
        order = tuple(sorted(names, key=lambda need: light[need])) if chance.random() < 0.7 else names
    wash = chance.choice(("any", "hand", "hand", "machine"))
    return Pattern(name, f"Invented {name}", "knitting", wash, reserve, order, needs, sizes, HERE, gauge=GAUGE)


def _need(chance: random.Random, name: str, names: tuple[str, ...], homes: dict[str, str], stash: Stash) -> Need:
    kind = chance.choice(("one", "one", "one", "by-part", "alternate", "any"))
    most = {"one": 1, "by-part": None, "alternate": chance.choice((2, 2, 3)), "any": chance.choice((None, 2, 3))}[kind]
    match = None if kind in ("one", "any") else chance.choice((5.0, 5.0, 12.0, None))
    together = (
        (1, 1)
        if kind == "any" and most is None
        else chance.choice(((1, 1), (1, 1), (1, 1), (1, 2), (1, 2), (2, 2), (1, 3)))
    )
    home = stash.lots[homes[name]]
    held = chance.randint(*together)
    middle = Fraction(round(100_000 / (home.count.tex * held)))
    within = Fraction(chance.choice((5, 12, 30, 60, 90, 90)), 100)
    return Need(
        name=name,
        lots=LotRule(kind, most, match),
        colour=_colour(chance, name, names, homes, stash),
        yarn=YarnRange(
            middle * (1 - within), middle * (1 + within), f"{middle} m/100g within {float(within * 100):g}%"
        ),
        strands=together,
        marl=chance.random() < 0.25,
        fibre=_fibre(chance),
        piece_m=Fraction(chance.choice((5, 5, 5, 2, 8, 15))),
        joins=chance.choice((None, None, None, 0, 1, 2)),
        place=HERE,
    )


def _fibre(chance: random.Random) -> FibreRule:
    if chance.random() < 0.75:
        return FibreRule()
    return FibreRule(
        allow=frozenset(chance.sample(FAMILIES, 2)) if chance.random() < 0.5 else None,
        at_least={chance.choice(FAMILIES): Fraction(chance.choice((30, 60, 80)), 100)} if chance.random() < 0.3 else {},
        at_most={chance.choice(FAMILIES): Fraction(chance.choice((20, 40)), 100)} if chance.random() < 0.3 else {},
        avoid=frozenset([chance.choice(("polyamide", "silk", "alpaca", "cotton"))])
        if chance.random() < 0.3
        else frozenset(),
    )


def _colour(
    chance: random.Random, name: str, names: tuple[str, ...], homes: dict[str, str], stash: Stash
) -> ColourRule:
    """Mostly a rule that the lots thought of would meet, sometimes any."""
    mine = stash.lots[homes[name]].colour
    if chance.random() < 0.15:
        near = mine if chance.random() < 0.7 else read_colour(chance.choice(SHADES))
        return ColourRule(near=near, within=float(chance.choice((3, 8, 30))))
    others = [other for other in names if other != name]
    if not others or chance.random() < 0.4:
        return ColourRule()
    other = chance.choice(others)
    theirs = stash.lots[homes[other]].colour
    apart = mine.lightness - theirs.lightness
    if chance.random() < 0.1:
        return ColourRule(same_as=(other,))
    if chance.random() < 0.2:
        return ColourRule(not_in=tuple(others))
    if difference(mine, theirs) < 6 and chance.random() < 0.6:
        return ColourRule(same_as=(other,))
    if abs(apart) >= 20 and chance.random() < 0.6:
        return ColourRule(against=(other,))
    step = chance.choice((None, 10.0))
    if chance.random() < 0.5:
        return ColourRule(lighter_than=(other,)) if apart > 0 else ColourRule(darker_than=(other,))
    if step is None:
        return ColourRule(against=(other,), not_in=(other,))
    return ColourRule(against=(other,), against_lightness=step, lighter_lightness=step)


def _amounts(
    chance: random.Random, need: Need, held_cm: int, guess_cm: int, reserve: Fraction
) -> dict[str | None, Amount]:
    """A share of what one lot holds, often all of it or a hair more."""
    parts = ("body", "sleeve", "cuff")[: chance.choice((1, 2, 2, 3))] if chance.random() < 0.9 else (None,)
    if need.lots.kind != "by-part" and chance.random() < 0.8:
        parts = (None,)
    takes = chance.randint(1, 4)
    sure = Fraction(max(held_cm - 30 * takes * need.strands[0], 100), 100) / (1 + reserve) / need.strands[0]
    bare = Fraction(max(guess_cm - 30 * takes * need.strands[0], 100), 100) / need.strands[0]
    whole = chance.choice(
        (
            sure,
            sure,
            sure * chance.choice((Fraction(3, 10), Fraction(1, 2), Fraction(7, 10), Fraction(13, 10))),
            bare,
            (sure + bare) / 2,
        )
    )
    whole += Fraction(chance.choice((0, 0, -1, 1, 30, -30, 200)), 100)
    weights = [chance.choice((1, 2, 5)) for _ in parts]
    digits = chance.choice((100, 100, 10_000))
    return {
        part: Amount(max(Fraction(int(whole * weight / sum(weights) * digits), digits), Fraction(1, 2)), 0.05)
        for part, weight in zip(parts, weights, strict=True)
    }


def _projects(chance: random.Random, patterns: dict[str, Pattern], lots: dict[str, Lot]) -> list[Asked]:
    asked = []
    for pattern in patterns.values():
        asked.append(_asked(chance, pattern, lots, None))
        if chance.random() < 0.15:
            asked.append(_asked(chance, pattern, lots, f"fair-{pattern.id}"))
    return asked[:5]


def _asked(chance: random.Random, pattern: Pattern, lots: dict[str, Lot], own_id: str | None) -> Asked:
    sizes = tuple(pattern.sizes)
    if chance.random() < 0.4:
        sizes = (chance.choice(sizes),)
    pins = {}
    if chance.random() < 0.2:
        some = frozenset(chance.sample(sorted(lots), 2))
        pins[chance.choice(sorted(pattern.needs))] = Pin(only=some) if chance.random() < 0.4 else Pin(without=some)
    own_reserve = chance.random() < 0.15
    project = Project(
        name=own_id or (f"{pattern.id}:{sizes[0]}" if len(sizes) == 1 else pattern.id),
        pattern=pattern.id,
        sizes=sizes,
        reserve=Fraction(8, 100) if own_reserve else pattern.reserve,
        want=chance.choice((Fraction(1), Fraction(1), Fraction(3), Fraction(1, 2))),
        must=chance.random() < 0.25,
        bleed_risk=chance.random() < 0.15,
        pins=pins,
    )
    return Asked(project, 2 if chance.random() < 0.08 else 1, own_id, own_reserve)
