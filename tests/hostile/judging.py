"""Judges of what is printed, drawn or written. Images and pages: no text outside text and attributes."""

from __future__ import annotations

import csv
import io
import json
import unicodedata
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

if TYPE_CHECKING:
    from collections.abc import Iterator


ACTED_ON = {"Cc", "Cf", "Cs", "Zl", "Zp"}  # a terminal acts on these instead of showing them
JOINERS = "\u200c\u200d"
FORMULAS = ("=", "+", "-", "@", "\t", "\r", "\n")
ACTING_PARTS = {"iframe", "object", "embed", "img", "image", "link", "base", "foreignObject"}
ACTING_ATTRIBUTES = {"src", "action", "formaction"}
# What an image of ours is drawn with.
SVG_PARTS = {"svg", "title", "rect", "text", "path", "g"}
SVG_ATTRIBUTES = {
    *("version", "width", "height", "viewBox", "role", "x", "y", "d", "fill", "stroke", "stroke-width"),
    *("font-family", "font-size", "text-anchor"),
}


def acted_on(text: str) -> set[str]:
    """The characters that a terminal would act on, line ends aside."""
    return {one for one in text if one not in "\n" + JOINERS and unicodedata.category(one) in ACTED_ON}


def texts_in(document: Any) -> Iterator[str]:
    """Every text in a document, keys among them."""
    if isinstance(document, str):
        yield document
    elif isinstance(document, dict):
        for key, value in document.items():
            yield key
            yield from texts_in(value)
    elif isinstance(document, list):
        for value in document:
            yield from texts_in(value)


def json_faults(text: str) -> list[str]:
    """What is wrong with an answer as JSON."""
    if not text.isascii():
        return ["it is not ASCII"]
    try:
        json.loads(text)
    except ValueError as error:
        return [f"it is not JSON: {error}"]
    return []


def svg_faults(text: str) -> list[str]:
    """What is wrong with an image: no XML, or an element or attribute that no image of ours has."""
    try:
        root = ET.fromstring(text)
    except ET.ParseError as error:
        return [f"it is not XML: {error}"]
    parts = {part.tag.rpartition("}")[2] for part in root.iter()}
    attributes = {name for part in root.iter() for name in part.attrib}
    outside = [part.tag for part in root.iter() if (part.tail or "").strip()]
    return [f"unknown {one}" for one in sorted((parts - SVG_PARTS) | (attributes - SVG_ATTRIBUTES))] + outside


def page_faults(page: str, text: str) -> list[str]:
    """What is wrong with a page: no XML, an element or attribute that acts or fetches, the text where code stands."""
    try:
        root = ET.fromstring(page)
    except ET.ParseError as error:
        return [f"it is not XML: {error}"]
    parts = [(part.tag.rpartition("}")[2], part) for part in root.iter()]
    found = [f"an element {name}" for name, _ in parts if name in ACTING_PARTS]
    found += [
        f"an attribute {key}"
        for _, part in parts
        for key in part.attrib
        if key.startswith("on") or key in ACTING_ATTRIBUTES
    ]
    found += [f"a link to {part.get('href')!a}" for _, part in parts if not part.get("href", "#").startswith("#")]
    code = [part.text or "" for name, part in parts if name in {"script", "style"}]
    return found + ["the text stands in code" for one in code if len(text) > 3 and text in one]


def table_faults(data: bytes) -> list[str]:
    """What is wrong with a table in text: a cell that a spreadsheet takes for a formula (OWASP, CSV Injection)."""
    rows = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))
    return [f"a formula: {cell[:40]!a}" for row in rows for cell in row if cell.startswith(FORMULAS)]
