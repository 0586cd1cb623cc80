"""Cover, shortfall, lots and refusals as text and as documents."""

import json
import math
from dataclasses import replace
from fractions import Fraction
from statistics import NormalDist

import pytest
from handmade import SURE, make_lot

from planner.answers import CoverRow
from planner.show.cover import best_verdicts, cover_text
from planner.show.documents import cover_document, error_document, lots_document, shortfall_document, write
from planner.show.lots import lot_row, lots_text
from planner.show.shortfall import FIND_CAUTION, shortfall_text
from planner.show.swatches import Screen
from planner.show.tables import display_width, fold
from stash.faults import Fault, Place
from stash.lots import Stash


def test_cover_answers_first_then_a_line_for_each_project_and_size(cover_rows):
    assert cover_text(cover_rows, Screen()).splitlines() == [
        "There is enough for 1 of 3 projects (1 tight and 1 short). Each is asked alone,",
        "against everything you have.",
        "",
        "project   size  verdict  from, or what is missing",
        "skerry:M  M     enough   main: navy and cream held double",
        "skerry:S  S     short    main: 43.3 m missing beside ochre; motif: all 55.0 m",
        "                         missing",
        "hat       one   tight    by best guess only; main: 0.3 m missing beside ochre",
        "",
        "enough: from yarn that would do; there may be other choices.",
        "tight: only with the best guess of every length and no reserve; measure again",
        "  before you cast on.",
        "short: `lotwise shortfall PROJECT` says what to look for and what to change.",
    ]


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        (["short", "enough"], "enough"),
        (["short", "tight"], "tight"),
        (["short", "undecided"], "undecided"),
        (["short", "short"], "short"),
    ],
)
def test_a_project_is_as_good_as_its_best_size(verdicts, expected):
    rows = [CoverRow("hat", "hat", str(i), verdict, ()) for i, verdict in enumerate(verdicts)]
    assert best_verdicts(rows) == {"hat": expected}


def test_the_cover_document_has_its_keys(cover_rows, workspace):
    document = json.loads(write(cover_document(cover_rows, SURE, workspace.stash)))
    assert next(iter(document)) == "format"
    assert document["format"] == "lotwise/cover-1"
    assert document["projects"][1] == {
        "project": "skerry:S",
        "pattern": "skerry",
        "size": "S",
        "verdict": "short",
        "needs": [
            {
                "need": "main",
                "need_m": 150.0,
                "with_reserve_m": 165.0,
                "short_m": 43.21,
                "yarns": [{"lots": {"ochre": 1}, "length_m": 121.79}],
            },
            {"need": "motif", "need_m": 50.0, "with_reserve_m": 55.0, "short_m": 55.0, "yarns": []},
        ],
        "warnings": [],
    }
    assert document["projects"][0]["warnings"][0].startswith("wash-test first: navy")


def test_shortfall_says_what_is_missing_what_to_look_for_and_what_to_change(shortfalls):
    assert shortfall_text(shortfalls, Screen()).splitlines() == [
        "1 of 2 projects cannot be counted on with what you have.",
        "",
        "skerry:S, size S: short by 43.3 m beyond what you have.",
        "  main: 43.3 m missing; replace: one lot has to do it all",
        "    Look for 165.0 m (81 g) at 190 to 273 m/100g as wool; fibre: at least 50 %",
        "      wool; colour (darkgoldenrod): any; or a garment of 95 g or more to unravel",
        "    Near, but not for this:",
        "      - cream: too thin: 410 m/100g where 190 to 273 is asked; it felts and navy",
        "        does not",
        "  What would help instead:",
        "    - hold cream double: enough",
        "",
        "Enough, each on its own: skerry:M. If a plan leaves one out, another project has",
        "  its yarn.",
        "",
        *fold(FIND_CAUTION).splitlines(),
    ]


def test_nothing_missing_is_said_in_a_line(shortfalls):
    assert shortfall_text(shortfalls[1:], Screen()).splitlines()[0] == (
        "Nothing is missing: 1 project asked, each enough on its own. If a plan leaves"
    )


