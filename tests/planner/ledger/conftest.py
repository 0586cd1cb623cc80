"""The workspace that tests of the ledger share, with a plan of it that is saved."""

import pytest
from november import HAT, MITTS, PROJECTS, STASH


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "patterns").mkdir()
    (tmp_path / "stash.yaml").write_text(STASH)
    (tmp_path / "patterns" / "hat.yaml").write_text(HAT)
    (tmp_path / "patterns" / "mitts.yaml").write_text(MITTS)
    (tmp_path / "projects.yaml").write_text(PROJECTS)
    return tmp_path


@pytest.fixture
def planned(folder, run):
    assert run("plan", "--save", "november", "--workspace", folder)[0] == 0
    return folder
