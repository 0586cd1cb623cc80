"""Mutations: of bytes, of lines, of what stands in a line, and of the tree that a file is."""

from __future__ import annotations

import copy
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import yaml

from tests.fuzz.seeds import good, seeds

if TYPE_CHECKING:
    from random import Random

NUMBERS = (
    "0", "-1", "+5", "00012", "1", "3", "7.5", "100", "999999999999", "0.0001", "0.00001", "99999999.9999", ".5", "5.",
    "12,5", "1.234,5", "1_000", "1e3", "1.0e+999", "0x1F", "0o17", "190:20:30", "nan", ".nan", ".inf", "1/2", "1/0",
    "½", "١٢", "１２", "²", "Ⅻ", "9" * 40, "9" * 5000, "2024-13-45",
)  # fmt: skip
UNITS = (
    "m", "mm", "cm", "km", "in", "ft", "yd", "g", "kg", "oz", "lb", "%", "tex", "dtex", "den", "m/100g", "yd/50g",
    "yd/lb", "Nm 2/12", "Ne 8/2", "worsted 2/10", "balls of 115 m", "dk", "lace", "furlong", "mtr", '"', "'", "″", "ｍ",
)  # fmt: skip
MARKS = (
    ":", ": ", "- ", "? ", "{", "}", "[", "]", ",", "#", " #", "&a ", "*a", "!x ", "!!int ", "!!python/object:os ", "|\n",
    ">-\n", "'", '"', "''", '""', "%", "@", "`", "<<: ", "---\n", "...\n", "%YAML 1.1\n", "~", "null", "yes", "\t", "=", "\\",
    '"\\x1b[31m"', '"\\ud800"', '"\\U0010ffff"', '"\\',
)  # fmt: skip
LETTERS = (
    "\x00", "\x07", "\x1b[31m", "\x7f", "\x85", "\xa0", "\u00ad", "\u200b", "\u200d", "\u2028", "\u202e", "\u2066",
    "\ufeff", "\ufffe", "\r", "\r\n", "\v", "\f", "“", "”", "’", "а", "е", "ѕ", "ｄｋ", "İ", "ß", "ﬁ", "e\u0301", "毛",
    "🧶", "\U000e0041", "：", "，", "％", "－", "–", "−", "×",
)  # fmt: skip
BYTES = (
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\xef\xbb\xbf",
    b"\xc3",
    b"\xed\xa0\x80",
    b"\xf4\x90\x80\x80",
    b"PK\x03\x04",
    b"\x89PNG",
)
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
WORD = re.compile(r"[A-Za-z][\w-]*")
LONGEST = 20_000  # characters a file may grow to, so that the run is about shapes and not about size


def mutate(kind: str, chance: Random) -> bytes:
    """A file of the kind, one to four times mutated."""
    data = chance.choice(good(kind) if chance.random() < 0.7 else seeds(kind))
    for _ in range(chance.choices((1, 2, 3, 4), (6, 3, 2, 1))[0]):
        data = chance.choices((_bytes, _lines, _tokens, _tree), (1, 3, 6, 6))[0](data, kind, chance)[:LONGEST]
    return data


def _bytes(data: bytes, _: str, chance: Random) -> bytes:
    at, to = sorted(chance.randint(0, len(data)) for _ in range(2))
    way = chance.randrange(6)
    if way == 0:
        return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
    if way == 1:
        return data[:at] + data[min(to, at + chance.randint(1, 20)) :]
    if way == 2:
        return data[:at] + chance.choice(BYTES) + data[at:]
    if way == 3:
        return data[:at]
    if way == 4:
        return data[:to] + data[at:to] * chance.randint(1, 3) + data[to:]
    text = data.decode("utf-8", errors="replace")
    return text.encode(chance.choice(("utf-16", "utf-16-le", "utf-32", "cp1252", "utf-8-sig")), errors="replace")


def _lines(data: bytes, kind: str, chance: Random) -> bytes:
    lines = data.split(b"\n")
    at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
    way = chance.randrange(9)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(to, lines[at])
    elif way == 2:
        lines[at], lines[to] = lines[to], lines[at]
    elif way == 3:
        lines[at] = b" " * chance.randint(0, 8) + lines[at].lstrip()
    elif way == 4:
        lines[at : at + 3] = [b"  " + line for line in lines[at : at + 3]]
    elif way == 5:
        lines[at : at + 2] = [b"".join(lines[at : at + 2])]
    elif way == 6:
        lines.insert(at, chance.choice(chance.choice(seeds(kind)).split(b"\n")))
    elif way == 7:
        lines[at] = chance.choice((b"\t", b"- ", b"# ", b"? ", b'"')) + lines[at]
    else:
        return chance.choice((b"\r\n", b"\r")).join(lines) if chance.random() < 0.5 else b"\n\n".join(lines)
    return b"\n".join(lines)


