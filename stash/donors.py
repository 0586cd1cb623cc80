"""Donors as they are written: what a garment is, and what was seen on it before it was taken apart."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stash import spellings
from stash.fabric import Gauge
from stash.fields import YES_NO, Field, Record, choice_kind, list_kind, read_record, record_kind, value_kind
from stash.garment import FELTED, KINDS, SIZES, TEN_CM, Garment, read_panel
from stash.kinds import BLEND, COLOUR, NOTE, SOME_LENGTH, SOME_MASS, STITCH, TEXT, number_kind, share_kind, whole_kind
from stash.lots import Donor
from stash.nodes import Node, Scalar, place_of
from stash.samples import scale_of

if TYPE_CHECKING:
    from stash.faults import Fault
    from stash.units import Quantity

MOST_STITCHES = Fraction(1000)
MOST_FLAWS, MOST_COLOURS, MOST_PLIES = 100, 12, 12
MOST_PRICE = Fraction(100_000)
SOME_SHARE = share_kind(Fraction(1, 100), Fraction(1))

SEEN_GAUGE = Record(
    "a gauge",
    (
        Field("stitches", number_kind("the number of stitches", None, MOST_STITCHES), "how many across", required=True),
        Field("rows", number_kind("the number of rows", None, MOST_STITCHES), "how many rows"),
        Field("over", SOME_LENGTH, "over what length (default 10 cm)"),
    ),
    "{stitches: 22, rows: 30, over: 10 cm}",
)
DONOR = Record(
    "a donor",
    (
        Field("garment", TEXT, "what it is"),
        Field("fibre", BLEND, "what it is made of"),
        Field("mass", SOME_MASS, "what the whole garment weighs"),
        Field(
            "seams",
            choice_kind("how it is sewn", {"linked": "linked", "cut": "cut"}),
            "linked (panels knitted to shape) or cut (overlocked)",
        ),
        Field("scale", SOME_MASS, "the resolution of the scale used"),
        Field("kind", choice_kind("a kind of garment", {kind: kind for kind in KINDS}), "what kind of garment it is"),
        Field("size", choice_kind("a size", {size: size for size in SIZES}), "its size"),
        Field("gauge", record_kind(SEEN_GAUGE), "stitches and rows as counted on it"),
        Field("stitch", STITCH, "the stitch most of it is in"),
        Field(
            "panels",
            list_kind(value_kind("a panel such as 2 x 52 cm x 60 cm", read_panel, spellings.PANEL), single=True),
            "its flat pieces, width x length",
        ),
        Field("felted", choice_kind("no, slightly or felted", {word: word for word in FELTED}), "whether it is felted"),
        Field("pilled", YES_NO, "whether it is pilled or worn"),
        Field("holes", whole_kind("the number of holes", 0, MOST_FLAWS), "how many holes"),
        Field("stains", whole_kind("the number of stains", 0, MOST_FLAWS), "how many stains"),
        Field("smell", YES_NO, "whether it smells"),
        Field("moths", YES_NO, "whether moths have been at it"),
        Field("colours", whole_kind("the number of colours", 1, MOST_COLOURS), "how many colours it has"),
        Field("main-share", SOME_SHARE, "the main colour's part of it"),
        Field("fancy", YES_NO, "whether it is of looped, hairy or knotted yarn"),
        Field("plies", whole_kind("the number of strands", 1, MOST_PLIES), "strands that run side by side in it"),
        Field("colour", COLOUR, "its main colour"),
        Field("price", number_kind("a price", Fraction(0), MOST_PRICE), "what it costs, a plain number"),
        Field("note", NOTE, "anything you want to remember; not read further"),
    ),
    "{garment: pullover, fibre: 100% wool, mass: 486 g, seams: linked}",
)


def read_donor(key: Scalar, node: Node, file_scale: Quantity | None, faults: list[Fault]) -> Donor:
    """Return the donor under `key`; raises RefusedError when something in it is wrong."""
    values = read_record(node, DONOR, faults)
    mass: Quantity | None = values["mass"]
    grams = None if mass is None else mass.value
    seen = _seen(values, Fraction(1) if mass is None else scale_of(mass, values["scale"], file_scale))
    return Donor(key.text, values["garment"], values["fibre"], grams, values["seams"], place_of(key), seen)


def _seen(values: dict[str, Any], scale_g: Fraction) -> Garment:
    mass: Quantity | None = values["mass"]
    over = TEN_CM if values["gauge"] is None or values["gauge"]["over"] is None else values["gauge"]["over"].value
    plain = Garment()
    return Garment(
        kind=values["kind"],
        size=values["size"],
        blend=values["fibre"],
        mass_g=None if mass is None else mass.value,
        scale_g=scale_g,
        gauge=None if values["gauge"] is None else _gauge(values["gauge"], over),
        over_m=over,
        stitch=values["stitch"] or plain.stitch,
        panels=values["panels"] or (),
        seams=values["seams"],
        felted=values["felted"] or "no",
        pilled=bool(values["pilled"]),
        holes=values["holes"] or 0,
        stains=values["stains"] or 0,
        smell=bool(values["smell"]),
        moths=bool(values["moths"]),
        colours=values["colours"] or 1,
        main_share=values["main-share"],
        fancy=bool(values["fancy"]),
        plies=values["plies"] or 1,
        colour=values["colour"],
        price=values["price"],
    )


def _gauge(values: dict[str, Any], over_m: Fraction) -> Gauge:
    rows: Fraction | None = values["rows"]
    return Gauge(values["stitches"] / (over_m * 100), None if rows is None else rows / (over_m * 100))
