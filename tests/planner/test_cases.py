"""Workspaces small enough to solve in the head, through the real commands; each file tells its own reckoning."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from planner import cli

CASES = sorted((Path(__file__).parent.parent / "cases").glob("*.yaml"))


def keyed(rows: list[Any]) -> dict[str, Any]:
    """Rows by the name they start with (project/size where a project has several rows), else by their place."""
    names = []
    for place, row in enumerate(rows):
        first = next(iter(row)) if isinstance(row, dict) else None
        names.append(row[first] if first in {"project", "need"} else str(place))
    several = {name for name in names if names.count(name) > 1}
    return {f"{name}/{row['size']}" if name in several else name: row for name, row in zip(names, rows, strict=True)}


def found(document: Any, path: str) -> Any:
    """The value at a path such as projects.scarf:one.needs.main.short_m."""
    for step in path.split("."):
        document = (keyed(document) if isinstance(document, list) else document)[step]
    return document


def run(arguments: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What a command answers as JSON, with its exit code as `exit`."""
    monkeypatch.setattr("sys.argv", ["lotwise", *arguments, "--json"])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    return {**json.loads(capsys.readouterr().out), "exit": ended.value.code or 0}


def commands() -> list[Any]:
    loaded = [(path, yaml.safe_load(path.read_text(encoding="utf-8"))) for path in CASES]
    return [
        pytest.param(case, command, id=f"{path.stem}-{command}") for path, case in loaded for command in case["expect"]
    ]


@pytest.mark.parametrize(("case", "command"), commands())
def test_the_hand_solved_answer_is_given(
    case: dict[str, Any],
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name, text in case["files"].items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    document = run([command, "--workspace", str(tmp_path)], monkeypatch, capsys)
    expected = case["expect"][command]
    actual = {path: found(document, path) for path in expected}
    assert pytest.approx(expected, abs=1e-6) == actual
