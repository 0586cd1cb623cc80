"""Random stash files that draw every key and every form of a value. The same seed, the same files, byte for byte."""

from __future__ import annotations

import random

from stash.colournames import CSS_COLOURS
from stash.garment import FELTED, KINDS, SIZES
from stash.stitches import STITCHES

BLENDS = (
    "wool",
    "unknown",
    "80% wool, 20% polyamide",
    "80% wool,20% nylon",
    "33.3% silk, 33.3% merino, 33.3% alpaca",
    "52% wool, 48% acrylic",
    "75% superwash, 25% polyamide",
)
# What spreadsheets, terminals and YAML each make something else of.
ODD = (
    "=1+1", "+49 1", "-", "@home", "'quoted'", "'=a", "''-x", '"', '""', '"twice"', "a, b; c", "0123", "yes", "no", "null",
    "1e5", "2024-03-01", "a: b # c", "tab-free", " lead and trail ", "é ß ø 毛糸 😀", "{lab: [1, 2, 3]}", "[x]", "a\\b",
    "_x0041_", "~", "%", "100%", "\u202eodd", "https://example.org", "true", "1/2", "#5b6770", "", " ",
)  # fmt: skip


def drawn_files(seed: int) -> list[tuple[str, bytes]]:
    """1 to 3 stash files; each reads without faults."""
    chance = random.Random(seed)
    files = [_file(chance, number) for number in range(1, chance.choice((1, 1, 2, 3)) + 1)]
    return [(f"stash/f{number}.yaml", text.encode()) for number, text in enumerate(files, 1)]


def _file(chance: random.Random, number: int) -> str:
    lines = [f"scale: {chance.choice(('1 g', '0.1 g', '0.1 oz'))}"] if chance.random() < 0.4 else []
    donors = [f"d{number}-{at}" for at in range(1, chance.choice((0, 1, 2, 3)) + 1)]
    if donors:
        lines.append("donors:")
    for donor in donors:
        told = _donor(chance)
        lines.append(f"  {donor}:" + ("" if told else " {}"))
        lines += [f"    {key}: {value}" for key, value in told.items()]
    lines.append("lots:")
    for at in range(1, chance.randint(1, 4) + 1):
        lines += _lot(chance, f"l{number}-{at}", donors)
    return "\n".join(lines) + "\n"


def _some(chance: random.Random, **ways: str) -> dict[str, str]:
    """Each key with even chance."""
    return {key.replace("_", "-"): value for key, value in ways.items() if chance.random() < 0.5}


def _donor(chance: random.Random) -> dict[str, str]:
    yes = lambda: chance.choice(("yes", "no", "true", "false"))  # noqa: E731
    return _some(
        chance,
        garment=_text(chance),
        fibre=_quoted(chance.choice(BLENDS)),
        mass=_heavy(chance, 3000, 9000),
        seams=chance.choice(("linked", "cut")),
        scale=chance.choice(("1 g", "5 g", "0.1 g", "1 oz")),
        kind=chance.choice(tuple(KINDS)),
        size=chance.choice(tuple(SIZES)),
        gauge=chance.choice(("{stitches: 22}", "{stitches: 22, rows: 30}", "{stitches: 9.5, rows: 13, over: 2 in}")),
        stitch=chance.choice((*STITCHES, "stockinette", "Moss Stitch", "1x1 rib")),
        panels=chance.choice(("2 x 52 cm x 60 cm", "[2 x 52 cm x 60 cm, 2 x 20-38 cm x 45 cm]", "[20 in x 28 in]")),
        felted=chance.choice(FELTED),
        pilled=yes(),
        holes=str(chance.randint(0, 9)),
        stains=str(chance.randint(0, 9)),
        smell=yes(),
        moths=yes(),
        colours=str(chance.randint(1, 9)),
        main_share=chance.choice(("60%", "33.5 %")),
        fancy=yes(),
        plies=str(chance.randint(1, 4)),
        colour=_colour(chance),
        price=chance.choice(("6", "4.50")),
        note=_text(chance),
    )


