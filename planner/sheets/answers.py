"""Answers as sheets: the winding list, what to look for, the list for the rack; from their JSON documents."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.sheets.writing import Sheet
from stash.units import OUNCE_G, YARD_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.sheets.writing import Value
    from stash.units import System

    Document = dict[str, Any]


class Scale:
    """Figures of a document, metres and grams, in the units asked, and what the headers call them."""

    def __init__(self, units: System) -> None:
        self.metric = units == "metric"
        self.long, self.heavy, self.count = ("m", "g", "m/100g") if self.metric else ("yd", "oz", "yd/oz")

    def length(self, metres: float | None) -> Value:
        return "" if metres is None else round(metres if self.metric else metres / float(YARD_M), 2)

    def mass(self, grams: float | None) -> Value:
        return "" if grams is None else round(grams if self.metric else grams / float(OUNCE_G), 1 if self.metric else 2)

    def per(self, m_per_100g: float) -> Value:
        return round(m_per_100g if self.metric else m_per_100g / 100 * float(OUNCE_G / YARD_M), 1)


def plan_sheets(document: Document, units: System) -> list[Sheet]:
    """The winding list of a lotwise/plan-1: a row for each piece that is taken; then what is to be minded."""
    scale = Scale(units)
    heads = ["project", "size", "need", "part", "strand", "lot", "skein", "piece"]
    heads += [f"length ({scale.long})", f"wind off ({scale.heavy})"]
    rows = [
        (
            project["project"],
            project["size"] or "",
            need["need"],
            yarn["part"] or "",
            take["strand"],
            take["lot"],
            take["skein"],
            take["piece"],
            scale.length(take["take_m"]),
            scale.mass(take["take_g"]),
        )
        for project in document["projects"]
        for need in project["needs"]
        for yarn in need["yarns"]
        for take in yarn["skeins"]
    ]
    minded = [
        (project["project"], text)
        for project in document["projects"]
        for text in (*project.get("notes", ()), *project.get("warnings", ()))
    ]
    return [Sheet("winding list", tuple(heads), tuple(rows)), *_also("to mind", ("project", "to mind"), minded)]


def shortfall_sheets(document: Document, units: System) -> list[Sheet]:
    """A row for each need that lacks yarn: what is missing and what to look for; then the changes that would do."""
    scale = Scale(units)
    heads = ["project", "size", "verdict", "need", f"missing ({scale.long})", "kind", f"look for ({scale.long})"]
    heads += [f"look for ({scale.heavy})", f"from ({scale.count})", f"to ({scale.count})", "fibre", "colour"]
    heads += [f"donor ({scale.heavy})"]
    rows: list[tuple[Value, ...]] = []
    for project in document["projects"]:
        for need in project["needs"]:
            if not need["short_m"] and need["look_for"] is None:
                continue
            find = need["look_for"]
            told: tuple[Value, ...] = ("",) * 7
            if find is not None:
                told = (scale.length(find["length_m"]), scale.mass(find["mass_g"]), *map(scale.per, find["m_per_100g"]))
                told = (*told, find["fibre"], find["colour"], scale.mass(find["donor_mass_g"]))
            start = (project["project"], project["size"] or "", project["verdict"], need["need"])
            rows.append((*start, scale.length(need["short_m"]), need["kind"] or "", *told))
    changes = [
        (project["project"], change["change"], change["verdict"])
        for project in document["projects"]
        for change in project["changes"]
    ]
    return [
        Sheet("look for", tuple(heads), tuple(rows)),
        *_also("changes", ("project", "change", "verdict then"), changes),
    ]


def list_sheets(document: Document, units: System) -> list[Sheet]:
    """The list for the rack: a row for each find in each class of yarn it may be of."""
    scale = Scale(units)
    heads = ["find", "colour", "code", "fibre", f"length ({scale.long})"]
    heads += [f"from ({scale.count})", f"to ({scale.count})", "class", f"yarn ({scale.heavy})"]
    heads += [f"garment ({scale.heavy})", f"cut garment ({scale.heavy})", "for"]
    rows = [
        (
            number,
            find["colour"]["word"],
            find["colour"]["code"],
            "any" if find["any_fibre"] else ", ".join(find["fibres"]),
            scale.length(find["length_m"]),
            *map(scale.per, find["m_per_100g"]),
            row["class"],
            scale.mass(row["mass_g"]),
            scale.mass(row["donor_mass_g"]),
            scale.mass(row["cut_donor_mass_g"]),
            ", ".join(one["project"] for one in find["unlocks"]),
        )
        for number, find in enumerate(document["finds"], 1)
        for row in find["classes"]
    ]
    return [Sheet("rack list", tuple(heads), tuple(rows))]


def _also(name: str, heads: tuple[str, ...], rows: Sequence[tuple[Value, ...]]) -> list[Sheet]:
    return [Sheet(name, heads, tuple(rows))] if rows else []