def _tokens(data: bytes, kind: str, chance: Random) -> bytes:
    text = data.decode("utf-8", errors="surrogateescape")
    way = chance.randrange(6)
    if way == 0:
        text = _replaced(text, NUMBER, chance.choice(NUMBERS), chance)
    elif way == 1:
        text = _replaced(text, NUMBER, f"{chance.choice(NUMBERS)} {chance.choice(UNITS)}", chance)
    elif way == 2:
        text = _replaced(text, WORD, chance.choice((*_words(kind), *UNITS)), chance)
    elif way == 3:
        text = _replaced(text, WORD, chance.choice((*MARKS, *LETTERS, "")), chance)
    else:
        at = chance.randint(0, len(text))
        put = (
            chance.choice((*MARKS, *LETTERS, *NUMBERS))
            if way == 4
            else chance.choice((*MARKS, " ", "\n")) * chance.choice((1, 2, 30))
        )
        text = text[:at] + put + text[at + chance.choice((0, 0, 1)) :]
    return text.encode(
        "utf-8",
        errors="surrogateescape" if all(c < "\ud800" or c > "\udfff" or c >= "\udc80" for c in text) else "replace",
    )


def _replaced(text: str, what: re.Pattern[str], put: str, chance: Random) -> str:
    found = list(what.finditer(text))
    if not found:
        return text + put
    one = chance.choice(found)
    return text[: one.start()] + put + text[one.end() :]


@cache
def _words(kind: str) -> tuple[str, ...]:
    """Every word that a file of the kind holds."""
    return tuple(sorted({word for data in seeds(kind) for word in WORD.findall(data.decode("utf-8", errors="ignore"))}))


def _tree(data: bytes, kind: str, chance: Random) -> bytes:
    """The file written anew from its tree, a branch of it changed; as it is where it has no tree."""
    try:
        root = yaml.compose(data, Loader=yaml.CSafeLoader)
        other = yaml.compose(chance.choice(seeds(kind)), Loader=yaml.CSafeLoader)
    except (yaml.YAMLError, ValueError, RecursionError):
        return data
    nodes = list(_below(root))
    groups = [node for node in nodes if isinstance(node, yaml.CollectionNode) and node.value]
    if not groups:
        return data
    _change(chance.choice(groups), [*nodes, *_below(other)], chance)
    try:
        return yaml.serialize(root, Dumper=yaml.CSafeDumper, allow_unicode=True).encode("utf-8", errors="replace")
    except (yaml.YAMLError, RecursionError):
        return data


def _below(node: yaml.Node | None, depth: int = 0) -> list[yaml.Node]:
    """The node and all that stands in it."""
    if node is None or depth > 30:
        return []
    inside = node.value if isinstance(node, yaml.SequenceNode) else []
    if isinstance(node, yaml.MappingNode):
        inside = [one for pair in node.value for one in pair]
    return [node, *(found for one in inside for found in _below(one, depth + 1))]


def _change(group: yaml.CollectionNode, nodes: list[yaml.Node], chance: Random) -> None:
    """Change one entry of a map or a list."""
    values, at = group.value, chance.randrange(len(group.value))
    is_map = isinstance(group, yaml.MappingNode)
    way = chance.randrange(9)
    key, old = values[at] if is_map else (None, values[at])
    if way == 0:
        del values[at]
    elif way == 1:
        values.append(copy.deepcopy(values[at]) if chance.random() < 0.9 else values[at])
    elif way == 2:
        other = chance.randrange(len(values))
        values[at], values[other] = values[other], values[at]
    elif way >= 7:
        values[at] = copy.deepcopy(_like(values[at], nodes, chance))
    else:
        ways = (chance.choice(nodes), _nested(old, chance), _odd(chance), _text(chance.choice((*NUMBERS, *LETTERS))))
        put = copy.deepcopy(ways[way - 3])
        if is_map and chance.random() < 0.2:
            values[at] = (put, old)
        else:
            values[at] = (key, put) if is_map else put


def _like(entry: Any, nodes: list[yaml.Node], chance: Random) -> Any:
    """Another entry by the same name, so that what stands there is of the right kind."""
    name = entry[0].value if isinstance(entry, tuple) else None
    pairs = [pair for node in nodes if isinstance(node, yaml.MappingNode) for pair in node.value]
    alike = [pair for pair in pairs if pair[0].value == name]
    return chance.choice(alike) if alike else entry


def _text(text: str) -> yaml.Node:
    return yaml.ScalarNode("tag:yaml.org,2002:str", text)


def _nested(node: yaml.Node, chance: Random) -> yaml.Node:
    for _ in range(chance.choice((1, 1, 2, 10, 30))):
        if chance.random() < 0.5:
            node = yaml.SequenceNode("tag:yaml.org,2002:seq", [node], flow_style=chance.random() < 0.5)
        else:
            node = yaml.MappingNode("tag:yaml.org,2002:map", [(_text("a"), node)], flow_style=chance.random() < 0.5)
    return node


def _odd(chance: Random) -> yaml.Node:
    """A node of the wrong kind."""
    return chance.choice(
        (
            yaml.SequenceNode("tag:yaml.org,2002:seq", [], flow_style=True),
            yaml.MappingNode("tag:yaml.org,2002:map", [], flow_style=True),
            yaml.ScalarNode("tag:yaml.org,2002:null", ""),
            yaml.ScalarNode("tag:yaml.org,2002:str", "", style='"'),
            yaml.ScalarNode("tag:yaml.org,2002:str", "a\nb: c\n", style="|"),
            yaml.ScalarNode("tag:yaml.org,2002:str", "x" * 300),
            yaml.ScalarNode("tag:lotwise,1:odd", "x"),
        )
    )
