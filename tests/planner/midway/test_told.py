"""What is told of the knitting, beside what the ledger holds of it."""

from pathlib import Path

import pytest

from planner.asking import AskError
from planner.midway.asking import ask_midway
from planner.midway.told import Told
from planner.workspace import load_workspace
from tests.planner.bookable import write_bookable

DEMO = load_workspace(Path(__file__).parents[3] / "planner" / "demo")
TWO = {"--left": ["slate=60g", "cream=20g"], "--how": "stranded"}


def test_what_is_set_aside_for_it_is_not_taken_to_be_all_it_began_with(run, tmp_path):
    write_bookable(tmp_path)
    assert run("book", "one", "--workspace", tmp_path)[0] == 0
    asked = ("midway", "hat:one", "--workspace", tmp_path, "--done", "50%", "--left", "slate=3g", "--need")
    code, out, err = run(*asked, "motif")
    assert (code, out) == (2, "")
    assert err == (
        "lotwise: 5 g of slate are set aside for hat:one: is that what you began with?\n"
        "hint: say so: --began slate=5g; or what it was, the whole skein if you knit from one\n"
    )
    assert run(*asked, "main")[2] == (
        "lotwise: 5 g of slate are set aside for hat:one: how much of that did you begin this part with?\n"
        "hint: say it as its winding list does: --began slate=...; or what it was, the whole skein if you knit from "
        "one\n"
    )
    assert run(*asked, "main", "--began", "slate=5g")[1].startswith("Perhaps: ")


def test_what_is_set_aside_for_another_project_is_not_asked_about(run, tmp_path):
    write_bookable(tmp_path)
    assert run("book", "one", "cowl:one", "--workspace", tmp_path)[0] == 0
    asked = ("midway", "hat:one", "--workspace", tmp_path, "--need", "main", "--done", "50%", "--left", "slate=70g")
    assert run(*asked)[1].startswith("Yes: ")


@pytest.mark.parametrize(
    ("flags", "message"),
    [
        ({"--began": ["slate=9g"]}, "nothing says what is left of slate"),
        ({"--left": ["slate=3g"], "--began": ["slate=2g"]}, "slate cannot have more left (3g) than it began with (2g)"),
        ({"--left": ["slate=3g in 0 pieces"]}, "0 pieces cannot be"),
        ({**TWO, "--serves": ["dusk=motif"]}, "dusk is not among the lots on the needles"),
        ({**TWO, "--serves": ["cream=brim"]}, "there is no need called brim"),
        ({**TWO, "--serves": ["cream=main"]}, "stranded lots serve a need each"),
        ({"--left": ["slate=3g"], "--finished": ["collar"]}, "there is no part or need called collar"),
    ],
)
def test_what_does_not_fit_the_knitting_is_refused(flags, message):
    with pytest.raises(AskError) as refused:
        ask_midway(DEMO, "gannet-hat:adult", {"--need": "main", "--done": "50%", **flags})
    assert message in str(refused.value)
    assert refused.value.hint


def test_without_a_project_nothing_can_be_told():
    with pytest.raises(AskError, match="PROJECT is missing"):
        _ = Told(DEMO).asked
