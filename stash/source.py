"""The strict reader: bytes to nodes, every scalar still text, whatever could turn text into something else refused.

YAML's own typing (`no` is false, `1:30` is 90, `012` is 10) never happens, since only the parser's events are used.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import yaml

from stash import yamlfaults as wrong
from stash.diagnosis import unparsable
from stash.linefaults import colon_before_bracket
from stash.nodes import Mapping, Node, Scalar, Sequence, Source, Unread, is_decimals
from stash.textfaults import BIDI, CURLY, HIDDEN, MOST_BYTES, check_text, decode

if TYPE_CHECKING:
    from collections.abc import Callable

    from stash.faults import Fault

MOST_DEPTH = 20
MOST_FLOW_DEPTH = 8
MOST_NODES = 200_000
LEAST_RUN = 3  # keys written twice, one behind another, that are told as one
NAME_AND_BRACE = re.compile(r"([A-Za-z][\w-]*) \{[\w-]+$")  # 'main {lots' of 'main {lots: one}'
KEY = re.compile(r"\s*(- )?[A-Za-z][\w-]*:(\s|$)")
_Items = tuple[tuple[Scalar, Node], ...]
_ScalarEvent, _MapEnd = yaml.ScalarEvent, yaml.MappingEndEvent
_STARTS = (yaml.ScalarEvent, yaml.AliasEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent)

_new = tuple.__new__  # a named tuple's own way takes twice as long
Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _StopError(Exception):
    """The file is not read beyond this point; the fault that says why is told already."""


class _Builder:
    """Grows nodes event by event and gathers the faults on the way."""

    def __init__(self, source: Source, faults: list[Fault], next_event: Callable[[], Any], most_nodes: int) -> None:
        self.source = source
        self.faults = faults
        self.next_event = next_event
        self.depth = self.flow_depth = 0
        self.nodes, self.most_nodes = 0, most_nodes
        self.odd = bool(BIDI.search(source.text)) or any(quote in source.text for quote in CURLY)

    def read(self) -> Node | None:
        """The file's one document; None where there is none."""
        root: Node | None = None
        documents = 0
        while (kind := type(event := self.next_event())) is not yaml.StreamEndEvent:
            if kind is yaml.DocumentStartEvent:
                documents += 1
                if documents > 1:
                    self.faults.append(wrong.second_document(self.source, event))
                    raise _StopError
            elif kind in _STARTS:
                root = self.node(event)
        return root

    def node(self, event: Any, *, is_key: bool = False) -> Node:
        """The node that begins with this event, read to its end."""
        kind = type(event)
        node: Node
        if kind is _ScalarEvent and not (event.style or self.odd or event.tag or event.anchor):  # as nearly all is
            mark = event.start_mark
            node = _new(Scalar, (event.value, False, self.source, mark.line + 1, mark.column + 1))
        elif kind is _ScalarEvent:
            node = self.scalar(event, is_key=is_key)
        elif kind is yaml.AliasEvent:
            self.faults.append(wrong.alias(self.source, event))
            node = self.unread(event)
        else:
            node = self.group(event, is_map=kind is yaml.MappingStartEvent)
        self.nodes += 1
        if self.nodes > self.most_nodes:
            self.faults.append(wrong.too_many_nodes(self.source, node, self.most_nodes))
            raise _StopError
        return node

    def unread(self, event: Any) -> Unread:
        return Unread(self.source, event.start_mark.line + 1, event.start_mark.column + 1)

    def scalar(self, event: Any, *, is_key: bool) -> Node:
        """Text that is marked, quoted, or stands in a file that holds what is not seen."""
        if event.anchor is not None or event.tag is not None:
            refused = self.marked(event)
            if not (event.value and is_key):
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

    def group(self, event: Any, *, is_map: bool) -> Node:
        """A map or a list."""
        tagged, flow = event.tag is not None, bool(event.flow_style)
        if tagged or event.anchor is not None:
            self.marked(event)
        self.depth += 1
        self.flow_depth += flow
        deep = self.depth > MOST_DEPTH
        if deep or self.flow_depth > MOST_FLOW_DEPTH:
            self.faults.append(wrong.too_deep(self.source, event, MOST_DEPTH if deep else MOST_FLOW_DEPTH))
            raise _StopError
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        node: Node
        if is_map:
            node = _new(Mapping, (self.each_once(self.pairs(), flow=flow), self.source, line, column))
        else:
            node = Sequence(tuple(self.items()), self.source, line, column)
        self.depth -= 1
        self.flow_depth -= flow
        return Unread(self.source, line, column) if tagged else node

    def items(self) -> list[Node]:
        found = []
        while type(event := self.next_event()) is not yaml.SequenceEndEvent:
            found.append(self.node(event))
        return found

    def pairs(self) -> list[tuple[Scalar, Node]]:
        found: list[tuple[Scalar, Node]] = []
        next_event, read = self.next_event, self.node
        while type(event := next_event()) is not _MapEnd:
            key = read(event, is_key=True)
            value = read(next_event())
            if type(key) is Scalar:
                if "{" in key.text and not key.quoted and (name := NAME_AND_BRACE.match(key.text)):
                    self.faults.append(self.no_colon_before(key, name[1]))
                    key, value = key._replace(text=name[1]), Unread(self.source, key.line, key.column)
                found.append((key, value))
            elif type(key) is not Unread:
                self.faults.append(wrong.key_is_not_text(key))
        return found

    def no_colon_before(self, key: Scalar, name: str) -> Fault:
        column = key.column + len(name)
        rest = self.source.line(key.line)[column - 1 :].strip()
        return colon_before_bracket(self.source, key.line, column, f"{name}: {rest}")

    def each_once(self, pairs: list[tuple[Scalar, Node]], *, flow: bool) -> _Items:
        """The pairs, each key where it stands first; between braces, without decimals that fell off a number."""
        names = {key.text for key, _ in pairs}
        if len(names) < len(pairs) or "<<" in names:
            pairs = self.without_repeats(pairs)
        return self.joined(pairs) if flow else tuple(pairs)

    def without_repeats(self, pairs: list[tuple[Scalar, Node]]) -> list[tuple[Scalar, Node]]:
        first: dict[str, Scalar] = {}
        run: list[Scalar] = []  # keys one behind another that stand here a second time
        for key, _ in pairs:
            if first.setdefault(key.text, key) is not key:
                run.append(key)
                continue
            self.tell_twice(run, first)
            run = []
            if key.text == "<<" and not key.quoted:
                self.faults.append(wrong.merge_key(key))
                first["<<"] = Scalar("", True, self.source, 0, 0)  # told, so not kept
        self.tell_twice(run, first)
        return [(key, value) for key, value in pairs if first[key.text] is key]

    def tell_twice(self, run: list[Scalar], first: dict[str, Scalar]) -> None:
        """Several in a row belong together: the name of what begins there is missing, which is one thing wrong."""
        if len(run) >= LEAST_RUN:
            self.faults.append(wrong.keys_twice(run, first[run[0].text]))
        else:
            self.faults += [wrong.key_twice(key, first[key.text]) for key in run]

    def joined(self, items: list[tuple[Scalar, Node]]) -> _Items:
        """The keys between braces, without those that are the decimals of a number that was written with a comma."""
        kept: list[tuple[Scalar, Node]] = []
        for key, value in items:
            if type(value) is Scalar and not value.text and kept and is_decimals(kept[-1][1], key):
                self.faults.append(wrong.decimal_comma(kept[-1][1], key))
                kept[-1] = (kept[-1][0], Unread(self.source, key.line, key.column))
            else:
                kept.append((key, value))
        return tuple(kept)


