"""What is chosen stays as it was chosen, whatever is chosen after it from the same lots."""

import numpy as np
import pytest

from planner import instance as instances
from planner.planning import plan
from planner.priced.planning import _Question
from planner.stages import Limits
from planner.workspace import load_workspace

# the scarf may have no join, so that it comes from the long piece; the band would fit only beside a part of the scarf
FILES = {
    "stash.yaml": """
lots:
  slate:
    fibre: 100% wool
    colour: "#5b6770"
    count: 230 m/100g
    skeins: {slate-1: {length: 34.00 m}, slate-2: {length: 7.00 m}}
""",
    "projects.yaml": """
confidence: 50%
projects:
  - {make: scarf}
  - {make: band}
""",
    "patterns/scarf.yaml": "{lots: one, joins: 0}, 28 m",
    "patterns/band.yaml": "{lots: one}, 9 m",
}
PATTERN = """
name: Pattern
craft: knitting
gauge: {{stitches: 22, rows: 30, over: 10 cm}}
yarn: dk
strands: 1
reserve: 0%
needs:
  main: {rule}
sizes:
  one: {{main: {metres}}}
"""


@pytest.fixture
def drawn(tmp_path):
    (tmp_path / "patterns").mkdir()
    for name, text in FILES.items():
        rule, _, metres = text.rpartition(", ")
        (tmp_path / name).write_text(PATTERN.format(rule=rule, metres=metres) if "patterns" in name else text)
    return load_workspace(tmp_path)


def asked(drawn):
    return drawn.projects.projects, drawn.projects.confidence


def test_no_way_that_is_taken_gives_another_more_joins_than_it_may_have(drawn):
    question = _Question(*instances.outline(drawn.stash, drawn.patterns, *asked(drawn)), Limits(), 0.0)
    choice = question.nothing()
    scarf, band = (inside.best(np.zeros(1), question.holds).way for inside in question.insides("grams"))
    assert choice.take(scarf)
    held = choice.rest
    assert not choice.take(band)
    assert choice.rest == held
    assert len(choice.pieces(scarf, 0)) == 1


def test_a_plan_at_prices_keeps_to_its_caps_on_joins(drawn):
    exact = plan(drawn, *asked(drawn), way="exact")
    assert plan(drawn, *asked(drawn), way="priced").aim_value == pytest.approx(exact.aim_value)
