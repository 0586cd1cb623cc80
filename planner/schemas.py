"""What a stash, a pattern or projects.yaml may hold, as JSON Schema (draft 2020-12): made of what reads them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import yaml

from patterns.read import PATTERN
from patterns.read_projects import FILE as PROJECTS
from stash.read import FILE as STASH

if TYPE_CHECKING:
    from stash.fields import Kind, Record
    from stash.forms import Form

TOP = {"stash": STASH, "pattern": PATTERN, "projects": PROJECTS}


def schema_of(record: Record) -> Form:
    """The schema of a file that is written as `record`."""
    parts = _Parts()
    top = parts.keys_of(record)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": record.name,
        **top,
        "$defs": dict(sorted(parts.known.items())),
    }


@dataclass
class _Parts:
    """Parts of a schema that are used by name, so that each stands in it once."""

    known: dict[str, Form] = field(default_factory=dict)

    def keys_of(self, record: Record) -> Form:
        return {
            "type": "object",
            "properties": {one.name: {"description": one.about, **self.value_of(one.kind)} for one in record.fields},
            "required": list(record.required),
            "additionalProperties": False,
            "examples": [example_of(record)],
        }

    def value_of(self, kind: Kind[Any]) -> Form:
        """What one value may be; {}, which is anything, of a kind that does not say."""
        inner = [self.value_of(one) for one in kind.of]
        may_be: list[Form] = []
        if kind.record is not None:
            may_be.append(self.named(kind.record.name, self.keys_of(kind.record)))
        if kind.form is not None and kind.form.get("type") == "array":
            may_be.append({**kind.form, "items": _either(inner)})
        elif kind.form is not None and kind.form.get("type") == "object":
            may_be.append({**kind.form, "additionalProperties": _either(inner)})
        else:
            may_be += inner
            may_be += [] if kind.form is None else [self.named(kind.name, kind.form)]
        return _either(may_be)

    def named(self, name: str, part: Form) -> Form:
        """The part by its name, or itself where another has that name."""
        plain = re.sub("[^a-z0-9]+", "-", name.lower()).strip("-")
        return {"$ref": f"#/$defs/{plain}"} if self.known.setdefault(plain, part) == part else part


def _either(forms: list[Form]) -> Form:
    return {"anyOf": forms} if len(forms) > 1 else {**forms[0]} if forms else {}


def example_of(record: Record) -> Any:
    """The record's example as plain data; what stands there under a name of its own, without the name."""
    example = yaml.load(record.example, yaml.BaseLoader)  # noqa: S506 (it makes nothing but texts, lists and groups)
    return example if record.index.keys() >= example.keys() else next(iter(example.values()))
