"""The strict reader: text stays text, and whatever could turn it into something else is refused."""

from __future__ import annotations

import pytest
import yaml

from stash import source as reader
from stash.diagnosis import unparsable
from stash.nodes import Mapping, Node, Scalar, Sequence, Source
from stash.source import read_source


def plain(node: Node | None) -> object:
    """A node as plain lists, dicts and text."""
    if isinstance(node, Mapping):
        return {key.text: plain(value) for key, value in node.items}
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    assert isinstance(node, Scalar)
    return node.text


def read(text: str | bytes) -> object:
    node, faults = read_source("a.yaml", text.encode() if isinstance(text, str) else text)
    assert faults == []
    return plain(node)


def messages(data: bytes) -> list[str]:
    return [fault.message for fault in read_source("a.yaml", data)[1]]


def test_words_that_other_readers_turn_into_values_stay_text() -> None:
    text = "a: no\nb: off\nc: Yes\nd: 0123\ne: 1e3\nf: 190:20:30\ng: 2024-01-02\nh: .nan\ni: ~\n1: on\non: 1\n"
    expected = {
        "a": "no", "b": "off", "c": "Yes", "d": "0123", "e": "1e3", "f": "190:20:30",
        "g": "2024-01-02", "h": ".nan", "i": "~", "1": "on", "on": "1",
    }  # fmt: skip
    assert expected == read(text)


def test_a_json_file_is_read() -> None:
    assert read('{\n\t"lots": {"slate": ["118 g",\n\t\t"yes"]}\n}\n') == {"lots": {"slate": ["118 g", "yes"]}}


def test_a_leading_byte_order_mark_shifts_no_column() -> None:
    node, faults = read_source("a.yaml", b"\xef\xbb\xbfscale: 1 g\n")
    assert faults == []
    assert isinstance(node, Mapping)
    assert (node.items[0][0].line, node.items[0][0].column) == (1, 1)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_one_kind_of_line_end_is_read(end: str) -> None:
    node, faults = read_source("a.yaml", f"a: 1{end}b: [2,{end}  3]{end}".encode())
    assert faults == []
    assert plain(node) == {"a": "1", "b": ["2", "3"]}
    assert isinstance(node, Mapping)
    assert node.items[1][0].line == 2
    assert node.source.line(2) == "b: [2,"


def test_emoji_combining_marks_and_wide_letters_are_read() -> None:
    assert read("garment: 毛衣 🧶 e\u0301\n") == {"garment": "毛衣 🧶 e\u0301"}


def test_columns_count_characters_not_bytes() -> None:
    node, _ = read_source("a.yaml", "{毛衣: 1, b: 2}\n".encode())
    assert isinstance(node, Mapping)
    assert node.items[1][0].column == 9


def test_a_key_written_twice_keeps_its_first_value() -> None:
    node, faults = read_source("a.yaml", b"a: 1\na: 2\n")
    assert plain(node) == {"a": "1"}
    assert len(faults) == 1


def test_a_file_over_5_mb_is_refused_before_it_is_parsed() -> None:
    data = b"a: " + b"x" * 6_000_000
    assert messages(data) == ["this file is 6.0 MB; a file here may hold at most 5 MB"]


def test_more_than_200_000_entries_are_refused() -> None:
    assert messages(b"- \n" * 200_001) == ["this file holds more than 200,000 entries"]


def test_500_nested_brackets_are_refused() -> None:
    assert messages(b"a: " + b"[" * 500) == ["this is nested more than 8 deep"]


def test_1000_levels_of_indent_are_refused() -> None:
    data = "".join(f"{' ' * level}a:\n" for level in range(1000))
    assert messages(data.encode()) == ["this is nested more than 20 deep"]


def test_an_alias_bomb_is_refused_where_it_stands() -> None:
    rows = ["a0: &a0 [x]"] + [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 10)]
    found = messages("\n".join(rows).encode())
    assert len(found) == 10 + 90


def test_a_tag_that_names_a_program_runs_none(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert messages(b'!!python/object/apply:os.system ["touch ran"]\n') == [
        "a text that begins with '!' has a meaning of its own here"
    ]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("error", [RecursionError, ValueError, MemoryError])
def test_a_parser_that_breaks_down_is_a_fault_of_the_file(monkeypatch, error) -> None:
    def break_down(*_: object) -> None:
        raise error

    monkeypatch.setattr(reader, "_run", break_down)
    assert messages(b"a: 1\n") == ["this file cannot be read"]


@pytest.mark.parametrize(
    "text",
    [
        "a:\n\tb: 1\n", "a: b: c\n", "a: @b\n", "a: `b\n", "a: %b\n", "%a: b\n", "a: * b\n", "a: & b\n", "a: 'b'c'\n",
        'a: "b\n', "a:\n  b:1\n  c: 2\n", "a:\n  - b: 1\n   c: 2\n", "a:\n    b: 1\n  c: 2\n", "a: {b: 1\nc: 2\n",
        "a: [1 2\n", "a: {b: 1}}\n", "a: 1\n- b\n", "a: ]\n", 'a: "\\q"\n', "a: >b\n", "a: ,b\n", "a: 1\nb\nc: 2\n",
        "a: - b\n", "\ta: 1\n", "a: 'b' 'c'\n", "? a\nb\n", "a: |b\n  c\n", "{", "[", "'", '"', "- a\nb: 1\n", ": :\n: :",
    ],
)  # fmt: skip
def test_what_cannot_be_parsed_is_one_fault_inside_the_file_on_both_parsers(monkeypatch, text) -> None:
    for loader in (yaml.CSafeLoader, yaml.SafeLoader):
        monkeypatch.setattr(reader, "Loader", loader)
        _, faults = read_source("a.yaml", text.encode())
        if faults:
            assert len(faults) == 1
            assert 1 <= faults[0].place.line <= text.count("\n") + 1
            assert 1 <= faults[0].place.column <= len(faults[0].own_line) + 1


@pytest.mark.parametrize("text", ["a: {b: [1, 'x'], c: \"y\"}\n", "- 1\n- a: |\n    text\n  b: >\n    more\n"])
def test_both_parsers_read_the_same(monkeypatch, text) -> None:
    fast = read(text)
    monkeypatch.setattr(reader, "Loader", yaml.SafeLoader)
    assert fast == read(text)


def test_an_error_that_names_no_place_is_told_of_the_file() -> None:
    assert unparsable(Source("a.yaml", "a: 1\n"), yaml.YAMLError()).message == "this file cannot be read"


def test_a_quoted_text_may_run_over_lines_that_hold_no_key() -> None:
    assert read('note: "one\n  two"\n') == {"note": "one two"}
