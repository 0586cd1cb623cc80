"""README.md and DEVELOPERS.md say what is so: runs, commands, keys and the model's table are compared."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import patterns.amounts
import patterns.read
import patterns.read_projects
import patterns.rules
import patterns.yarns
import stash.read
import stash.samples
import stash.skeins
from planner import cli, model
from tests.readme_runs import printed, runs

if TYPE_CHECKING:
    from stash.fields import Record

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def section(text: str, title: str) -> str:
    """What stands under a heading, its smaller headings included."""
    level, rest = re.search(rf"^(#+) {re.escape(title)}\n(.*)", text, re.MULTILINE | re.DOTALL).groups()  # type: ignore[union-attr]
    return re.split(rf"^#{{1,{len(level)}}} ", rest, flags=re.MULTILINE)[0]


def rows(text: str, *heads: str) -> list[list[str]]:
    """The cells of the table whose heads are these."""
    lines = text.splitlines()
    start = lines.index(f"| {' | '.join(heads)} |")
    table = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        table.append([cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]])
    return table


@pytest.mark.parametrize(("commands", "said"), runs(README), ids=[commands[-1] for commands, _ in runs(README)])
def test_a_run_in_the_readme_prints_what_it_says(commands: tuple[str, ...], said: str) -> None:
    assert said == printed(commands)


def test_the_readme_shows_runs() -> None:
    assert {"check", "lots", "cover", "plan", "shortfall"} <= {commands[-1].split()[1] for commands, _ in runs(README)}


def test_the_readme_opens_with_the_job_and_two_commands() -> None:
    opening = README.split("\n## ", 1)[0]
    commands = [block.strip() for block in blocks(opening, "sh")]
    assert len(commands) == 2
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)
    assert commands[0].endswith(".venv/bin/lotwise demo")
    assert commands[1].endswith(".venv/bin/python -m pytest -n auto")


def test_the_models_table_is_the_list_of_rules_in_their_own_words() -> None:
    expected = []
    for rule in model.RULES:
        words, inequality = (" ".join(paragraph.split()) for paragraph in (rule.__doc__ or "").split("\n\n"))
        expected.append([f"`{rule.__name__}`", words, inequality, f"`{rule.__module__.replace('.', '/')}.py`"])
    assert expected == rows(DEVELOPERS, "rule", "what it says", "inequality", "file")


def keys(record: Record) -> set[str]:
    """Every key that may be written in a record, and in those within it."""
    within = [
        kind.record for field in record.fields for kind in (field.kind, *field.kind.of) if kind.record is not None
    ]
    return {field.name for field in record.fields}.union(*(keys(inner) for inner in within))


def test_every_key_of_the_files_is_in_the_readme() -> None:
    records = (
        *(stash.read.FILE, stash.read.DONOR, stash.read.LOT, stash.samples.SAMPLE, stash.skeins.SKEIN),
        *(patterns.read.PATTERN, patterns.read.NEED, patterns.rules.COLOUR_RULE, patterns.yarns.YARN),
        *(patterns.yarns.FIBRES, patterns.amounts.GAUGE, patterns.amounts.SHAPE, patterns.amounts.SWATCH),
        *(patterns.read_projects.FILE, patterns.read_projects.PROJECT, patterns.read_projects.PIN),
    )
    known = set().union(*(keys(record) for record in records))
    told = set(re.findall(r"[a-z][a-z-]*", " ".join(re.findall(r"`([^`\n]+)`", section(README, "Your files")))))
    assert known - told == set()


def test_every_command_is_in_the_readme_and_no_other() -> None:
    known = {command.name for command in cli.app.registered_commands}
    listed = {row[0].strip("`").split()[1] for row in rows(section(README, "Commands"), "command", "answers")}
    assert known == listed


def test_links_and_files_named_in_the_docs_exist() -> None:
    anchors = {
        re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-")
        for title in re.findall(r"^#+ (.*)$", README, re.MULTILINE)
    }
    assert set(re.findall(r"\]\(#([^)]*)\)", README)) <= anchors
    named = set(re.findall(r"`((?:stash|patterns|planner|tests)/[a-z_/.]+)`", DEVELOPERS))
    assert {name for name in named if (ROOT / name).exists()} == named
