"""Hostile texts, a workspace that holds one of them in every place for a text, and judges of what is shown of it.

`python -m tests.hostile` tries every text in every place, file name and option with every command (so many labels behind
it: these texts only); the tests try a share.
Terminal: CWE-150; Unicode categories as of Python's unicodedata. Images and pages: no text outside text and attributes.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import os
import sys
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import typer

from planner import cli

if TYPE_CHECKING:
    from collections.abc import Iterator

ESC = "\x1b"
TEXTS: dict[str, str] = {
    **{f"C0 control {code:02x}": f"a{chr(code)}b" for code in (0, 1, 7, 8, 9, 10, 11, 12, 13, 14, 0x1A, 0x1F, 0x7F)},
    **{f"C1 control {code:02x}": f"a{chr(code)}b" for code in (0x80, 0x84, 0x85, 0x8D, 0x90, 0x9B, 0x9C, 0x9D, 0x9F)},
    **{f"direction {code:04x}": f"a{chr(code)}b" for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))},
    **{f"direction mark {code:04x}": f"a{chr(code)}b" for code in (0x061C, 0x200E, 0x200F)},
    "red": f"{ESC}[31mred{ESC}[0m",
    "clear screen": f"{ESC}[2J{ESC}[H",
    "window title": f"{ESC}]0;mine\x07",
    "link": f"{ESC}]8;;http://example.org{ESC}\\here{ESC}]8;;{ESC}\\",
    "clipboard": f"{ESC}]52;c;bWluZQ=={ESC}\\",
    "device query": f"{ESC}[6n{ESC}P$q{ESC}\\",
    "one-byte introducer": "\x9b31mred",
    "zero width": "a\u200bb\u2060c\ufeffd",
    "soft hyphen": "a\u00adb",
    "line separator": "a\u2028b",
    "paragraph separator": "a\u2029b",
    "annotation": "a\ufff9b\ufffac\ufffbd",
    "tag letters": "a\U000e0001\U000e0041b",
    "noncharacter": "a\ufffeb\uffffc",
    "object replacement": "a\ufffcb\ufffdc",
    "private use": "a\ue000b\U000f0000c",
    "combining flood": "e" + "\u0301" * 60,
    "enclosing marks": "a\u20dd\u20de\u0489",
    "very long": "x" * 100_000,
    "long word": "y" * 200,
    "wide": "毛衣" * 30,
    "ligature": "\ufdfd\ufdfa",
    "right to left": "סוודר אדום",
    "arabic": "سترة صوف",
    "joined emoji": "\U0001f469\u200d\U0001f9b0 \U0001f3f3\ufe0f\u200d\U0001f308",
    "flags and skin": "\U0001f1f3\U0001f1f1\U0001f44d\U0001f3fd",
    "wide space": "a\u3000b\u00a0c\u2003d",
    "turned look-alike": "ｓｌａｔｅ",
    "script": "<script>alert(1)</script>",
    "handler": '" onmouseover="alert(1)',
    "other handler": "' onfocus='alert(1)' autofocus='",
    "image": "<img src=x onerror=alert(1)>",
    "svg": "<svg/onload=alert(1)>",
    "address of code": "javascript:alert(1)",
    "end of style": "</style><style>*{display:none}",
    "end of text": "</text></svg><script>alert(1)</script>",
    "end of comment": "--><b>",
    "cdata": "]]><b>",
    "entity": "&lt;b&gt; &amp; &#x1b;",
    "outer entity": '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>&e;',
    "template": "{{7*7}}",
    "template statement": "{% for x in y %}",
    "template comment": "{# no #} ${7*7} #{7*7} <%= 7*7 %>",
    "formula": "=1+1",
    "formula of a command": "=cmd|' /C calc'!A0",
    "plus": "+1+1",
    "minus": "-1+1",
    "at": "@SUM(1)",
    "tab first": "\t=1+1",
    "return first": "\r=1+1",
    "wide equals": "＝1+1",
    "cells": 'a,b;c\t"d"',
    "path up": "../../etc/passwd",
    "path": "/etc/passwd",
    "drive": "C:\\temp\\x",
    "home": "~/x",
    "device": "CON",
    "dots": "..",
    "percent path": "%2e%2e%2fx",
    "shell": "$(reboot) `reboot` ; rm -rf ~ | cat && x",
    "option": "--json",
    "markup": "[red]red[/red] [link=http://example.org]x[/link]",
    "braces": "{} {0} {name} {0.__class__} {:>1000}",
    "percents": "%s %d %n %(name)s %%",
    "backslashes": "\\x1b[31m \\u202e \\n",
    "table": "a | b\n---|---\n1 | 2",
    "grid": "+----+ | x |",
    "heading": "# one\n* two",
    "quotes": "“a” ‘b’ \"c\" 'd'",
    "null": "null",
    "lone high": "a\ud800b",
    "lone low": "a\udfffb",
    "lone byte": os.fsdecode(b"a\xff\x9b31mb"),
}
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


@dataclass(frozen=True)
class Said:
    """What a command printed, and its exit code."""

    out: str
    err: str
    code: int

    def faults(self, *, as_json: bool = False) -> list[str]:
        """What of it must not be shown so."""
        found = [
            f"{name} holds {sorted(map(ascii, bad))}"
            for name in ("out", "err")
            if (bad := acted_on(getattr(self, name)))
        ]
        if as_json:
            found += json_faults(self.out)
        if self.code == 70 or "Traceback" in self.err:
            found.append("a mistake of our own: " + ascii(self.err[-300:]))
        return found


def run(*arguments: str | Path) -> Said:
    """A command in this process, with nobody at a terminal."""
    out, err = io.StringIO(), io.StringIO()
    before, sys.stdin = sys.stdin, io.StringIO()
    code = 0
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            cli.main([str(one) for one in arguments])
    except SystemExit as ended:
        code = int(ended.code or 0)
    finally:
        sys.stdin = before
    return Said(out.getvalue(), err.getvalue(), code)


def answers(folder: Path, need: str, size: str) -> list[tuple[str, ...]]:
    """Every command that reads a workspace, as it is asked of `folder`."""
    where = ("--workspace", str(folder))
    return [
        ("check", *where),
        ("lots", *where),
        ("cover", *where),
        ("cover", *where, "--", f"hat:{size}"),
        ("plan", *where),
        ("plan", *where, "--options", "2", "--", f"hat:{size}"),
        ("plan", "--each", "--", str(folder)),
        ("shortfall", *where),
        ("shortfall", *where, "--confidence", "99.9%"),
        ("shortfall", *where, "--list"),
        ("rack", *where, "crew"),
        ("rack", *where, "crew", "--lot"),
        ("prep", *where, "crew"),
        ("midway", *where, f"--need={need}", "--done=50%", "--left=slate=60g", "--", f"hat:{size}"),
        ("midway", *where, f"--need={need}", "--rows=20 of 60", "--left=slate=9g", "--", f"hat:{size}"),
    ]


def faults_of_answers(text: str, folder: Path, *, as_json: bool) -> list[str]:
    """What is wrong with any answer about a workspace steeped in the text."""
    write_files(folder, steeped(text, names=True))
    found = run("check", "--workspace", folder).faults()
    names = run("check", "--workspace", folder).code == 0
    if not names:  # it cannot be a name, but may be in a note
        write_files(folder, steeped(text, names=False))
        if (said := run("check", "--workspace", folder)).code:
            return found + said.faults()
    for asked in answers(folder, *((text, f"{text} 4") if names else ("main", "adult"))):
        words = (asked[0], *(["--json"] if as_json else []), *asked[1:])
        said = run(*words)
        found += [f"{' '.join(words[:2])}: {fault}" for fault in said.faults(as_json=as_json and "--lot" not in words)]
        if (
            names
            and as_json
            and asked[0] in {"cover", "shortfall"}
            and "--list" not in words
            and text not in set(texts_in(json.loads(said.out)))
        ):
            found.append(f"{asked[0]} --json lost the text")
    if not as_json:
        found += _faults_of_image(text, folder)
        found += _faults_of_files(text, folder, *((text, f"{text} 4") if names else ("main", "adult")))
    return found


def files(folder: Path, need: str, size: str) -> list[tuple[str, tuple[str | Path, ...]]]:
    """Every page and table that is written of `folder`, with the name of the file."""
    on_needles = ("midway", f"--need={need}", "--done=50%", "--left=slate=60g")
    return [
        ("plan.html", ("plan", "--report", folder / "plan.html", "--save", "all")),
        ("report.html", ("report", "all", "--out", folder / "report.html")),
        ("ways.html", ("plan", "--options", "2", "--report", folder / "ways.html", "--", f"hat:{size}")),
        ("tags.html", ("tags", "--out", folder / "tags.html")),
        ("card.html", ("card", "--out", folder / "card.html")),
        ("prep.html", ("prep", "crew", "--page", folder / "prep.html")),
        ("midway.html", (*on_needles, "--page", folder / "midway.html", "--", f"hat:{size}")),
        *((f"{what}.csv", ("export", what, folder / f"{what}.csv")) for what in ("stash", "plan", "shortfall", "list")),
        ("stash.xlsx", ("export", "stash", folder / "stash.xlsx")),
    ]


def _faults_of_files(text: str, folder: Path, need: str, size: str) -> list[str]:
    found = []
    for name, asked in files(folder, need, size):
        (folder / name).unlink(missing_ok=True)
        (folder / "plans" / "all.json").unlink(missing_ok=True) if "--save" in asked else None
        said = run(asked[0], "--workspace", folder, *asked[1:])
        wrong = said.faults()
        if not (folder / name).exists():
            wrong.append(f"not written: {said.code} {said.err[-200:]!a}")
        elif name.endswith(".html"):
            wrong += page_faults((folder / name).read_text(encoding="utf-8"), text)
        elif name.endswith(".csv"):
            wrong += table_faults((folder / name).read_bytes())
        found += [f"{name}: {fault}" for fault in wrong]
    return found


def _faults_of_image(text: str, folder: Path) -> list[str]:
    image = folder / "drawn.svg"
    image.unlink(missing_ok=True)
    said = run("plan", "--workspace", folder, "--chart", image)
    if not image.exists():
        return [] if said.code == 3 else [f"no image: {said}"]
    drawn = image.read_text(encoding="utf-8")
    held = " ".join(ET.fromstring(drawn).itertext()) if not svg_faults(drawn) else ""
    return [f"image: {fault}" for fault in [*svg_faults(drawn), *map(ascii, acted_on(drawn))]] + (
        [] if " ".join(text.split()) in " ".join(held.split()) or acted_on(text) else ["image lost the text"]
    )


def faults_of_slot(slot: Slot, text: str, folder: Path) -> list[str]:
    """What is wrong with how the text is answered where it stands in this one place: by `check`, and as JSON."""
    write_files(folder, {**clean_files(), slot.file: slot.filled(text)})
    plain, document = run("check", "--workspace", folder), run("check", "--workspace", folder, "--json")
    found = [*plain.faults(), *document.faults(as_json=True)]
    return (
        found
        if plain.code in {0, 3} and document.code == plain.code
        else [*found, f"exit codes {plain.code}, {document.code}"]
    )


def options() -> list[tuple[str, str]]:
    """Every command with each of its options that takes a text, and "" for its argument."""
    group = typer.main.get_command(cli.app)
    found = []
    for name, command in group.commands.items():
        for one in command.params:
            if one.param_type_name == "argument":
                found.append((name, ""))
            elif not one.is_flag:
                found.append((name, one.opts[0]))
    return found


def faults_of_option(command: str, option: str, text: str, folder: Path) -> list[str]:
    """What is wrong with how a command answers the text on its command line, in a workspace without faults."""
    where = () if option == "--workspace" else ("--workspace", str(folder))
    told = ("--", text) if not option else (f"{option}={text}",)
    asked = {"midway": ("hat:adult",), "schema": ("stash",), "needs": ("hat",)}.get(command, ()) if option else ()
    more = ("--turns", "9") if command == "measure" and option != "--turns" else ()
    said = run(command, *where, *more, *asked, *told)
    document = run(command, "--json", *where, *more, *asked, *told)
    return [*said.faults(), *document.faults(as_json=document.code != 0 or command != "schema")]


def faults_of_file_name(text: str, folder: Path) -> list[str]:
    """What is wrong with how files and folders of this name are told of; none where a disk takes no such name."""
    write_files(folder, clean_files())
    found = []
    places = [f"stash/{text}.yaml", f"patterns/{text}.yaml", f"{text}.yml", f"stash/{text}/x.yaml", f"stash/{text}.yml"]
    for place in places:
        path = folder / place
        with contextlib.suppress(OSError, ValueError, UnicodeEncodeError):
            if not path.resolve().is_relative_to(folder.resolve()):
                continue
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text("lots: [", encoding="utf-8")
    for asked in (("check",), ("check", "--json"), ("cover",)):
        said = run(*asked, "--workspace", folder)
        found += [f"{asked}: {fault}" for fault in said.faults(as_json="--json" in asked)]
    return found


def faults_of_folder_name(text: str, folder: Path) -> list[str]:
    """What is wrong with how a workspace in a folder of this name is answered."""
    try:
        inner = folder / text
        inside = inner.resolve().is_relative_to(folder.resolve()) and inner.resolve() != folder.resolve()
        if not inside:
            return []
        write_files(inner, {**clean_files(), "stash.yaml": "lots: ["})
    except (OSError, ValueError):
        return []
    found = run("check", "--workspace", inner).faults() + run("plan", "--each", "--", inner).faults()
    write_files(inner, clean_files())
    told = [run("plan", "--each", "--", inner), run("plan", "--workspace", inner, "--chart", inner / f"{text}.svg")]
    told.append(run("demo", inner))
    return found + [fault for said in told for fault in said.faults()]


def _main(folder: Path, labels: list[str]) -> int:
    """Try everything, or the texts of these labels; print what is wrong, and how much was tried."""
    tried = failed = 0

    def judge(what: str, found: list[str]) -> None:
        nonlocal tried, failed
        tried += 1
        failed += bool(found)
        for fault in found:
            print(f"{what}: {fault[:300]}", flush=True)

    write_files(folder / "clean", clean_files())
    for number, label in enumerate(labels or TEXTS):
        text = TEXTS[label]
        own = folder / str(number)
        for slot in slots():
            judge(f"{label} in {slot}", faults_of_slot(slot, text, own / "slot"))
        for command, option in options():
            if command != "demo":
                judge(f"{label} as {command} {option}", faults_of_option(command, option, text, folder / "clean"))
        for as_json in (False, True):
            judge(f"{label} everywhere", faults_of_answers(text, own / "steeped", as_json=as_json))
        judge(f"{label} as a file's name", faults_of_file_name(text, own / "files"))
        judge(f"{label} as a folder's name", faults_of_folder_name(text, own / "folders"))
        print(f"{label}: {tried:,} tried so far, {failed:,} wrong", flush=True)
    print(f"{tried:,} tried, {failed:,} wrong")
    return 1 if failed else 0


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as made:
        sys.exit(_main(Path(made), sys.argv[1:]))
