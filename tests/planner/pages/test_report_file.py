"""The page of a plan as a file: well-formed, the same each time, and nothing in a name does anything."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from paging import every, local, parsed, text_of

from patterns.needs import Amount
from planner.pages.report import report_page
from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from stash.lots import Stash

ROOT = Path(__file__).parents[3]


def test_the_page_is_html_and_xml_without_an_error(shown):
    html5lib = pytest.importorskip("html5lib")
    html5lib.HTMLParser(strict=True).parse(shown.page)
    assert local(shown.root) == "html"


def test_every_id_is_there_once_and_everything_pointed_at_is_there(shown):
    ids = [one.get("id") for one in shown.root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    for one in shown.root.iter():
        for name in ("aria-labelledby", "aria-describedby"):
            assert set(one.get(name, "").split()) <= set(ids)
        if one.get("href"):
            assert one.get("href")[1:] in ids
        for used in re.findall(r"url\(#([^)]+)\)", one.get("fill", "")):
            assert used in ids


def test_every_picture_that_says_something_has_a_title_and_a_description(shown):
    for picture in every(shown.root, "svg"):
        if picture.get("aria-hidden") == "true":
            continue
        assert picture.get("role") == "img"
        assert text_of(every(picture, "title")[0])
        if picture.get("class"):  # a chart is told row by row below
            assert text_of(every(picture, "desc")[0])


def test_colours_are_codes_and_nothing_else(shown):
    allowed = re.compile(r"none|#[0-9a-f]{6}|url\(#yarn-([0-9a-f]{6})\) #\1")
    for one in shown.root.iter():
        for name in ("fill", "stroke"):
            assert allowed.fullmatch(one.get(name, "none")), one.attrib
        assert one.get("style") is None


def test_every_colour_has_its_name_and_code_beside_it(shown):
    for one in every(shown.root, "span"):
        if one.get("class") == "colour":
            assert re.search(r"[a-z]+ #[0-9a-f]{6}$", text_of(one))


def test_the_page_asks_nothing_of_the_network_and_runs_nothing(shown):
    names = {local(one) for one in shown.root.iter()}
    assert not names & {"script", "link", "img", "image", "iframe", "object", "embed", "form", "use", "foreignObject"}
    urls = set(re.findall(r"\w+://[^\"' <]+", shown.page))
    assert urls == {"http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg"}  # names, fetched by nobody
    assert not [name for one in shown.root.iter() for name in one.attrib if name.startswith("on") or name == "src"]


def test_the_page_knows_no_time_and_no_order_by_chance(shown):
    program = (
        "import hashlib, sys; from fractions import Fraction; from pathlib import Path\n"
        "from planner.asking import ask; from planner.folders import Question, planned\n"
        "from planner.pages.report import report_page; from planner.workspace import load_workspace\n"
        "w = load_workspace(Path(sys.argv[1])); p = ask(w, ('gannet-hat', 'lantern-cowl'), every_size=False)\n"
        "found = planned(Question(w, p, w.projects.confidence, 'grams', None, Fraction(0), None), None)\n"
        "print(hashlib.sha256(report_page(found.plan, w, 'metric').encode()).hexdigest())\n"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", program, str(ROOT / "planner" / "demo")],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(said) == 1


def hostile(text, workspace, plan):
    """The same with every name that somebody wrote replaced."""
    lots = {text: replace(workspace.stash.lots["navy"], id=text), "cream": workspace.stash.lots["cream"]}
    skeins = tuple(replace(one, id=f"{text}{at}") for at, one in enumerate(lots[text].skeins))
    lots[text] = replace(lots[text], skeins=skeins)
    pattern = workspace.patterns["skerry"]
    need = replace(pattern.needs["main"], name=text)
    sizes = {text: {text: {text: Amount(Fraction(100), 0.05)}}}
    pattern = replace(pattern, id="skerry", name=text, needs={text: need}, sizes=sizes)
    run = YarnRun({text: 1}, 11000, text, (Take(1, text, f"{text}0", 1, 11030),))
    project = PlannedProject(text, "skerry", text, (PlannedNeed(text, 11000, (run,)),))
    missed = PlannedProject(f"{text}2", "skerry", None, ())
    workspace = replace(workspace, stash=Stash({}, lots), patterns={"skerry": pattern})
    return workspace, replace(plan, projects=(project, missed))


@pytest.mark.parametrize(
    "text", ["<script>alert(1)</script>", '" onload="x', "{{ 7*7 }}{% raw %}", "\u05d0\u05d1 \u202etxt", "]]>&amp;<!--"]
)
def test_whatever_a_name_holds_it_stays_a_name(workspace, plan, text):
    page = report_page(
        plan=hostile(text, workspace, plan)[1],
        workspace=hostile(text, workspace, plan)[0],
        units="metric",
        instead=[text],
    )
    root = parsed(page)
    assert not every(root, "script")
    assert text.replace("\u202e", "\\u202e") in "".join(root.itertext())
    assert not [name for one in root.iter() for name in one.attrib if name.startswith("on")]
