"""Every faulty sheet in tests/broken/sheets is answered with exactly the text beside it.

`python -m tests.planner.sheets.test_broken_sheets` writes the texts anew; read the difference.
"""

from __future__ import annotations

import contextlib
import io
import tempfile
from pathlib import Path

import pytest

from planner.cli import main

BROKEN = Path(__file__).resolve().parents[2] / "broken" / "sheets"
SHEETS = sorted(path.name for path in BROKEN.glob("*.csv"))


def answered(name: str) -> str:
    """What is said on both outputs, and the exit code, when the sheet is imported into an empty workspace."""
    out, err = io.StringIO(), io.StringIO()
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main(["import", str(BROKEN / name), "--workspace", folder, "--dry-run"])
        except SystemExit as ended:
            code = ended.code
    return f"{err.getvalue()}{out.getvalue().partition('--- stash')[0].rstrip()}\nexit {code}\n"


@pytest.mark.parametrize("name", SHEETS)
def test_a_faulty_sheet_is_answered_with_the_text_beside_it(name: str) -> None:
    assert (BROKEN / name).with_suffix(".txt").read_text(encoding="utf-8") == answered(name)


def test_every_text_has_its_sheet() -> None:
    assert {path.stem for path in BROKEN.glob("*.txt")} == {name.removesuffix(".csv") for name in SHEETS}


if __name__ == "__main__":
    for sheet in SHEETS:
        (BROKEN / sheet).with_suffix(".txt").write_text(answered(sheet), encoding="utf-8")
