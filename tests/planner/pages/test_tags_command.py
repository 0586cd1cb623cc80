"""`lotwise tags` writes one new file, and says so."""

import json

import pytest
from paging import small_folder, tags_of


@pytest.fixture
def folder(tmp_path):
    return small_folder(tmp_path, 90)


def test_the_command_writes_one_new_file_and_says_so(run, folder):
    file = folder / "fog.html"
    code, out, _ = run("tags", "fog", "--workspace", folder, "--out", file)
    assert code == 0
    assert out == f"{file} was written: 1 tag. Open it in a browser, and print it at 100 %.\n"
    assert len(tags_of(file.read_text(encoding="utf-8"))) == 1


def test_the_page_goes_into_tags_html_here_where_nothing_is_said(run, folder, monkeypatch):
    monkeypatch.chdir(folder)
    assert run("tags")[0] == 0
    assert (folder / "tags.html").exists()


def test_a_file_that_is_there_is_never_replaced(run, folder):
    file = folder / "tags.html"
    file.write_text("mine")
    code, out, err = run("tags", "--workspace", folder, "--out", file)
    assert (code, out) == (2, "")
    assert "nothing is written over" in err
    assert f"try --out {folder}/tags-2.html" in err
    assert file.read_text() == "mine"


def test_a_rehearsal_writes_nothing(run, folder):
    code, out, _ = run("tags", "--workspace", folder, "--out", folder / "tags.html", "--dry-run")
    assert code == 0
    assert "tags.html, a new file of" in out
    assert not (folder / "tags.html").exists()


def test_the_document_names_the_file(run, folder):
    code, out, _ = run("tags", "--workspace", folder, "--out", folder / "t.html", "--json", "--size", "large")
    assert code == 0
    assert json.loads(out) == {"format": "lotwise/tags-1", "file": f"{folder}/t.html", "tags": 1}


@pytest.mark.parametrize("wrong", [("--size", "huge"), ("--paper", "a3")])
def test_another_size_or_paper_is_refused(run, folder, wrong):
    assert run("tags", "--workspace", folder, *wrong)[0] == 2
