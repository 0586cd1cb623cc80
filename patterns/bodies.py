"""Bodies by size: the yarn trade's published body measurements, not those of a garment.

Source: Craft Yarn Council, Standards & Guidelines, charts for babies, children and youth, women, men, head, hand and
foot, in inches; not read at the publisher's but in public transcriptions. The torsos were read whole in one; a second
agrees for baby 3 months, youth 12 to 16, women XS to M and 3X to 5X, and for men S to 4X; other published charts after
the standard agree in the chests of babies and children and in the children's lengths and arms. Baby 6 to 24 months but
their chests, women L to 2X in part and men 5X stand on one transcription. Ranges stand for their middle. Metres, exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stash.units import INCH_M

GROUPS = ("baby", "child", "woman", "man")
_CHILDREN = frozenset({"baby", "child"})


@dataclass(frozen=True)
class Body:
    """The measures of one size, in metres, by name; `group` one of GROUPS."""

    group: str
    size: str
    measures: dict[str, Fraction]

    def __getitem__(self, name: str) -> Fraction:
        return self.measures[name]

    @property
    def young(self) -> bool:
        return self.group in _CHILDREN


def _table(names: str, rows: str) -> tuple[Body, ...]:
    """Lines of "group | size | measures"; a range such as 36-38 stands for its middle."""
    bodies = []
    for line in rows.strip().splitlines():
        group, size, figures = (cell.strip() for cell in line.split("|"))
        bodies.append(Body(group, size, dict(zip(names.split(), map(_middle, figures.split()), strict=True))))
    return tuple(bodies)


def _middle(figure: str) -> Fraction:
    ends = [Fraction(end) for end in figure.split("-")]
    return sum(ends, Fraction(0)) / len(ends) * INCH_M


# `back`: nape to waist; for men the chart's line reaches to the hip. `reach`: from the middle of the back to the wrist;
# `arm`: wrist to underarm. `hip`: from the waist on to where a pullover ends: 2 in for children (a designer's published
# chart after the standard), 6 in for women (from memory), none for men.
# The transcriptions differ in a woman's upper arm at 5X (18.5 or 19.5; beside 49.5 cm, so 19.5 is right) and in the
# widest backs of men.
TORSOS = _table(
    "chest back hip shoulders reach arm upper_arm armhole head",
    """
    baby  | 3 months  | 16    6     2 7.25      10.5    6    5.5   3.25    14-16
    baby  | 6 months  | 17    7     2 7.75      11.5    6.5  6     3.5     14-16
    baby  | 12 months | 18    7.5   2 8.25      12.5    7.5  6.5   3.75    16-18
    baby  | 18 months | 19    8     2 8.5       14      8    7     4       16-18
    baby  | 24 months | 20    8.5   2 8.75      18      8.5  7.5   4.25    16-18
    child | 2         | 21    8.5   2 9.25      18      8.5  7     4.25    18-20
    child | 4         | 23    9.5   2 9.75      19.5    10.5 7.5   4.75    18-20
    child | 6         | 25    10.5  2 10.25     20.5    11.5 8     5       18-20
    child | 8         | 26.5  12.5  2 10.75     22      12.5 8.5   5.5     18-20
    child | 10        | 28    14    2 11.25     24      13.5 8.75  6       18-20
    child | 12        | 30    15    2 12        26      15   9     6.5     20-22
    child | 14        | 31.5  15.5  2 12.25     27      16   9.25  7       20-22
    child | 16        | 32.5  16    2 13        28      16.5 9.5   7.5     20-22
    woman | XS        | 28-30 16.5  6 14-14.5   26-26.5 16.5 9.75  6-6.5   21-23
    woman | S         | 32-34 17    6 14.5-15   27-27.5 17   10.25 6.5-7   21-23
    woman | M         | 36-38 17.25 6 15.5-16   28-28.5 17   11    7-7.5   21-23
    woman | L         | 40-42 17.5  6 16.5-17   29-29.5 17.5 12    7.5-8   21-23
    woman | XL        | 44-46 17.75 6 17.5      29-29.5 17.5 13.5  8-8.5   21-23
    woman | 2X        | 48-50 18    6 18        30-30.5 18   15.5  8.5-9   21-23
    woman | 3X        | 52-54 18    6 18        30.5-31 18   17    9-9.5   21-23
    woman | 4X        | 56-58 18.5  6 18.5      31.5-32 18.5 18.5  9.5-10  21-23
    woman | 5X        | 60-62 18.5  6 18.5      31.5-32 18.5 19.5  10-10.5 21-23
    man   | S         | 34-36 23-24 0 15.5-16   32-32.5 18   12    8.5-9   22-24
    man   | M         | 38-40 25-26 0 16.5-17   33-33.5 18.5 13    9-9.5   22-24
    man   | L         | 42-44 26-27 0 17.5-18   34-34.5 19.5 15    9.5-10  22-24
    man   | XL        | 46-48 28    0 18-18.5   35-35.5 20   15.5  10-10.5 22-24
    man   | 2X        | 50-52 29    0 19-20     36-36.5 20.5 16.5  11      22-24
    man   | 3X        | 54-56 30    0 20-21     37-37.5 20.5 17.5  11.5    22-24
    man   | 4X        | 58-60 30    0 21-21.5   38-38.5 21   18.5  12      22-24
    man   | 5X        | 62-64 31    0 22-22.5   39-39.5 21.5 20    12.5    22-24
    """,
)
HEADS = _table(
    "head",
    """
    baby  | baby    | 14-16
    baby  | toddler | 16-18
    child | child   | 18-20
    child | tween   | 20-22
    woman | woman   | 21-23
    man   | man     | 22-24
    """,
)
# One transcription alone gives lengths of hands; a baby's hand is from memory: no thumb is knitted for it.
HANDS = _table(
    "hand hand_length",
    """
    baby  | baby          | 4   3
    child | 2 to 4 years  | 5   4
    child | 4 to 6 years  | 6   4.75
    child | 6 to 8 years  | 6.5 5.25
    woman | S             | 7   6
    woman | M             | 7.5 6.5
    woman | L             | 8   7.5
    man   | S             | 8   7.5
    man   | M             | 8.5 7.75
    man   | L             | 9   8.5
    """,
)
# One transcription alone gives the round of feet and the height of socks.
FEET = _table(
    "foot sock_height foot_length",
    """
    baby  | 6 to 18 months | 4.5 2.5 3-4.5
    baby  | 2 to 3 years   | 5.5 3.5 4.75-6
    child | 4 to 5 years   | 6   4.5 6.5-7.5
    child | 6 to 9 years   | 6.5 5.5 7.75-8.5
    child | 10 to 13 years | 7   6.5 8.75-9.5
    woman | S              | 7   6.5 8-9
    woman | M              | 8   7   9.25-10
    woman | L              | 9   7.5 10.25-11
    man   | S              | 8   7.5 9.25-10
    man   | M              | 9   8   10.25-11
    man   | L              | 10  8.5 11.25-12
    """,
)
# Flat things have sizes of their own; common practice, no source. In metres: width, length.
_FLAT = {
    "cowl": (("short", "0.22", "0.62"), ("long", "0.25", "1.25")),
    "scarf": (("short", "0.15", "1.25"), ("long", "0.25", "1.7")),
    "shawl": (("small", "1.2", "0.6"), ("large", "1.8", "0.9")),
    "blanket": (("baby", "0.75", "0.9"), ("lap", "1", "1.3"), ("bed", "1.5", "2")),
}
ANYONE = "anyone"
FLAT: dict[str, tuple[Body, ...]] = {
    shape: tuple(
        Body("baby" if size == "baby" else ANYONE, size, {"width": Fraction(width), "length": Fraction(length)})
        for size, width, length in sizes
    )
    for shape, sizes in _FLAT.items()
}
