"""What `needs` asks: the shape, for whom and in which sizes, gauge and yarn, and how colours share it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from patterns.shapes import FITS, SHAPES, Shape
from planner.asking import AskError
from planner.needing import Column, Wish, class_for, column_of, middle_column, parts_of
from planner.needreading import (
    read_bands,
    read_depth,
    read_ease,
    read_flat,
    read_gauge,
    read_motif,
    read_pattern_name,
    read_sizes,
    read_swatch,
    read_yarn,
)
from planner.prompting import Question, gather
from planner.rackasking import choice
from stash.stitches import STITCHES, read_stitch
from stash.weightclass import CLASSES

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from patterns.bodies import Body

    Given = Mapping[str, str | Sequence[str] | None]

SHAPE, CONSTRUCTION, FOR, SIZE = "SHAPE", "--construction", "--for", "--size"
FIT, EASE, RIB, CRAFT, STITCH = "--fit", "--ease", "--rib", "--craft", "--stitch"
YARN, GAUGE, SWATCH, BANDS, MOTIF, EDGING = "--yarn", "--gauge", "--swatch", "--bands", "--motif", "--edging"
PATTERN, SAVE = "--pattern", "--save"
EVERYONE = "everyone"
LEAD = "Tell what it is to be; Enter alone takes what stands in brackets."
_EDGINGS = {"same": False, "own": True}


@dataclass(frozen=True)
class Asked:
    """What is to be estimated, the name of the pattern file to make of it, None: none, and whether to save that."""

    wish: Wish
    pattern: str | None
    save: bool


def ask_needs(given: Given) -> Asked:
    """Everything `needs` must be told, by flags or, where none is given, by prompts. Raises AskError."""
    told = gather([Question(SHAPE, f"What shape: {', '.join(SHAPES)}?", choice(SHAPES))], given, lead=LEAD)
    shape: Shape = told[SHAPE]
    told |= gather(_kinds(shape), given)
    construction = told[CONSTRUCTION] or shape.constructions[0]
    bodies = _of_group(shape, told[FOR])
    if told[CRAFT] == "crochet" and any(given.values()) and not given.get(SWATCH):
        raise AskError(
            "crochet is estimated by a swatch alone, and none is told",
            'work one, unravel it and measure: --swatch "20 cm x 20 cm, 31 m"',
        )
    told |= gather(_questions(shape, construction, bodies, told[CRAFT]), given)
    if given.get(PATTERN):
        _refuse_pattern(told)
    _refuse_idle(given, told, shape)
    wish = Wish(
        shape,
        construction,
        told[SIZE] or bodies,
        _columns(told),
        told[FIT] or "classic",
        told[EASE],
        told[RIB],
        told[CRAFT],
        told[STITCH] or STITCHES["plain"],
        told[BANDS] or (),
        told[MOTIF],
        bool(told[EDGING]),
        told[SWATCH],
    )
    _refuse_together(wish)
    return Asked(wish, told[PATTERN], bool(told[SAVE]))


def _kinds(shape: Shape) -> tuple[Question, ...]:
    constructions = {one: one for one in shape.constructions}
    whom = {group: group for group in (*shape.groups, EVERYONE)}
    usual = "woman" if shape.ease_on in {"chest", "hand", "foot"} else EVERYONE
    return (
        Question(
            CONSTRUCTION,
            f"How is it made: {', '.join(constructions)}?",
            choice(constructions),
            shape.constructions[0],
            when=lambda _: len(constructions) > 1,
        ),
        Question(FOR, f"For whom: {', '.join(whom)}?", choice(whom), usual, when=lambda _: bool(shape.ease_on)),
        Question(
            CRAFT, "Is it knitting or crochet?", choice({"knitting": "knitting", "crochet": "crochet"}), "knitting"
        ),
    )


def _of_group(shape: Shape, whom: str | None) -> tuple[Body, ...]:
    return tuple(one for one in shape.sizes if whom in {None, EVERYONE, one.group})


def _questions(shape: Shape, construction: str, bodies: tuple[Body, ...], craft: str) -> tuple[Question, ...]:
    sizes = ", ".join(dict.fromkeys(one.size for one in bodies))
    parts = parts_of(shape, construction)
    own = "" if shape.ease_on else "; or width x length of your own, such as 30 cm x 180 cm"
    size = read_sizes(bodies) if shape.ease_on else read_flat(bodies)
    knitted = _knitted if craft == "knitting" else _never
    return (
        Question(SIZE, f"Which size: {sizes}{own}?", _or("every size", size), "every size"),
        Question(
            FIT,
            f"How does it fit: {', '.join(FITS)}?",
            choice({one: one for one in FITS}),
            "classic",
            when=lambda _: shape.ease_on == "chest",
        ),
        Question(
            EASE,
            "How much wider than the body is it round, such as 10 cm, or -5 cm?",
            _or("as usual", read_ease),
            "as usual",
            when=lambda _: bool(shape.ease_on),
        ),
        Question(RIB, "How deep are the edgings, such as 6 cm?", _or("as usual", read_depth), "as usual"),
        Question(
            SWATCH,
            "A swatch of your own, such as 20 cm x 20 cm, 31 m; or 20 cm x 20 cm, 14 g of 230 m/100g?",
            read_swatch,
            "" if craft == "knitting" else None,
        ),
        Question(STITCH, f"In which stitch: {', '.join(STITCHES)}?", read_stitch, "plain", when=knitted),
        Question(YARN, f"Which class of yarn: {_classes()}?", _or("any", read_yarn), "any"),
        Question(
            GAUGE,
            "Your gauge, stitches x rows in 10 cm, such as 22 x 30?",
            _or("as usual", read_gauge),
            "as usual",
            when=knitted,
        ),
        Question(BANDS, 'Stripes, so many rows of each, such as "main 20, ochre 4"?', read_bands, ""),
        Question(MOTIF, f"A motif, in what share of the stitches, such as 35% of {parts[-1]}?", read_motif(parts), ""),
        Question(EDGING, "Edgings of the same yarn, or of their own: same, own?", choice(_EDGINGS), "same"),
        Question(
            PATTERN,
            "Name of a pattern file to make of it, such as harbour-raglan?",
            read_pattern_name,
            "",
            when=_one_yarn,
        ),
        Question(
            SAVE,
            "Save it as a new file in the folder patterns, yes or no?",
            choice({"yes": True, "no": False}),
            "no",
            when=lambda told: told[PATTERN] is not None,
        ),
    )


def _or(word: str, read: Callable[[str], Any]) -> Callable[[str], Any]:
    """Return a reader that takes one word more, for nothing told."""
    return lambda text: None if text.strip() == word else read(text)


def _one_yarn(told: Mapping[str, Any]) -> bool:
    """Whether one class of yarn is told, or a gauge that tells it: a pattern is for one."""
    return told[YARN] is not None or told[GAUGE] is not None


def _refuse_pattern(told: Mapping[str, Any]) -> None:
    if not _one_yarn(told):
        hint = "tell --yarn, such as --yarn dk" + ("" if told[SWATCH] is not None else "; or --gauge")
        raise AskError("a pattern is for one thickness of yarn, and none is told", hint)


def _never(_: Mapping[str, Any]) -> bool:
    return False


def _knitted(told: Mapping[str, Any]) -> bool:
    return told[SWATCH] is None


def _classes() -> str:
    return ", ".join(one.name for one in CLASSES)


def _columns(told: Mapping[str, Any]) -> tuple[Column, ...]:
    one, gauge = told[YARN], told[GAUGE]
    if gauge is not None:
        stitches, rows, over_m = gauge
        return (column_of(one or class_for(stitches / over_m / 10), stitches, rows, over_m),)
    if one is not None:
        return (middle_column(one),)
    if told[SWATCH] is not None:
        return (column_of(None, Fraction(1)),)
    return tuple(middle_column(each) for each in CLASSES)


def _refuse_idle(given: Given, told: Mapping[str, Any], shape: Shape) -> None:
    """Refuse a flag that was given and has nothing to say here."""
    for flag, text in given.items():
        if not text or told[flag] is not None:
            continue
        if flag in {STITCH, GAUGE}:
            reason = "a swatch tells it" if told[SWATCH] is not None else "crochet is estimated by a swatch"
            raise AskError(f"{flag} has no meaning here: {reason}", "leave it out")
        raise AskError(f"{flag} has no meaning for {_a(shape.name)}", "leave it out")


def _refuse_together(wish: Wish) -> None:
    if wish.motif is not None and wish.motif.part is None and wish.bands:
        raise AskError(
            "stripes and a motif over everything do not go together",
            f'tell where the motif is, such as --motif "35% of {parts_of(wish.shape, wish.construction)[-1]}"',
        )


def _a(name: str) -> str:
    """The name with its article, where it takes one."""
    return name if name.endswith("s") else f"a {name}"