def read_source(file: str, data: bytes, *, room: int = 1) -> tuple[Node | None, list[Fault]]:
    """Read one file's bytes into nodes; None where it cannot be read at all. `file` is its name as shown.

    `room`: how many times as large as a file written by hand it may be.

    Refused: over 5 MB, text that is not UTF-8, hidden characters, anchors, aliases, merge keys, tags, several
    documents, a key written twice, flow depth over 8, depth over 20, over 200,000 nodes. Raises nothing: every fault
    is in the list.
    """
    source = decode(file, data, room * MOST_BYTES)
    if not isinstance(source, Source):
        return None, [source]
    faults = list(check_text(source))
    if any(not fault.warning for fault in faults):
        return None, faults
    try:
        root = _run(source, faults, room * MOST_NODES)
    except _StopError:
        return None, faults
    except yaml.YAMLError as error:
        told = unparsable(source, error)
    except (RecursionError, ValueError, MemoryError):
        told = wrong.unreadable(source)
    else:
        if root is not None and not (type(root) is Scalar and not root.text):
            return root, faults
        told = wrong.empty_file(source)
    return None, faults if told in faults else [*faults, told]


def _run(source: Source, faults: list[Fault], most_nodes: int) -> Node | None:
    loader = Loader(source.text)
    try:
        return _Builder(source, faults, loader.get_event, most_nodes).read()
    finally:
        loader.dispose()
