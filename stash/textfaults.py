"""What may be wrong with a file's bytes and characters, before any of it is read as YAML."""

from __future__ import annotations

import re
import unicodedata
from itertools import islice
from typing import TYPE_CHECKING

from stash.faults import Fault, Place
from stash.nodes import Source

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_BYTES = 5_000_000
MOST_CONTROL_FAULTS = 20
# What is acted on instead of shown: C0 but tab and line ends, C1, line and paragraph separator, byte-order mark.
HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_HIDDEN_RUN = re.compile(f"{HIDDEN.pattern}+")  # one behind another is one thing to delete
BIDI = re.compile("[\u202a-\u202e\u2066-\u2069]")
# How files begin that are renamed to .yaml: PNG, JPEG, GIF, PDF, gzip, older office documents, rich text.
_OF_PROGRAMS = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"%PDF", b"\x1f\x8b", b"\xd0\xcf\x11\xe0", b"{\\rtf")
CURLY = "“”„‘’«»"
_LINE_END = re.compile("\r\n|\r|\n")


def decode(file: str, data: bytes, most_bytes: int = MOST_BYTES) -> Source | Fault:
    """The file's text, a leading byte-order mark left out; or the one fault that keeps it from being read."""
    if len(data) > most_bytes:
        return file_too_big(file, len(data), most_bytes)
    if data.startswith(b"PK\x03\x04"):
        return spreadsheet_file(file)
    if data.startswith(_OF_PROGRAMS) or b"\x00\x00\x00\x00" in data[:64]:
        return file_of_a_program(file)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in data[:4]:
        return sixteen_bit_text(file)
    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError:
        return not_utf8(file, data.removeprefix(b"\xef\xbb\xbf"))
    return Source(file, text)


def check_text(source: Source) -> Iterator[Fault]:
    """Hidden characters anywhere, and mixed line ends."""
    for found in islice(_HIDDEN_RUN.finditer(source.text), MOST_CONTROL_FAULTS):
        yield hidden_character(source, found.start(), found.group()[0])
    if "\r" in source.text and len(ends := set(_LINE_END.findall(source.text))) > 1:
        yield mixed_line_ends(source, ends)


def file_too_big(file: str, size: int, most_bytes: int = MOST_BYTES) -> Fault:
    return Fault(
        Place(file, 1, 1),
        f"this file is {size / 1e6:.1f} MB; a file here may hold at most {most_bytes / 1e6:.0f} MB",
        "split it into several files in the same folder",
    )


def spreadsheet_file(file: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        "this is a spreadsheet or a zipped file, not a text file",
        "open it in the program that made it and write its rows out as text; a workspace holds text files only",
    )


def file_of_a_program(file: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        "this is not a plain text file but one that a program made: a picture, a document or a table",
        "write its text into a plain text file; a workspace holds no others",
    )


def sixteen_bit_text(file: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        "this file is saved as UTF-16",
        "save it as UTF-8: in most editors under 'Save as', 'Encoding'",
    )


def not_utf8(file: str, data: bytes) -> Fault:
    """Place the first byte that is not UTF-8; the line is shown as Windows-1252 would read it."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = _LINE_END.split(data[: error.start].decode("utf-8"))
    own = _LINE_END.split(data.decode("cp1252", errors="replace"))[len(before) - 1]
    return Fault(
        Place(file, len(before), len(before[-1]) + 1),
        "this letter is not UTF-8: the file was probably saved as Latin-1 or Windows-1252",
        "save it as UTF-8: in most editors under 'Save as', 'Encoding'",
        own,
    )


def hidden_character(source: Source, offset: int, character: str) -> Fault:
    before = _LINE_END.split(source.text[:offset])
    name = unicodedata.name(character, "a control character").lower()
    return source.fault(
        len(before),
        len(before[-1]) + 1,
        f"a hidden character stands here: U+{ord(character):04X}, {name}",
        "delete it and type the text again; it often comes with copied text",
    )


def mixed_line_ends(source: Source, ends: set[str]) -> Fault:
    """Placed at the first line whose end differs from line 1's."""
    first = next(_LINE_END.finditer(source.text)).group()
    other = next(found for found in _LINE_END.finditer(source.text) if found.group() != first)
    line = len(_LINE_END.split(source.text[: other.start()]))
    return source.warning(
        line,
        1,
        f"the lines of this file end in {len(ends)} different ways, from this line on",
        "nothing is lost; your editor can set one kind of line end for the whole file",
    )