def _lot(chance: random.Random, lot: str, donors: list[str]) -> list[str]:
    told = {"fibre": _quoted(chance.choice(BLENDS)), "colour": _colour(chance), "count": _count(chance)}
    told |= _some(
        chance,
        felts=chance.choice(("yes", "no", "unknown")),
        bleeds=chance.choice(("yes", "no", "untested")),
        scale=chance.choice(("1 g", "0.1 g", "0.1 oz", "2 g")),
        note=_text(chance),
    )
    if donors and chance.random() < 0.6:
        told["donor"] = chance.choice(donors)
    keys = list(told.items())
    chance.shuffle(keys)
    lines = [f"  {lot}:", *(f"    {key}: {value}" for key, value in keys), "    skeins:"]
    return lines + [f"      {lot}-{at}: {_skein(chance, told['count'])}" for at in range(1, chance.randint(1, 4) + 1)]


def _skein(chance: random.Random, count: str) -> str:
    """A skein with both a mass and a length where the count lets them agree."""
    mass, metres = _heavy(chance, 30, 200), chance.randint(20, 400)
    long = chance.choice((f"{metres} m", f"{metres}.50 yd", f"{metres * 100} cm", f"0.{metres:04} km"))
    kind = chance.randrange(9)
    if kind == 8:
        return f"{{mass: {mass}, counted: {{mass: {_heavy(chance, 1, 30)}, on: 2026-{chance.randint(10, 12)}-05}}}}"
    if kind == 7 and count.endswith(" m/100g"):
        return f"{{length: {metres} m, mass: {metres * 100 / int(count.removesuffix(' m/100g')):.2f} g}}"
    if kind < 2:
        return (mass, long)[kind]
    if kind == 2:
        return f"{{mass: {mass}}}"
    if kind == 3:
        return f"{{mass: {mass}, pieces: {chance.randint(1, 9)}}}"
    if kind == 4:
        return (
            f"{{mass: {mass}, pieces: [{', '.join(f'{chance.randint(1, 60)} {unit}' for unit in ('m', 'yd', 'ft'))}]}}"
        )
    if kind == 5:
        return f"{{length: {metres * 2} yd, pieces: [{metres} yd, {metres} yd]}}"
    return f"{{length: {long}, pieces: [{long}]}}"


def _count(chance: random.Random) -> str:
    metres = chance.randint(120, 500)  # in 100 g
    turns = chance.randint(60, 140)
    grams = f"{turns * 1.5 * 100 / metres:.1f} g"
    wound = f"turns: {turns}, around: 1.5 m"
    odd = chance.choice(("", ", scale: 0.1 g", ", weighed: apart", ", scale: 0.5 g, weighed: apart"))
    return chance.choice(
        (
            f"{{{wound}, mass: {grams}{odd}}}",
            f"{{length: 24.0 m, mass: {2400 / metres:.1f} g{odd}}}",
            f"{{{wound}, before: 318.0 g, after: {318 - turns * 150 / metres:.1f} g{odd}}}",
            f"[{{{wound}, mass: {grams}{odd}}}, {{length: 24.5 yd, mass: {24.5 * 91.44 / metres:.2f} g}}]",
            f"[{{{wound}, mass: {grams}}}]",
            f"{metres} m/100g",
            f"{round(metres / 2 / 0.9144)} yd/50g",
            f"{round(metres * 4.96)} yd/lb",
            f"{round(100000 / metres)} tex",
            f"{round(1000000 / metres)} dtex",
            f"{round(900000 / metres)} den",
            f"Nm 2/{metres / 50:.1f}",
            "Ne 8/2",
            "worsted 2/10",
            f"{{wraps: {round(0.87 * metres**0.5)}}}",
            "dk",
            "super fine",
        )
    )


def _heavy(chance: random.Random, low: int, high: int) -> str:
    grams = chance.randint(low, high)
    return chance.choice((f"{grams} g", f"{grams}.0 g", f"{grams}.25 g", f"0.{grams:04} kg", f"{grams / 28:.1f} oz"))


def _colour(chance: random.Random) -> str:
    lab = [
        f"{chance.uniform(1, 99):.{chance.randint(0, 4)}f}",
        f"{chance.uniform(-90, 90):.3f}",
        str(chance.randint(-90, 90)),
    ]
    return chance.choice(
        (
            f'"#{chance.randrange(1 << 24):06x}"',
            f'"#{chance.randrange(1 << 24):06X}"',
            chance.choice(sorted(CSS_COLOURS)),
            chance.choice(sorted(CSS_COLOURS)).title(),
            f"{{lab: [{', '.join(lab)}]}}",
        )
    )


def _text(chance: random.Random) -> str:
    return _quoted(chance.choice((*ODD, "a jumper", "bought at the quay")))


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"
