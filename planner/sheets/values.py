"""The text of a cell as a stash file has it: units from the header, decimal commas, what a spreadsheet made of it."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from stash.kinds import ID
from stash.nodes import Mapping, Scalar, Sequence, short
from stash.quoting import quoted
from stash.source import read_source
from stash.units import read_length, read_mass, read_number, unit_meant

if TYPE_CHECKING:
    from planner.sheets.table import Cell
    from stash.nodes import Node

_COMMA = re.compile(r"(?<![0-9.,])(?:([0-9]+),([0-9]{1,2}|[0-9]{4})|(0),([0-9]{3}))(?![0-9.,])")
_PARTED = re.compile(r"\s*(?:/|\+|;|&|\band\b|\n)\s*(?=[0-9])|(?<=[^\W\d_])\s+(?=[0-9][0-9.,]* ?%)")
_LAB = re.compile(r"lab ?\(([^()]*)\)", re.IGNORECASE)
_DIGITS = re.compile(r"[0-9]+(\.[0-9]+)?")
_WRAPPED = re.compile(r'"(.*)"|\s*', re.DOTALL)
_WORDS = {"y": "yes", "n": "no", "true": "yes", "false": "no"}
_PLAINER = str.maketrans({"ø": "o", "Ø": "O", "æ": "ae", "Æ": "Ae", "ß": "ss", "ł": "l", "Ł": "L", "đ": "d", "ı": "i"})


class CellError(ValueError):
    """A cell that cannot be read; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def stash_text(cell: Cell, kind: str, unit: str) -> str:
    """A cell as the value of a key in a stash file, in YAML; its text once more, where that can be read as it is.

    What it comes to is looked at by the stash's own reader later. Raises CellError.
    """
    text = cell.text
    if cell.kind == "date" and kind != "text":
        raise CellError(
            f"a date stands here, {text}",
            "the spreadsheet made a date of what was typed: format the cell as text, then type it again",
        )
    if kind == "text":
        return yaml_text(text)
    text = text.strip()
    if kind in {"count", "flow"}:
        return _count(text, unit)
    if kind in {"pieces", "panels"}:
        return _several(text, unit, pieces=kind == "pieces")
    if kind == "colour":
        return _colour(text)
    return yaml_text(_PLAIN[kind](text, unit) if kind in _PLAIN else text)


def wrapped(text: str) -> str:
    """Free text for a cell of our own; one that a cell would not keep, blank or in quotes, gets quotes round it."""
    return f'"{text}"' if _WRAPPED.fullmatch(text) else text


def unwrapped(text: str) -> str:
    return text[1:-1] if len(text) > 1 and text[0] == text[-1] == '"' else text


def fit_id(text: str) -> str:
    """A name as an id: itself where it can be one, else in plain letters. Raises CellError where none are left."""
    text = text.strip()
    if ID.fullmatch(text):
        return text
    plain = unicodedata.normalize("NFKD", text.translate(_PLAINER)).encode("ascii", "ignore").decode()
    fitted = re.sub(r"[^A-Za-z0-9_-]+", "-", plain).strip("-_")[:64]
    if not fitted:
        raise CellError(f"'{short(text)}' has no plain letter or digit", "give it a name such as slate-1")
    return fitted


def yaml_text(text: str) -> str:
    """Any text as a YAML value on one line that reads back as that text; what is not seen is written out."""
    if safe_text(text) == text:
        return quoted(text)
    return '"' + safe_text(text.replace("\\", "\\\\").replace('"', '\\"')) + '"'


def flow_text(node: Node) -> str:
    """A value as YAML on one line, its texts in quotes where they need any."""
    if isinstance(node, Mapping):
        return "{" + ", ".join(f"{yaml_text(key.text)}: {flow_text(value)}" for key, value in node.items) + "}"
    if isinstance(node, Sequence):
        return "[" + ", ".join(_within(one) for one in node.items) + "]"
    return _within(node)


def _within(node: Node) -> str:
    return within_brackets(node.text) if isinstance(node, Scalar) else flow_text(node)


def within_brackets(text: str) -> str:
    """Text as a YAML value between brackets, where a comma would part it."""
    if _DIGITS.fullmatch(text):
        return text
    told = yaml_text(text)
    return f'"{told}"' if "," in told and told[:1] not in "\"'" else told


def quantity(text: str, unit: str, kind: str) -> str:
    """A length or a mass with its unit, in plain digits; as written where it can be read so."""
    read = read_length if kind == "length" else read_mass
    try:
        read(text)
    except ValueError:
        pass
    else:
        return text
    text = _pointed(text)
    number = text.rstrip("\"'″′”’#.")
    number = re.sub(r"\s*[^\W\d_]+$", "", number)
    written = text[len(number) :].strip()
    meant = (unit_meant(written) or written) if written else unit
    return f"{number.strip()} {meant}".strip()


def _pointed(text: str) -> str:
    """A decimal comma as a point, where it can be nothing else; 1,234 is left to be refused."""
    return _COMMA.sub(lambda found: f"{found[1] or found[3]}.{found[2] or found[4]}", text)


def _blend(text: str, _: str) -> str:
    text = _PARTED.sub(", ", re.sub(r"([0-9]),([0-9]+ ?%)", r"\1.\2", text))
    return " ".join(text.split())


def _word(text: str, _: str) -> str:
    folded = text.casefold()
    return _WORDS.get(folded, folded)


def _share(text: str, unit: str) -> str:
    return _pointed(text) + (unit if unit == "%" and not text.endswith("%") else "")


_PLAIN = {
    "length": lambda text, unit: quantity(text, unit, "length"),
    "mass": lambda text, unit: quantity(text, unit, "mass"),
    "number": lambda text, _: _pointed(text),
    "blend": _blend,
    "word": _word,
    "share": _share,
}


def _count(text: str, unit: str) -> str:
    if text.startswith(("{", "[")):
        node, faults = read_source("", text.encode())
        wrong = next((fault for fault in faults if not fault.warning), None)
        if node is None or wrong is not None:
            raise CellError(f"'{short(text)}' cannot be read", "write it like {turns: 120, around: 1.5 m, mass: 42 g}")
        return flow_text(node)
    pointed = _pointed(text)
    if unit:
        try:
            read_number(pointed)
        except ValueError:
            return yaml_text(text)
        return yaml_text(f"{pointed} {unit}")
    return yaml_text(text if pointed == text else pointed)


def _several(text: str, unit: str, *, pieces: bool) -> str:
    """A number of pieces, or a list; semicolons part it, else commas that no decimals follow."""
    if pieces and _DIGITS.fullmatch(text):
        return text
    parts = re.split(r"\s*;\s*|\n", text) if ";" in text or "\n" in text else re.split(r",\s+|(?<=[^\d\s]),", text)
    told = [quantity(part.strip(), unit, "length") if pieces else part.strip() for part in parts]
    return "[" + ", ".join(map(within_brackets, told)) + "]"


def _colour(text: str) -> str:
    if found := _LAB.fullmatch(text):
        parts = re.split(r"[\s;]+|,\s+", found[1].strip())
        return "{lab: [" + ", ".join(yaml_text(_pointed(part)) for part in parts) + "]}"
    return yaml_text(f"#{text}" if re.fullmatch(r"[0-9a-fA-F]{6}", text) else text)
