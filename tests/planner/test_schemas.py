"""The schemas that editors use agree with the readers; the library `jsonschema` is the judge of what a schema says."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from patterns import read, read_projects
from planner.cli import main
from planner.schemas import TOP, schema_of
from stash import read as stash_read
from stash.fibre import FibreError, read_blend
from stash.fibrenames import WORDS
from stash.fields import Kind, Record
from stash.kinds import LAB
from stash.nodes import Mapping, Node, Scalar, Sequence
from stash.source import read_source
from stash.weightclass import CLASS_NAMES, read_class
from tests.bench import generated
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import random_case
from tests.test_broken import BROKEN, FILES, faults_of

ROOT = Path(__file__).parents[2]
FOLDERS = {"stash": "stash", "patterns": "pattern", "projects": "projects"}
VALIDATORS = {which: jsonschema.Draft202012Validator(schema_of(record)) for which, record in TOP.items()}
RECORDS = (*stash_read.KINDS_OF_RECORD, *read.KINDS_OF_RECORD, *read_projects.KINDS_OF_RECORD, LAB)
FREE_TEXTS = {  # kinds that take any short text; all others refuse a text that means nothing
    "a short text",
    "a note",
    *(f"the name of a {what}" for what in ("donor", "lot", "need", "pattern", "size")),
    "a row of a chart such as x..x",
}
MEANINGLESS = "no such thing, 5 furlongs?"
# Faulty files that a schema cannot tell from good ones, by what it cannot see.
UNSEEN = {
    "one value beside another": """
        patterns/chart-of-stitch-and-factor patterns/at-least-above-at-most patterns/chart-of-stranded patterns/class-and-count patterns/lighter-and-darker
        patterns/counted-in-crochet patterns/counted-in-no-chart patterns/counted-in-stripes patterns/same-and-not
        patterns/counted-without-gauge patterns/lightness-without-need patterns/match-without-use
        patterns/need-without-yarn patterns/shape-in-crochet patterns/shape-without-gauge patterns/swatch-and-factor
        patterns/within-without-near projects/only-and-without stash/count-without-mass stash/mass-against-length
        stash/nothing-wound-off stash/pieces-miss-the-length stash/sample-lighter-than-the-scale
        stash/skein-of-nothing patterns/legend-of-nothing patterns/no-needs patterns/no-sizes
        patterns/size-without-needs""",
    "a name looked up": """
        patterns/stripes-of-no-need patterns/unknown-need-in-a-colour-rule patterns/unknown-need-in-a-size patterns/unknown-need-in-the-order
        projects/unknown-lot projects/unknown-need projects/unknown-pattern projects/unknown-size
        stash/unknown-donor-without-any stash/unknown-donor""",
    "a name said twice": """
        patterns/fibre-named-twice projects/any-size-asked-beside-one projects/id-is-a-pattern projects/id-twice
        projects/name-twice projects/size-asked-twice projects/size-twice-in-a-list stash/blend-names-a-fibre-twice
        stash/differs-only-in-capitals stash/lot-named-as-its-skein stash/skein-twice-in-two-lots""",
    "how large a number in a text is": """
        patterns/chart-too-high patterns/count-no-yarn-has patterns/fibres-that-no-yarn-has patterns/hardly-a-ball
        patterns/shape-of-kilometres patterns/shape-of-three-widths patterns/share-over-all patterns/strands-of-none
        patterns/strands patterns/within-too-wide projects/confidence-too-high projects/copies-of-none
        stash/blend-of-90 stash/count-of-two-equal-numbers stash/heavier-than-a-house stash/lab-out-of-bounds
        stash/long-number stash/many-decimals stash/no-yarn-is-so-thin""",
    "what the file's own syntax lost": """
        stash/complex-key stash/key-twice stash/merge-key stash/name-of-the-second-missing stash/null-as-a-name
        stash/skein-twice""",
}


def plain(node: Node) -> Any:
    """The node as plain texts, lists and groups."""
    if isinstance(node, Mapping):
        return {key.text: plain(value) for key, value in node.items}
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return node.text if isinstance(node, Scalar) else None


def with_text_keys(value: Any) -> Any:
    """As JSON has it, where keys are always texts."""
    if isinstance(value, dict):
        return {str(key): with_text_keys(inner) for key, inner in value.items()}
    return [with_text_keys(inner) for inner in value] if isinstance(value, list) else value


def which(name: str) -> str:
    return "projects" if name == "projects.yaml" else "stash" if name.startswith("stash") else "pattern"


@cache
def good_files() -> dict[str, tuple[str, str]]:
    """Files without a fault: name -> (which, text)."""
    demo = ROOT / "planner" / "demo"
    files = {path.relative_to(demo).as_posix(): path.read_text(encoding="utf-8") for path in demo.rglob("*.yaml")}
    found = {f"demo/{name}": (which(name), text) for name, text in files.items()}
    folders = {f"drawn {seed}": to_yaml(readable(random_case(seed))) for seed in range(40)}
    folders["generated"] = generated.files(generated.Asked(60, 20, 3, 1, 10))
    for path in (ROOT / "tests" / "cases").glob("*.yaml"):
        folders[path.stem] = yaml.safe_load(path.read_text(encoding="utf-8"))["files"]
    found |= {f"{of}/{name}": (which(name), text) for of, files in folders.items() for name, text in files.items()}
    for name in FILES:
        if all(fault.warning for fault in faults_of(name)):
            text = (BROKEN / name).read_bytes().decode("utf-8-sig")
            found[f"broken/{name}"] = FOLDERS[name.split("/")[0]], text
    return found


def kinds_in(record: Record) -> dict[int, Kind[Any]]:
    """Every kind that is used anywhere in a record."""
    found: dict[int, Kind[Any]] = {}
    waiting = [field.kind for field in record.fields]
    while waiting:
        kind = waiting.pop()
        if id(kind) not in found:
            found[id(kind)] = kind
            waiting += [*kind.of, *(field.kind for field in (kind.record.fields if kind.record else ()))]
    return found


KINDS = {key: kind for record in TOP.values() for key, kind in kinds_in(record).items()}


@pytest.mark.parametrize("which", TOP)
def test_a_schema_is_one(which: str) -> None:
    jsonschema.Draft202012Validator.check_schema(schema_of(TOP[which]))


@pytest.mark.parametrize("which", TOP)
def test_the_command_prints_the_schema_in_ascii(which: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["schema", which])
    printed = capsys.readouterr().out
    assert not ended.value.code
    assert printed.isascii()
    assert schema_of(TOP[which]) == json.loads(printed)


def test_good_files_meet_their_schema_however_an_editor_reads_them() -> None:
    refused = []
    for name, (kind, text) in good_files().items():
        root, _ = read_source(name, text.encode())
        assert root is not None
        read_as = (plain(root), yaml.load(text, yaml.BaseLoader), with_text_keys(yaml.load(text, yaml.CSafeLoader)))
        refused += [name for value in read_as if not VALIDATORS[kind].is_valid(value)]
    assert refused == []
    assert len(good_files()) > 200


def test_the_examples_in_a_schema_meet_it() -> None:
    for schema in (validator.schema for validator in VALIDATORS.values()):
        for part in ({key: value for key, value in schema.items() if key != "$defs"}, *schema["$defs"].values()):
            alone = jsonschema.Draft202012Validator({**part, "$defs": schema["$defs"]})
            assert all(alone.is_valid(example) for example in part.get("examples", ()))


def test_a_schema_refuses_what_the_reader_refuses_but_for_what_it_cannot_see() -> None:
    accepted = set()
    for name in FILES:
        root, _ = read_source(name, (BROKEN / name).read_bytes())
        wrong = any(not fault.warning for fault in faults_of(name))
        if wrong and root is not None and VALIDATORS[FOLDERS[name.split("/")[0]]].is_valid(plain(root)):
            accepted.add(name.removesuffix(".yaml"))
    assert set(" ".join(UNSEEN.values()).split()) == accepted


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.name)
def test_every_record_is_in_a_schema_with_all_its_keys_and_no_other(record: Record) -> None:
    top = [schema_of(one) for one in TOP.values()]
    parts = [part for schema in top for part in (schema, *schema["$defs"].values())]
    keys = {field.name: field.about for field in record.fields}
    told = [
        part
        for part in parts
        if {name: one["description"] for name, one in part.get("properties", {}).items()} == keys
        and part["required"] == list(record.required)
    ]
    assert told
    assert all(part["additionalProperties"] is False for part in told)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_every_kind_of_value_refuses_something(kind: Kind[Any]) -> None:
    schema = schema_of(Record("one", (stash_read.Field("it", kind, "it"),), "{it: x}"))
    told = jsonschema.Draft202012Validator({**schema["properties"]["it"], "$defs": schema["$defs"]})
    assert not all(told.is_valid(value) for value in ({}, [], None, ""))
    free = kind.name.removeprefix("a list, each ") in FREE_TEXTS
    assert kind.form is not None or kind.of or kind.record
    assert free or not told.is_valid(MEANINGLESS)


def test_patterns_keep_to_what_all_programs_read_alike() -> None:
    """ECMA 262, RegExp with the flag u, as editors use it: a backslash stands before a sign of the syntax or a class."""
    for validator in VALIDATORS.values():
        patterns = re.findall(r'"pattern": ("(?:[^"\\]|\\.)*")', json.dumps(validator.schema))
        assert patterns
        for pattern in map(json.loads, patterns):
            assert set() == set(re.findall(r"\\(.)", pattern)) - set("nstSd.*+?^${}()|[]\\/")
            assert "(?P" not in pattern
            assert "(?i" not in pattern


@pytest.mark.parametrize("spell", [str, str.upper, str.title, lambda word: word.replace(" ", "-")])
def test_words_are_known_to_the_schema_in_whatever_capitals_they_are_read(spell: Any) -> None:
    properties = VALIDATORS["stash"].schema["$defs"]
    blend = jsonschema.Draft202012Validator(properties["a-blend-such-as-80-wool-20-polyamide"])
    for word in WORDS:
        text = f"60% {spell(word)}, 40% unknown"
        try:
            read_blend(text)
        except FibreError as error:
            assert "named twice" in str(error)  # noqa: PT017 (the word is 'unknown' itself)
        assert blend.is_valid(text)
    classes = jsonschema.Draft202012Validator(VALIDATORS["pattern"].schema["$defs"]["a-weight-class-such-as-dk"])
    assert all(read_class(spell(name)) and classes.is_valid(spell(name)) for name in CLASS_NAMES)


@pytest.mark.parametrize("spoilt", [True, False, 12, 0.5])
def test_a_name_that_an_editor_takes_for_something_else_is_a_name(spoilt: Any) -> None:
    lot = {"fibre": "wool", "colour": "navy", "count": "238 tex", "skeins": {"a": "5 g"}, "donor": spoilt}
    assert VALIDATORS["stash"].is_valid({"lots": {"slate": {**lot, "note": spoilt}}})
    assert not VALIDATORS["stash"].is_valid({"lots": {"slate": {**lot, "colour": spoilt}}})
