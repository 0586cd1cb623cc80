"""Writing a change into a copy of the files, as a person would: by the place it names and the text it gives."""

from __future__ import annotations

import yaml


def apply(folder, *edits):
    """Write edits into the files they name, all else left as it stands; places are those before any was written."""
    for file in sorted({edit.file for edit in edits}):
        path = folder / file
        top = yaml.compose(path.read_text("utf-8"), Loader=yaml.BaseLoader)
        for edit in edits:
            if edit.file == file:
                _write(top if edit.line is None else _entry(top, edit.line, edit.column), edit)
        path.write_text(yaml.serialize(top, Dumper=yaml.BaseDumper, allow_unicode=True, width=10_000), "utf-8")


def _write(node, edit):
    *way, key = edit.keys
    for one in way:
        node = _under(node, one)
    if edit.new:
        _value(node, key).value.append(_written(edit.value))
    else:
        _set(node, key, edit.value)


def _written(text):
    return yaml.compose(text, Loader=yaml.BaseLoader)


def _entry(top, line, column):
    """The project that begins at a place, both counted from 1."""
    found = [
        one
        for one in _value(top, "projects").value
        if (one.start_mark.line + 1, one.start_mark.column + 1) == (line, column)
    ]
    assert len(found) == 1
    return found[0]


def _value(node, key):
    return next((value for name, value in node.value if name.value == key), None)


def _under(node, key):
    """The mapping under a key, made where there is none yet."""
    found = _value(node, key)
    if not isinstance(found, yaml.MappingNode):
        _set(node, key, "{}")
        found = _value(node, key)
    return found


def _set(node, key, text):
    kept = [(name, value) for name, value in node.value if name.value != key]
    if text is None:
        node.value = kept
        return
    told = (yaml.ScalarNode("tag:yaml.org,2002:str", key), _written(text))
    place = next((at for at, (name, _) in enumerate(node.value) if name.value == key), len(kept))
    node.value = [*kept[:place], told, *kept[place:]]
