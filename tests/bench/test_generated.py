from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.bench.generated import Asked, files, workspace

if TYPE_CHECKING:
    from collections.abc import Set as AbstractSet

ASKED = Asked(lots=60, patterns=25, sizes=3, seed=1, projects=20)


def rules_of(text: str, key: str, words: AbstractSet[str]) -> set[str]:
    return {word for word in words if f"{key} {word}" in text}


def test_the_same_arguments_give_the_same_files() -> None:
    assert files(ASKED) == files(ASKED)


@pytest.mark.parametrize("seed", range(1, 6))
def test_a_generated_workspace_has_no_faults_and_the_size_asked(seed: int) -> None:
    made = workspace(60, 25, 3, seed, projects=20)
    assert (len(made.stash.lots), len(made.patterns), len(made.projects.projects or ())) == (60, 25, 20)
    assert {3} == {len(pattern.sizes) for pattern in made.patterns.values()}


def test_every_lot_rule_and_every_way_to_state_a_count_is_drawn() -> None:
    text = "\n".join(files(ASKED).values())
    lot_rules = {"one", "by-part", "alternate 2", "any"}
    ways = {"{turns", "{length", "{wraps", "Nm", "worsted"}
    assert lot_rules == rules_of(text, "lots:", lot_rules)
    assert ways == rules_of(text, "count:", ways)
