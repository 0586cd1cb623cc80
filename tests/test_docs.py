"""README.md and DEVELOPERS.md say what is so: runs, commands, keys and the model's table are compared."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from planner import cli, model

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "planner" / "demo"
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def runs() -> list[tuple[str, str]]:
    """Every `$ lotwise ...` of README.md with what it is said to print."""
    found = []
    for block in blocks(README, "console"):
        for run in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, printed = run.partition("\n")
            found.append((command, printed))
    return found


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


def matches(said: str, printed: str) -> bool:
    """Whether it was printed so; a line `...` stands for lines left out."""
    parts = re.split(r"^\.\.\.\n", said, flags=re.MULTILINE)
    return re.fullmatch("(?:.*\n)*?".join(re.escape(part) for part in parts), printed) is not None


@pytest.mark.parametrize(("command", "said"), runs(), ids=[command for command, _ in runs()])
def test_a_run_in_the_readme_prints_what_it_says(
    command: str,
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.argv", shlex.split(command))
    with pytest.raises(SystemExit):
        cli.main()
    printed = capsys.readouterr().out
    assert matches(said, printed), printed


def test_the_readme_shows_runs() -> None:
    assert {"check", "lots", "cover", "plan", "shortfall"} <= {command.split()[1] for command, _ in runs()}


def test_the_readme_opens_with_the_job_and_two_commands() -> None:
    opening = README.split("\n## ", 1)[0]
    commands = [block.strip() for block in blocks(opening, "sh")]
    assert len(commands) == 2
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)
    assert commands[0].endswith(".venv/bin/lotwise demo")
    assert commands[1].endswith(".venv/bin/python -m pytest")


def test_the_models_table_is_the_list_of_rules() -> None:
    table = rows(DEVELOPERS, "rule", "what it says", "inequality", "file")
    expected = [[f"`{rule.__name__}`", f"`{rule.__module__.replace('.', '/')}.py`"] for rule in model.RULES]
    assert expected == [[name, file] for name, _, _, file in table]


def test_the_models_table_says_what_the_rules_say() -> None:
    table = rows(DEVELOPERS, "rule", "what it says", "inequality", "file")
    documented = {rule.__name__: " ".join((rule.__doc__ or "").split()) for rule in model.RULES}
    for name, words, inequality, _ in table:
        assert words in documented[name.strip("`")]
        assert inequality in documented[name.strip("`")]


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
