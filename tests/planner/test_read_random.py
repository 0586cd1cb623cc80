"""A random case written as files reads back as it was."""

import dataclasses

import pytest

from planner.workspace import load_workspace
from stash.faults import Place
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import random_case


def bare(thing):
    """The data without the places where it stands and without the user's own words for a count or a range."""
    if dataclasses.is_dataclass(thing):
        fields = {f.name: getattr(thing, f.name) for f in dataclasses.fields(thing)}
        return {
            name: bare(value)
            for name, value in fields.items()
            if not isinstance(value, Place) and name not in {"place", "text"}
        }
    if isinstance(thing, tuple):
        return tuple(bare(one) for one in thing)
    if hasattr(thing, "items"):
        return {key: bare(value) for key, value in thing.items()}
    return thing


@pytest.mark.parametrize("first", range(0, 100, 25))
def test_files_read_back_as_the_data_they_were_written_from(first, tmp_path):
    for seed in range(first, first + 25):
        case = readable(random_case(seed))
        folder = tmp_path / str(seed)
        for name, text in to_yaml(case).items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        found = load_workspace(folder)
        assert bare(case.stash) == bare(found.stash)
        assert bare(case.patterns) == bare(found.patterns)
        assert bare(case.projects) == bare(found.projects.projects)
        assert case.confidence == found.projects.confidence
