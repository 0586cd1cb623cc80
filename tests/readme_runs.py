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


def runs(text: str) -> list[tuple[str, str]]:
    """Every command with what it is said to print."""
    found = []
    for block in _BLOCK.findall(text):
        for run in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, said = run.partition("\n")
            found.append((command, said))
    return found


def printed(command: str) -> str:
    """What a command prints to standard output in a copy of the demo workspace."""
    answer = io.StringIO()
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(DEMO, folder, dirs_exist_ok=True)
        with contextlib.chdir(folder), contextlib.redirect_stdout(answer), contextlib.suppress(SystemExit):
            cli.main(shlex.split(command)[1:])
    return answer.getvalue()


def redone(text: str) -> str:
    """The text with every run as it is printed now."""
    return _BLOCK.sub(
        lambda block: "```console\n" + "".join(f"$ {c}\n{printed(c)}" for c, _ in runs(block.group(0))) + "```", text
    )


if __name__ == "__main__":
    README.write_text(redone(README.read_text(encoding="utf-8")), encoding="utf-8")
