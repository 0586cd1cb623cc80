"""Each rule and each aim, built alone on a tiny question, has the rows it has always had: a change shows as text.

After a change that is meant: `python -m tests.planner.test_golden` writes the files anew; read their difference.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from planner import aims, instance
from planner.asking import ask
from planner.columns import lay_out
from planner.model import RULES, build
from planner.program import Program
from planner.rules.unlikeness import truly_different
from planner.solve import lp_text
from planner.workspace import load_workspace
from stash.colour import read_colour

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns, Fine
    from planner.instance import Instance
    from planner.program import Terms

FOG = read_colour("#d0d4d8")
GOLDEN = Path(__file__).parent.parent / "golden"
AIMS = tuple(aim for aim in vars(aims).values() if isinstance(aim, aims.Aim))
PIECE_BY_PIECE = {"pieces_reach", "enough_pieces", "least_piece", "piece_taken", "taken_if_used", "piece_holds"}


def tiny() -> Instance:
    workspace = load_workspace(GOLDEN / "tiny")
    projects = ask(workspace, (), every_size=False)
    return instance.build(workspace.stash, workspace.patterns, projects, workspace.projects.confidence)


def every_piece(asked: Instance) -> Fine:
    """Every use and lot, for a model piece by piece."""
    return frozenset((use.key, lot) for lot, uses in build(asked).by_lot.items() for use, _ in uses)


def laid_out(*, fine: bool, found: bool = False, option: bool = False) -> Columns:
    asked = tiny()
    if option:  # one way is known: everything of fog
        before = {sized.need.name: (FOG,) for making in asked.makings for sized in making.needs}
        asked = replace(asked, before=(before,))
    return lay_out(Program(), asked, every_piece(asked) if fine else frozenset(), found=found, whole_cm=False)


def texts() -> Iterator[tuple[str, str]]:
    """File name and LP text: the columns in the order they are made, only those that the rule or the aim speaks of."""
    for rule in RULES:
        columns = laid_out(fine=rule.__name__ in PIECE_BY_PIECE, option=rule is truly_different)
        columns.program.add(rule(columns))
        yield f"rules/{rule.__name__}.lp", lp_text(spoken_of(columns.program))
    for aim in AIMS:
        columns = laid_out(fine=aim.name == "skeins", found=aim.name == "metres to find")
        columns.program.aim = aim.terms(columns)
        yield f"aims/{aim.name.replace(' ', '_')}.lp", lp_text(spoken_of(columns.program))


def spoken_of(program: Program) -> Program:
    """The program without the columns that no row and no aim speaks of."""
    spoken = sorted({column for terms in (program.aim, *(row.terms for row in program.rows)) for column, _ in terms})
    place = {column: at for at, column in enumerate(spoken)}

    def placed(terms: Terms) -> Terms:
        return tuple((place[column], factor) for column, factor in terms)

    rows = [replace(row, terms=placed(row.terms)) for row in program.rows]
    return Program([program.columns[column] for column in spoken], rows, placed(program.aim))


TEXTS = dict(texts())


@pytest.mark.parametrize("name", TEXTS)
def test_a_rule_or_an_aim_alone_has_the_rows_on_file(name: str) -> None:
    assert (GOLDEN / name).read_text(encoding="utf-8") == TEXTS[name]


@pytest.mark.parametrize("name", TEXTS)
def test_the_rows_on_file_are_some(name: str) -> None:
    """A rule that the tiny question never calls on would be golden for nothing."""
    text = (GOLDEN / name).read_text(encoding="utf-8")
    rows = text.partition("Subject To\n")[2].partition("Bounds")[0]
    assert rows if name.startswith("rules/") else not re.search(r" aim: 0 \w+$", text, re.MULTILINE)


def test_no_rule_and_no_aim_lacks_its_file_and_no_file_its_rule() -> None:
    on_file = {path.relative_to(GOLDEN).as_posix() for path in GOLDEN.glob("*/*.lp")}
    assert {f"rules/{rule.__name__}.lp" for rule in RULES} == {name for name in on_file if name.startswith("rules/")}
    assert len([name for name in on_file if name.startswith("aims/")]) == len(AIMS)


if __name__ == "__main__":
    for name, text in TEXTS.items():
        (GOLDEN / name).write_text(text, encoding="utf-8")
