"""The stash as sheets: a row a skein and a row a donor, as the user's files have them, with what lotwise reckons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.measure.newlot import stash_files
from planner.sheets.draft import DONOR_KEYS
from planner.sheets.fields import BY_NAME, PLANS_OWN
from planner.sheets.headers import GUARDED, STASH
from planner.sheets.values import flow_text, wrapped
from planner.sheets.writing import Sheet
from stash.lengths import length_m, mass_g
from stash.nodes import Mapping, Scalar, Sequence
from stash.source import read_source
from stash.units import OUNCE_G, YARD_M
from stash.weightclass import m_per_100g

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from planner.sheets.writing import Value
    from stash.lots import Lot, Skein, Stash
    from stash.nodes import Node
    from stash.units import System

SKEIN_HEADS = (
    "skein",
    "lot",
    "donor",
    "mass",
    "length",
    "pieces",
    "counted",
    "fibre",
    "colour",
    "count",
    "felts",
    "bleeds",
    "scale",
    "note",
)
DONOR_HEADS = ("donor", *DONOR_KEYS)
_LOT_KEYS = ("fibre", "colour", "count", "felts", "bleeds", "scale", "note")


def stash_sheets(folder: Path, stash: Stash, units: System, *, guarded: bool) -> list[Sheet]:
    """A sheet of the skeins and, where there are donors, one of the donors.

    What the user wrote stands as written, so that it can be read back exactly; columns headed "reckoned" follow the
    units asked. `guarded`: whether text that looks like a formula will be led by an apostrophe, which the last header
    then says. Notes of whole files stay behind.
    """
    mark = STASH + GUARDED if guarded else STASH
    donors: list[tuple[Value, ...]] = []
    skeins: list[tuple[Value, ...]] = []
    for name, data in stash_files(folder):
        top = read_source(name, data)[0]
        keys = _keys(top)
        scale = keys.get("scale")
        donors += [_donor_row(key.text, _keys(node), scale) for key, node in _items(keys.get("donors"))]
        for key, node in _items(keys.get("lots")):
            skeins += _skein_rows(stash.lots[key.text], _keys(node), scale, units)
    sheets = [Sheet("skeins", (*SKEIN_HEADS, *_reckoned_heads(units), mark), tuple(skeins))]
    if donors:
        told = [at for at in range(len(DONOR_HEADS)) if any(row[at] for row in donors)]
        heads = tuple(DONOR_HEADS[at] for at in told)
        sheets.append(Sheet("donors", (*heads, mark), tuple((*(row[at] for at in told), "") for row in donors)))
    return sheets


def _reckoned_heads(units: System) -> tuple[str, str, str]:
    long, heavy, count = ("m", "g", "m/100g") if units == "metric" else ("yd", "oz", "yd/oz")
    return f"{PLANS_OWN} length ({long})", f"{PLANS_OWN} mass ({heavy})", f"{PLANS_OWN} count ({count})"


def _skein_rows(lot: Lot, keys: dict[str, Node], file_scale: Node | None, units: System) -> Iterator[tuple[Value, ...]]:
    own = {name: _cell(name, keys.get(name)) for name in (*_LOT_KEYS, "donor")}
    own["scale"] = own["scale"] or _cell("scale", file_scale)
    for skein, (key, node) in zip(lot.skeins, _items(keys.get("skeins")), strict=True):
        told = {name: _cell(name, one) for name, one in _keys(node).items()}
        if isinstance(node, Scalar):
            told["mass" if skein.length_m is None else "length"] = node.text
        row = {"skein": key.text, "lot": lot.id, **own, **told}
        yield (*(row.get(head, "") for head in SKEIN_HEADS), *_reckoned(lot, skein, units), "")


def _reckoned(lot: Lot, skein: Skein, units: System) -> tuple[Value, Value, Value]:
    metres, grams, per = length_m(lot, skein), mass_g(lot, skein), m_per_100g(lot.count.tex)
    if units != "metric":
        metres, grams, per = metres / YARD_M, grams / OUNCE_G, per / YARD_M / 100 * OUNCE_G
    return round(float(metres), 1), round(float(grams), 1 if units == "metric" else 2), round(float(per), 1)


def _donor_row(name: str, keys: dict[str, Node], file_scale: Node | None) -> tuple[Value, ...]:
    told = {field: _cell(field, keys.get(BY_NAME[field].key)) for field in DONOR_KEYS}
    told["donor scale"] = told["donor scale"] or _cell("donor scale", file_scale)
    return (name, *(told[field] for field in DONOR_KEYS))


def _cell(field: str, node: Node | None) -> str:
    """A value as a cell has it; a list of pieces or panels with commas between, a Lab colour as lab(L a b)."""
    if node is None:
        return ""
    kind = BY_NAME[field].kind
    if isinstance(node, Scalar):
        return wrapped(node.text) if kind == "text" and node.quoted else node.text
    if kind == "colour":
        (_, lab), *_ = _items(node)
        return f"lab({' '.join(_texts(lab))})"
    if kind in {"pieces", "panels"}:
        return ", ".join(_texts(node))
    return flow_text(node)


def _texts(node: Node) -> list[str]:
    return [one.text for one in node.items if isinstance(one, Scalar)] if isinstance(node, Sequence) else []


def _items(node: Node | None) -> tuple[tuple[Scalar, Node], ...]:
    return node.items if isinstance(node, Mapping) else ()


def _keys(node: Node | None) -> dict[str, Node]:
    return {key.text: value for key, value in _items(node)}
