"""Files that once broke what is promised of every file."""

from __future__ import annotations

import pytest

from tests.fuzz.__main__ import CORPUS
from tests.fuzz.judging import complaint
from tests.fuzz.kinds import KINDS

KEPT = sorted(path.relative_to(CORPUS).as_posix() for path in CORPUS.glob("*/*.yaml"))


@pytest.mark.parametrize("name", KEPT)
def test_a_file_that_broke_a_promise_once_keeps_it(name: str) -> None:
    assert complaint(KINDS[name.partition("/")[0]], (CORPUS / name).read_bytes(), ask=True) is None
