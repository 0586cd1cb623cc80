"""A workspace that holds a text in every place for one, or in all of them at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def quoted(text: str) -> str:
    """The text between double quotes as YAML 1.2 (5.7) spells it, all but plain ASCII as an escape."""
    return '"' + "".join(map(_escaped, text)) + '"'


def _escaped(sign: str) -> str:
    if sign in '"\\':
        return f"\\{sign}"
    if " " <= sign <= "~":
        return sign
    code = ord(sign)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def written(value: Any, indent: str = "") -> str:
    """Plain data as a YAML file, a text a line."""
    if isinstance(value, str):
        return f" {quoted(value)}\n"
    if isinstance(value, dict):
        return "\n" + "".join(f"{indent}{quoted(key)}:{written(inner, indent + '  ')}" for key, inner in value.items())
    return "\n" + "".join(f"{indent}-{written(inner, indent + '  ')}" for inner in value)


# A workspace in which every key is written once at least, so that every place for a text is there.
STASH: dict[str, Any] = {
    "scale": "1 g",
    "note": "a note",
    "donors": {
        "crew": {
            "garment": "crew-neck pullover", "fibre": "100% wool", "mass": "900 g", "seams": "linked", "scale": "1 g",
            "kind": "pullover", "size": "M", "gauge": {"stitches": "22", "rows": "30", "over": "10 cm"},
            "stitch": "plain", "panels": ["2 x 52 cm x 60 cm"], "felted": "no", "pilled": "no", "holes": "1",
            "stains": "1", "smell": "no", "moths": "no", "colours": "1", "main-share": "90%", "fancy": "no",
            "plies": "1", "colour": "navy", "price": "4", "note": "a note",
        },
    },
    "lots": {
        "slate": {
            "donor": "crew", "fibre": "100% wool", "colour": "#5b6770", "count": "230 m/100g", "felts": "yes",
            "bleeds": "no", "scale": "1 g", "note": "a note",
            "skeins": {
                "slate-1": "300 g",
                "slate-2": {
                    "mass": "60 g", "length": "138 m", "pieces": "2", "counted": {"mass": "60 g", "on": "2026-11-05"},
                },
            },
        },
        "cream": {
            "fibre": "wool", "colour": {"lab": ["90", "1", "8"]}, "skeins": {"cream-1": {"length": "300 m"}},
            "count": [{"turns": "120", "around": "1.5 m", "mass": "78 g", "scale": "1 g", "weighed": "apart"},
                      {"length": "23 m", "before": "60 g", "after": "50 g"}],
        },
        "fog": {"fibre": "wool", "colour": "silver", "count": {"wraps": "13"}, "skeins": {"fog-1": "80 g"}},
    },
}  # fmt: skip
PATTERN: dict[str, Any] = {
    "name": "Harbour hat", "craft": "knitting", "gauge": {"stitches": "22", "rows": "30", "over": "10 cm"},
    "wash": "hand", "reserve": "10%", "order": ["main", "motif"], "yarn": {"class": "dk", "within": "20%"},
    "strands": "1-2", "marl": "no", "fibre": {"allow": ["animal"], "at-least": {"wool": "50%"},
    "at-most": {"synthetic": "25%"}, "avoid": ["mohair"]}, "piece": "5 m", "joins": "40", "note": "a note",
    "needs": {
        "main": {"lots": "by-part", "match": "6"},
        "motif": {"lots": "one", "colour": {"near": {"lab": ["94", "1", "8"]}, "within": "60", "against": "main", "lightness": "20",
                                            "lighter-than": "main", "not": ["main"]}},
        "edging": {"yarn": {"count": "230 m/100g", "within": "30%"}, "colour": {"same-as": "main"}},
        "tassel": {"lots": "any 3", "colour": {"darker-than": "motif", "lightness": "10"}},
    },
    "sizes": {
        "adult": {
            "main": {"body": "60 m", "brim": [{"width": "50 cm", "length": "4 cm", "times": "1", "share": "50%",
                                               "stitch": "rib"}, {"width": ["10 cm", "0 cm"], "length": "4 cm",
                     "stitch-factor": "1.1"}]},
            "motif": "chart",
            "edging": "4 balls of 30 m",
            "tassel": {"width": "4 cm", "length": "4 cm",
                       "swatch": {"length": "9 m", "width": "10 cm", "height": "10 cm"}},
        },
        "huge": {"main": {"body": "900 m", "brim": "90 m"}, "motif": "400 m"},
    },
    "chart": {"legend": {".": "main", "x": "motif"}, "rows": ["x..x", ".xx."], "repeat": "20 x 4", "worked": "round",
              "floats": "yes", "stitch-factor": "1"},
    "stripes": {"rows": ["main 20", "edging 4"], "stitches": "90", "repeat": "1", "stitch": "plain"},
}  # fmt: skip
PROJECTS: dict[str, Any] = {
    "confidence": "95%", "note": "a note",
    "projects": [
        {"make": "hat", "size": ["adult"], "id": "gift", "want": "2", "must": "yes", "copies": "1", "reserve": "5%",
         "bleed-risk": "accept", "note": "a note",
         "needs": {"main": {"only": ["slate", "fog"], "without": ["cream"]}}},
        {"make": "hat", "size": "adult"},
        {"make": "hat", "size": "huge"},
    ],
}  # fmt: skip
FILES = {"stash.yaml": STASH, "patterns/hat.yaml": PATTERN, "projects.yaml": PROJECTS}
NAMES = (
    "main",
    "motif",
    "edging",
    "tassel",
    "adult",
    "body",
    "brim",
    "huge",
)  # chosen freely, and shown by nearly every command


@dataclass(frozen=True)
class Slot:
    """A place for a text: a file, and the keys and numbers that lead there; `is_key`: the last of them itself."""

    file: str
    path: tuple[str | int, ...]
    is_key: bool

    def filled(self, text: str) -> str:
        """The file with the text in this place."""
        return written(_with(FILES[self.file], self.path, text, is_key=self.is_key)).lstrip("\n")


def _with(value: Any, path: tuple[str | int, ...], text: str, *, is_key: bool) -> Any:
    if not path:
        return text
    first, rest = path[0], path[1:]
    if isinstance(value, list):
        return [_with(one, rest, text, is_key=is_key) if at == first else one for at, one in enumerate(value)]
    if is_key and not rest:
        return {text if key == first else key: one for key, one in value.items()}
    return {key: _with(one, rest, text, is_key=is_key) if key == first else one for key, one in value.items()}


def slots() -> list[Slot]:
    """Every place for a text in the three files, names of keys among them."""
    return [slot for file, value in FILES.items() for slot in _slots(file, value, ())]


def _slots(file: str, value: Any, path: tuple[str | int, ...]) -> Iterator[Slot]:
    if isinstance(value, str):
        yield Slot(file, path, is_key=False)
        return
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(value, dict):
            yield Slot(file, (*path, key), is_key=True)
        yield from _slots(file, inner, (*path, key))


def write_files(folder: Path, texts: dict[str, str]) -> None:
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8", "surrogateescape"))


def clean_files() -> dict[str, str]:
    return {name: written(value).lstrip("\n") for name, value in FILES.items()}


def steeped(text: str, *, names: bool) -> dict[str, str]:
    """The workspace with the text in every note at once and, with `names`, in every name, told apart by its end."""
    put = {name: text + (f" {number}" if number else "") for number, name in enumerate(NAMES)} if names else {}

    def within(value: Any, key: str = "") -> Any:
        if isinstance(value, dict):
            return {put.get(name, name): within(inner, name) for name, inner in value.items()}
        if isinstance(value, list):
            return [within(one, key) for one in value]
        if key in {"note", "name", "garment"}:
            return text
        named, space, rows = value.partition(" ")
        return put[named] + space + rows if named in put and (not space or rows.isdigit()) else value

    return {name: written(within(value)).lstrip("\n") for name, value in FILES.items()}
