"""The runs shown in README.md: every `$ lotwise ...` of its console blocks, run in a copy of the demo workspace.

python -m tests.readme_runs      write into README.md what the commands print now; read the difference before you commit
"""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import shutil
import tempfile
from pathlib import Path

from planner import cli

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "planner" / "demo"
README = ROOT / "README.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


Commands = tuple[str, ...]


def runs(text: str) -> list[tuple[Commands, str]]:
    """Every command, behind those that stand before it in its block, with what it is said to print."""
    found = []
    for block in _BLOCK.findall(text):
        before: Commands = ()
        for run in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, said = run.partition("\n")
            before = (*before, command)
            found.append((before, said))
    return found


def printed(commands: Commands) -> str:
    """What the last of these commands prints to standard output, run in turn in a copy of the demo workspace."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(DEMO, folder, dirs_exist_ok=True)
        with contextlib.chdir(folder):
            return [_printed(command) for command in commands][-1]


def _printed(command: str) -> str:
    answer = io.StringIO()
    with contextlib.redirect_stdout(answer), contextlib.suppress(SystemExit):
        cli.main(shlex.split(command)[1:])
    return answer.getvalue()


def redone(text: str) -> str:
    """The text with every run as it is printed now."""

    def block(found: re.Match[str]) -> str:
        return "```console\n" + "".join(f"$ {one[-1]}\n{printed(one)}" for one, _ in runs(found.group(0))) + "```"

    return _BLOCK.sub(block, text)


if __name__ == "__main__":
    README.write_text(redone(README.read_text(encoding="utf-8")), encoding="utf-8")
