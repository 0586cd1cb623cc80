"""Reading a stash: donors, lots and skeins, from all its files, with every fault gathered."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any

from stash import readfaults as wrong
from stash.diagnosis import is_table
from stash.donors import DONOR, read_donor
from stash.fibre import felts_default
from stash.fields import (
    Field,
    Record,
    RefusedError,
    attempt,
    choice_kind,
    entries_kind,
    read_fields,
    record_kind,
    refuse,
)
from stash.kinds import BLEND, COLOUR, ID, NAMES, NOTE, SOME_MASS, read_id, reference_kind
from stash.lengths import disagreement, mass_g
from stash.lots import Lot, Stash
from stash.nearest import MOST_SEARCHED
from stash.nodes import Mapping, Node, Scalar, Unread, place_of
from stash.samples import COUNT_KIND, SAMPLE, read_lot_count
from stash.skeins import COUNTED, SKEIN, SKEINS_KIND, read_skeins
from stash.source import read_source
from stash.yamlfaults import looks_like_a_table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stash.count import Count
    from stash.faults import Fault
    from stash.lots import Donor, Skein
    from stash.units import Quantity

BY_BLEND = "by blend"
_SCALE = Field("scale", SOME_MASS, "the resolution of the scale used")
_NOTE = Field("note", NOTE, "anything you want to remember; not read further")

LOT = Record(
    "a lot",
    (
        Field("donor", reference_kind("donor"), "the garment it came from"),
        Field("fibre", BLEND, "what it is made of", required=True),
        Field("colour", COLOUR, "its colour", required=True),
        Field("count", COUNT_KIND, "how thick it is", required=True),
        Field(
            "felts",
            choice_kind("yes, no or unknown", {"yes": True, "no": False, "unknown": None}),
            "whether it felts",
            default=BY_BLEND,
        ),
        Field(
            "bleeds",
            choice_kind("yes, no or untested", {"yes": True, "no": False, "untested": None}),
            "whether its dye runs",
        ),
        Field("skeins", SKEINS_KIND, "its skeins, each with a mass, a length or both", required=True),
        _SCALE,
        _NOTE,
    ),
    'slate: {fibre: 100% wool, colour: "#5b6770", count: 420 m/100g, skeins: {slate-1: 118 g}}',
)
FILE = Record(
    "a stash file",
    (
        _SCALE,
        Field("donors", entries_kind("donors", record_kind(DONOR), names=NAMES), "garments"),
        Field("lots", entries_kind("lots", record_kind(LOT), names=NAMES), "yarn of one colour from one donor"),
        _NOTE,
    ),
    f"{{lots: {{{LOT.example}}}}}",
)
FILE_SAMPLE = """\
lots:
  slate:
    fibre: 100% wool
    colour: "#5b6770"
    count: 420 m/100g
    skeins: {slate-1: 118 g}"""
KINDS_OF_RECORD = (FILE, DONOR, LOT, SKEIN, COUNTED, SAMPLE)


@dataclass(frozen=True)
class StashRead:
    """What was read: `lot_ids` are all that are named, those refused for a fault among them.

    `whole`: no file was refused so that lots may stand in it that are not known; only then can one be missed.
    """

    stash: Stash
    lot_ids: frozenset[str]
    faults: tuple[Fault, ...]
    whole: bool = True


@dataclass
class _Reading:
    """What is gathered while the files are read, one after another."""

    faults: list[Fault] = field(default_factory=list)
    names: dict[str, tuple[Scalar, str]] = field(default_factory=dict)  # folded id -> its key, and what it names
    donors: dict[str, Donor] = field(default_factory=dict)
    donor_keys: dict[str, Scalar] = field(default_factory=dict)
    donor_ids: set[str] = field(default_factory=set)
    lots: dict[str, Lot] = field(default_factory=dict)
    lot_ids: set[str] = field(default_factory=set)
    from_donor: list[Scalar] = field(default_factory=list)  # where lots name their donors
    unread: set[str] = field(default_factory=set)  # "donors", "lots": where some of these could not be read

    def claim(self, what: str, key: Scalar) -> None:
        """Refuse an id that another donor, lot or skein of the workspace has, capitals aside."""
        first = self.names.setdefault(key.text.casefold(), (key, what))
        if first[0] is not key:
            refuse(self.faults, wrong.id_taken(key, what, *first))


def read_stash(files: Iterable[tuple[str, bytes]]) -> StashRead:
    """Read a stash from its files, (name, bytes) in order; names are as shown to the user."""
    reading = _Reading()
    for name, data in files:
        root, faults = read_source(name, data)
        reading.faults += faults
        if root is None or attempt(partial(_read_file, root, reading)) is None:
            reading.unread |= {"donors", "lots"}
    reading.faults += _unknown_donors(reading)
    reading.faults += _heavy_donors(reading)
    stash = Stash(dict(sorted(reading.donors.items())), dict(sorted(reading.lots.items())))
    return StashRead(stash, frozenset(reading.lot_ids), tuple(reading.faults), "lots" not in reading.unread)


def top_of(root: Node, what: str, sample: str, faults: list[Fault]) -> Mapping:
    """The keys a file begins with; anything else is refused, with a short sample of such a file."""
    if isinstance(root, Mapping):
        return root
    if isinstance(root, Unread):
        raise RefusedError
    if is_table(root.source.text):
        refuse(faults, looks_like_a_table(root.source))
    return refuse(faults, wrong.not_a_file_of(root, what, sample))


def _read_file(root: Node, reading: _Reading) -> bool:
    top = top_of(root, "a stash file", FILE_SAMPLE, reading.faults)
    values, refused = read_fields(top, FILE, reading.faults)
    if refused:  # what is refused may be what was to be donors or lots
        reading.unread |= {name for name in ("donors", "lots") if values[name] is None}
    told: set[str] = set()
    for name in ("donors", "lots"):
        for key, node in () if values[name] is None else values[name].items:
            kind = _written_as(node, name)
            if kind != name and kind not in told:  # one line that is missing misplaces all that stand below it
                reading.faults.append(wrong.below_the_other(key, name, kind))
                told.add(kind)
            read = _read_donor if kind == "donors" else _read_lot
            attempt(partial(read, key, node, values["scale"], reading))
    return True


def _written_as(node: Node, name: str) -> str:
    """Whether an entry below `name` is written with the keys of donors or of lots: its own, where it is not plain."""
    keys = {key.text for key, _ in node.items} if isinstance(node, Mapping) else set()
    if name == "donors":
        return "lots" if "skeins" in keys and "garment" not in keys else name
    return "donors" if keys & {"garment", "seams"} and not keys & {"skeins", "count", "donor"} else name


def _read_donor(key: Scalar, node: Node, file_scale: Quantity | None, reading: _Reading) -> None:
    reading.donor_ids.add(key.text)
    donor = read_id(key, "donor", reading.faults)
    reading.claim("donor", key)
    reading.donors[donor] = read_donor(key, node, file_scale, reading.faults)
    reading.donor_keys[donor] = key


def _read_lot(key: Scalar, node: Node, file_scale: Quantity | None, reading: _Reading) -> None:
    faults = reading.faults
    reading.lot_ids.add(key.text)
    read_id(key, "lot", faults)
    reading.claim("lot", key)
    values, refused = read_fields(node, LOT, faults)
    if values["donor"] is not None:
        reading.from_donor.append(values["donor"])
    scales = (values["scale"], file_scale)
    entries: Mapping | None = values["skeins"]
    skeins = None
    if entries is not None:
        skeins = attempt(partial(read_skeins, entries, scales, partial(reading.claim, "skein"), faults))
        if not entries.items:
            faults.append(wrong.lot_without_skeins(entries, key.text))
    count = None
    if values["count"] is not None and values["fibre"] is not None:
        count = attempt(partial(read_lot_count, values["count"], values["fibre"], scales, faults))
    if refused or entries is None or skeins is None or count is None:
        return
    lot = _lot(key, values, count, skeins)
    _check_lengths(lot, entries, faults)
    reading.lots[lot.id] = lot


def _lot(key: Scalar, values: dict[str, Any], count: Count, skeins: tuple[Skein, ...]) -> Lot:
    felts = felts_default(values["fibre"]) if values["felts"] == BY_BLEND else values["felts"]
    donor: Scalar | None = values["donor"]
    return Lot(
        key.text,
        None if donor is None else donor.text,
        values["fibre"],
        values["colour"],
        count,
        felts,
        values["bleeds"],
        skeins,
        place_of(key),
    )


def _check_lengths(lot: Lot, nodes: Mapping, faults: list[Fault]) -> None:
    """A skein that is both weighed and measured must be so long by its mass as it was measured."""
    for skein, (_, node) in zip(lot.skeins, nodes.items, strict=True):
        if skein.length_m and skein.mass_g and (two := disagreement(lot, skein)) is not None:
            faults.append(wrong.mass_against_length(node, skein.id, *two))


def _unknown_donors(reading: _Reading) -> Iterator[Fault]:
    """Donors that are named and stand nowhere; not where some could not be read, as they may stand there."""
    if "donors" in reading.unread:
        return
    donors = sorted(one for one in reading.donor_ids if ID.fullmatch(one))
    missed = [one for one in reading.from_donor if one.text not in reading.donor_ids]
    for number, one in enumerate(missed):
        yield wrong.unknown_donor(one, donors, search=number < MOST_SEARCHED)


def _heavy_donors(reading: _Reading) -> Iterator[Fault]:
    """Donors that gave more yarn than they weigh."""
    weights: dict[str, Fraction] = {}
    for lot in reading.lots.values():
        if lot.donor is not None:
            weights[lot.donor] = weights.get(lot.donor, Fraction(0)) + sum(mass_g(lot, skein) for skein in lot.skeins)
    for donor in reading.donors.values():
        if donor.mass_g is not None and weights.get(donor.id, 0) > donor.mass_g:
            yield wrong.heavier_than_donor(reading.donor_keys[donor.id], donor.id, weights[donor.id], donor.mass_g)
