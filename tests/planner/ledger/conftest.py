"""The workspace that tests of the ledger share, with a plan of it that is saved."""

import shutil

import pytest
from november import HAT, MITTS, PROJECTS, STASH

from planner.cli import main


def write(folder):
    (folder / "patterns").mkdir()
    (folder / "stash.yaml").write_text(STASH)
    (folder / "patterns" / "hat.yaml").write_text(HAT)
    (folder / "patterns" / "mitts.yaml").write_text(MITTS)
    (folder / "projects.yaml").write_text(PROJECTS)


@pytest.fixture
def folder(tmp_path):
    write(tmp_path)
    return tmp_path


@pytest.fixture(scope="session")
def november(tmp_path_factory):
    """The workspace with its plan, which is made once and copied for each test."""
    folder = tmp_path_factory.mktemp("november")
    write(folder)
    with pytest.raises(SystemExit) as ended:
        main(["plan", "--save", "november", "--workspace", str(folder)])
    assert ended.value.code == 0
    return folder


@pytest.fixture
def planned(november, tmp_path):
    return shutil.copytree(november, tmp_path, dirs_exist_ok=True)
