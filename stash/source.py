"""The strict reader: bytes to nodes, every scalar still text, whatever could turn text into something else refused.

YAML's own typing (`no` is false, `1:30` is 90, `012` is 10) never happens, since only the parser's events are used.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import yaml

from stash import yamlfaults as wrong
from stash.diagnosis import unparsable
from stash.linefaults import colon_before_bracket
from stash.nodes import Mapping, Node, Scalar, Sequence, Source, Unread, is_decimals
from stash.textfaults import BIDI, CURLY, HIDDEN, check_text, decode

if TYPE_CHECKING:
    from stash.faults import Fault

MOST_DEPTH = 20
MOST_FLOW_DEPTH = 8
MOST_NODES = 200_000
LEAST_RUN = 3  # keys written twice, one behind another, that are told as one
NAME_AND_BRACE = re.compile(r"([A-Za-z][\w-]*) \{[\w-]+$")  # 'main {lots' of 'main {lots: one}'
KEY = re.compile(r"\s*(- )?[A-Za-z][\w-]*:(\s|$)")
_Items = tuple[tuple[Scalar, Node], ...]
_ENDS = (yaml.MappingEndEvent, yaml.SequenceEndEvent)

Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _StopError(Exception):
    """The file is not read beyond this point; the fault that says why is told already."""


class _Open:
    """A map or list that is being read: what it holds so far, and the key that waits for its value."""

    __slots__ = ("column", "flow", "is_map", "items", "key", "line", "tagged")

    def __init__(self, event: Any) -> None:
        self.is_map = type(event) is yaml.MappingStartEvent
        self.flow = bool(event.flow_style)
        self.tagged = event.tag is not None
        self.line = event.start_mark.line + 1
        self.column = event.start_mark.column + 1
        self.items: list[Any] = []
        self.key: Node | None = None


class _Builder:
    """Grows nodes event by event and gathers the faults on the way."""

    def __init__(self, source: Source, faults: list[Fault]) -> None:
        self.source = source
        self.faults = faults
        self.stack: list[_Open] = []
        self.root: Node | None = None
        self.nodes = 0
        self.documents = 0
        self.stopped = False
        self.odd = bool(BIDI.search(source.text)) or any(quote in source.text for quote in CURLY)

    def take(self, event: Any) -> None:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            self.put(self.scalar(event))
        elif kind in _ENDS:
            self.put(self.close(self.stack.pop()))
        elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
            self.open(event)
        elif kind is yaml.AliasEvent:
            self.faults.append(wrong.alias(self.source, event))
            self.put(self.unread(event))
        elif kind is yaml.DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                self.faults.append(wrong.second_document(self.source, event))
                raise _StopError

    def unread(self, event: Any) -> Unread:
        return Unread(self.source, event.start_mark.line + 1, event.start_mark.column + 1)

    def scalar(self, event: Any) -> Node:
        if event.anchor is not None or event.tag is not None:
            refused = self.marked(event)
            if not (event.value and self.stack and self.stack[-1].is_map and self.stack[-1].key is None):
                return refused  # but a name is kept, so that what points at it is not told too
        mark, text, style = event.start_mark, event.value, event.style
        if style and style in "'\"" and event.end_mark.line > mark.line:
            self.check_quote(event)
        node = Scalar(text, bool(style), self.source, mark.line + 1, mark.column + 1)
        return self.looked_at(node, style) if self.odd or style == '"' else node

    def check_quote(self, event: Any) -> None:
        """A quote that is closed lines later took what stands between for its text: nothing after it can be trusted."""
        lines = range(event.start_mark.line + 2, event.end_mark.line + 2)
        if any(KEY.match(self.source.line(number)) for number in lines):
            self.faults.append(wrong.quote_closed_late(self.source, event))
            raise _StopError

    def looked_at(self, node: Scalar, style: str) -> Node:
        """Text that may hold what is not seen: only double quotes can spell it out with a backslash."""
        if style == '"' and HIDDEN.search(node.text):
            self.faults.append(wrong.hidden_in_text(node))
            return Unread(node.source, node.line, node.column)
        if BIDI.search(node.text):
            self.faults.append(wrong.bidi_in_text(node))
        if not style and node.text.startswith(tuple(CURLY)):
            self.faults.append(wrong.curly_quotes(node))
        return node

    def marked(self, event: Any) -> Unread:
        """An anchor or a tag: refused, and what it marks with it."""
        tell = wrong.anchor if event.anchor is not None else wrong.tag
        self.faults.append(tell(self.source, event))
        return self.unread(event)

    def open(self, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self.marked(event)
        self.stack.append(_Open(event))
        deep = len(self.stack) > MOST_DEPTH
        if deep or sum(one.flow for one in self.stack) > MOST_FLOW_DEPTH:
            self.faults.append(wrong.too_deep(self.source, event, MOST_DEPTH if deep else MOST_FLOW_DEPTH))
            raise _StopError

    def put(self, node: Node) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            self.faults.append(wrong.too_many_nodes(self.source, node, MOST_NODES))
            raise _StopError
        if not self.stack:
            if self.root is None:
                self.root = node
            return
        top = self.stack[-1]
        if not top.is_map:
            top.items.append(node)
        elif top.key is None:
            top.key = node
        else:
            self.pair(top, top.key, node)
            top.key = None

    def pair(self, top: _Open, key: Node, value: Node) -> None:
        if type(key) is Scalar:
            if not key.quoted and "{" in key.text and (found := NAME_AND_BRACE.match(key.text)):
                self.faults.append(self.no_colon_before(key, found[1]))
                key, value = replace(key, text=found[1]), Unread(self.source, key.line, key.column)
            top.items.append((key, value))
        elif not isinstance(key, Unread):
            self.faults.append(wrong.key_is_not_text(key))

    def no_colon_before(self, key: Scalar, name: str) -> Fault:
        column = key.column + len(name)
        rest = self.source.line(key.line)[column - 1 :].strip()
        return colon_before_bracket(self.source, key.line, column, f"{name}: {rest}")

    def close(self, done: _Open) -> Node:
        if done.tagged:
            return Unread(self.source, done.line, done.column)
        if not done.is_map:
            return Sequence(tuple(done.items), self.source, done.line, done.column)
        first: dict[str, Scalar] = {}
        run: list[Scalar] = []  # keys one behind another that stand here a second time
        for key, _ in done.items:
            if first.setdefault(key.text, key) is not key:
                run.append(key)
                continue
            self.tell_twice(run, first)
            run = []
            if key.text == "<<" and not key.quoted:
                self.faults.append(wrong.merge_key(key))
                first["<<"] = Scalar("", True, self.source, 0, 0)  # told, so not kept
        self.tell_twice(run, first)
        items = tuple((key, value) for key, value in done.items if first[key.text] is key)
        if done.flow:
            items = self.joined(items)
        return Mapping(items, self.source, done.line, done.column)

    def tell_twice(self, run: list[Scalar], first: dict[str, Scalar]) -> None:
        """Several in a row belong together: the name of what begins there is missing, which is one thing wrong."""
        if len(run) >= LEAST_RUN:
            self.faults.append(wrong.keys_twice(run, first[run[0].text]))
        else:
            self.faults += [wrong.key_twice(key, first[key.text]) for key in run]

    def joined(self, items: _Items) -> _Items:
        """The keys between braces, without those that are the decimals of a number that was written with a comma."""
        kept: list[tuple[Scalar, Node]] = []
        for key, value in items:
            if kept and is_decimals(kept[-1][1], key) and isinstance(value, Scalar) and not value.text:
                self.faults.append(wrong.decimal_comma(kept[-1][1], key))
                kept[-1] = (kept[-1][0], Unread(self.source, key.line, key.column))
            else:
                kept.append((key, value))
        return tuple(kept)


def read_source(file: str, data: bytes) -> tuple[Node | None, list[Fault]]:
    """Read one file's bytes into nodes; None where it cannot be read at all. `file` is its name as shown.

    Refused: over 5 MB, text that is not UTF-8, hidden characters, anchors, aliases, merge keys, tags, several
    documents, a key written twice, flow depth over 8, depth over 20, over 200,000 nodes. Raises nothing: every fault
    is in the list.
    """
    source = decode(file, data)
    if not isinstance(source, Source):
        return None, [source]
    faults = list(check_text(source))
    if any(not fault.warning for fault in faults):
        return None, faults
    builder = _Builder(source, faults)
    told = _build(builder)
    root = builder.root
    if told is not None:
        return None, faults if told in faults else [*faults, told]
    if builder.stopped or root is None:
        return None, faults
    return root, faults


def _build(builder: _Builder) -> Fault | None:
    """Read all events; the fault that keeps the file from being read, where there is one that is not told yet."""
    try:
        _run(builder)
    except _StopError:
        builder.stopped = True
        return None
    except yaml.YAMLError as error:
        return unparsable(builder.source, error)
    except (RecursionError, ValueError, MemoryError):
        return wrong.unreadable(builder.source)
    root = builder.root
    if root is None or (isinstance(root, Scalar) and not root.text):
        builder.stopped = True
        return wrong.empty_file(builder.source)
    return None


def _run(builder: _Builder) -> None:
    loader = Loader(builder.source.text)
    try:
        take, get_event = builder.take, loader.get_event
        while (event := get_event()) is not None and type(event) is not yaml.StreamEndEvent:
            take(event)
    finally:
        loader.dispose()