def test_the_shortfall_document_has_its_keys(shortfalls):
    document = json.loads(write(shortfall_document(shortfalls, SURE)))
    assert next(iter(document)) == "format"
    assert document["format"] == "lotwise/shortfall-1"
    project = document["projects"][0]
    assert (project["project"], project["size"], project["verdict"]) == ("skerry:S", "S", "short")
    assert project["needs"][0] == {
        "need": "main",
        "short_m": 43.21,
        "kind": "replace",
        "look_for": {
            "length_m": 165.0,
            "mass_g": 80.2,
            "m_per_100g": [190.0, 273.0],
            "fibre": "at least 50 % wool",
            "colour": "any",
            "donor_mass_g": 94.4,
        },
        "refused": [
            {
                "lot": "cream",
                "reasons": ["too thin: 410 m/100g where 190 to 273 is asked", "it felts and navy does not"],
            }
        ],
        "notes": [],
    }
    assert project["needs"][1]["kind"] is None
    assert project["needs"][1]["look_for"] is None
    assert project["changes"] == [
        {"change": "hold cream double", "verdict": "enough", "file": None, "write": [], "chance_short": None}
    ]
    assert project["why"] is None


def test_lots_show_length_and_mass_with_their_interval(workspace):
    document = lots_document(workspace.owned, workspace.stash, SURE)
    cream = document["lots"][0]
    z = NormalDist().inv_cdf(0.95)
    spread = z * math.hypot(0.03, 1 / math.sqrt(12) / 240)
    assert cream["lot"] == "cream"
    assert cream["length_m"] == pytest.approx(552.0)
    assert cream["length_low_m"] == math.floor(55200 * (1 - spread)) / 100
    assert cream["length_high_m"] == pytest.approx(552 * (1 + spread), abs=1e-6)
    assert cream["mass_error_g"] == pytest.approx(z / math.sqrt(12), abs=1e-6)
    assert cream["free_m"] == cream["length_low_m"]
    assert cream["set_aside_m"] == 0.0
    assert cream["colour"] == "#efe6d0"


def test_masses_reckoned_from_lengths_share_the_error_of_the_count():
    # two skeins of 230 m at 230 m/100g +/- 3 %: 100 g each, whose errors by the count add up to 6 g; 1.12 % of each
    # length is its own (law of propagation, JCGM 100, 5.2)
    lot = make_lot("cream", "#efe6d0", [(100, 1), (100, 1)])
    lot = replace(lot, skeins=tuple(replace(one, mass_g=None, length_m=Fraction(230)) for one in lot.skeins))
    error = lot_row(lot, SURE).mass_error_g
    assert error == pytest.approx(NormalDist().inv_cdf(0.95) * math.hypot(6, 1.12 * math.sqrt(2)), rel=1e-9)


def test_a_line_for_each_lot(workspace):
    lines = lots_text(workspace.owned, workspace.stash, SURE, Screen()).splitlines()
    assert lines[2].split() == ["colour", "lot", "class", "m/100g", "length", "mass", "skeins", "free"]
    # by thickness a blend of 80 % wool and 20 % polyamide is 230 x 1.275/1.31 = 224 m/100g as wool: class 3
    assert lines[4].split() == ["#1c2340", "navy", "3", "230", "468-517", "m", "214±0.7", "g", "2", "468", "m"]
    assert max(map(display_width, lines)) <= 80


def test_long_names_are_folded_into_the_width(workspace):
    lot = replace(workspace.stash.lots["navy"], id="n" * 64)
    text = lots_text(Stash({}, {lot.id: lot}), Stash({}, {lot.id: lot}), SURE, Screen())
    assert max(map(display_width, text.splitlines())) <= 80
    assert text.replace("\n", "").count("n" * 10) > 0


def test_faults_are_listed_in_the_error_document():
    fault = Fault(Place("stash/blue.yaml", 14, 12), "no unit", "write 118 g", "  slate-1: 118")
    document = json.loads(write(error_document("there are faults in the files", "put them right", (fault,))))
    assert document == {
        "format": "lotwise/error-1",
        "message": "there are faults in the files",
        "hint": "put them right",
        "faults": [
            {
                "file": "stash/blue.yaml",
                "line": 14,
                "column": 12,
                "message": "no unit",
                "hint": "write 118 g",
                "warning": False,
            }
        ],
    }
