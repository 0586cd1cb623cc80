"""What is known to be possible is found."""

import pytest

from stash.lengths import guarded_cm
from tests.bench.planted import ENOUGH, planted, share_found
from tests.bench.planting import plant


def test_the_same_arguments_give_the_same_files_and_plan():
    assert plant(12, 5, 1) == plant(12, 5, 1)


@pytest.mark.parametrize("seed", range(1, 7))
def test_all_planted_projects_can_be_made_at_once_from_most_of_the_yarn(seed):
    workspace, known = planted(60, 25, seed)  # the plan has passed its check
    assert [project.project for project in known.projects] == [p.name for p in workspace.projects.projects]
    lots = workspace.stash.lots.values()
    held = sum(cm for lot in lots for skein in lot.skeins for cm in guarded_cm(lot, skein, known.confidence))
    takes = (t for project in known.projects for need in project.needs for run in need.runs for t in run.takes)
    assert 0.6 <= sum(take.take_cm for take in takes) / held <= 0.9


def test_every_lot_rule_is_planted():
    text = "\n".join(plant(200, 80, 1)[0].values())
    assert [rule for rule in ("one", "by-part", "alternate 2", "any 3") if f"lots: {rule}" not in text] == []


@pytest.mark.parametrize(
    ("lots", "projects", "seed", "way"),
    [(12, 5, 1, "exact"), (12, 5, 2, "exact"), (12, 5, 3, "exact"), (30, 12, 1, "exact"), (30, 12, 1, "priced")],
)
def test_a_plan_finds_what_was_planted(lots, projects, seed, way):
    """`python -m tests.bench.planted` has the large sizes, where plans at prices do not always find as much."""
    share, _ = share_found(*planted(lots, projects, seed), way)
    assert share >= ENOUGH
