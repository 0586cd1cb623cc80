"""Tags and the card as a real browser lays them out and prints them; skipped where there is none."""

import io
import re
import shutil
import subprocess
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from handmade import amount, make_lot, tiny_plan, tiny_workspace
from test_card import page_of as card_of
from test_report_file import hostile
from test_show_racklist import find, listed
from test_tags import LONG, aside, page_of, taking, with_lots

from planner.pages.grids import A4, GRIDS, LETTER
from planner.pages.page import write_page
from planner.pages.palettes import Way
from planner.pages.prep import prep_page
from planner.pages.report import report_page
from planner.pages.shades import Palette
from planner.pages.yarns import bands_of
from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from planner.prep.sheet import Tools, work_sheet
from planner.racklist.finds import FIBRES
from planner.racklist.listing import UnlockedBy
from stash.garment import Garment

playwright = pytest.importorskip("playwright.sync_api")
CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")
MM = 96 / 25.4  # px of CSS
PT = 72 / 25.4
pytestmark = [
    pytest.mark.skipif(CHROMIUM is None, reason="no browser on this machine"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]
SPILLS = """name => [...document.querySelectorAll(name)].filter(one => {
  const box = one.getBoundingClientRect();
  return box.width > 0 && (one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1);
}).map(one => one.textContent.slice(0, 60))"""
BOXES = """name => [...document.querySelectorAll(name)].map(one => {
  const box = one.getBoundingClientRect(); return [box.left, box.top, box.right, box.bottom]; })"""


@pytest.fixture(scope="module")
def browser():
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def shown(browser, tmp_path):
    """Open a page as it is on paper or on a screen so many px wide."""
    opened = []

    def show(text, *, wide=1200, media="print", scale=1, script=True):
        file = tmp_path / f"page-{len(opened)}.html"
        file.write_text(text, encoding="utf-8")
        context = browser.new_context(
            viewport={"width": wide, "height": 900}, device_scale_factor=scale, java_script_enabled=script
        )
        page = context.new_page()
        opened.append(context)
        page.complaints = []
        page.on("console", lambda told: page.complaints.append(told.text))
        page.on("request", lambda asked: page.complaints.append(asked.url) if asked.url != file.as_uri() else None)
        page.emulate_media(media=media)
        page.goto(file.as_uri())
        return page

    yield show
    for context in opened:
        context.close()


def pdf_of(page):
    """(width, height) in mm of each page that is printed."""
    data = page.pdf(prefer_css_page_size=True)
    pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", data))
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", data)
    assert len(boxes) == pages
    return [(float(wide) / PT, float(high) / PT) for wide, high in boxes]


def hard_stash():
    fibre = "40% wool, 30% polyamide, 20% alpaca, 10% elastane"
    lots = [make_lot("W" * 63 + str(n), "lightgoldenrodyellow", [(1118, 3)], fibre=fibre) for n in range(3)]
    lots = [
        replace(lot, skeins=(replace(lot.skeins[0], id=f"{letter * 63}1"),), felts=None, bleeds=None)
        for lot, letter in zip(lots, "Wmi", strict=True)
    ]
    short = make_lot("fog", "grey", [(20, 1)], fibre="50% wool, 30% unknown, 20% acrylic", bleeds=True)
    held = taking(LONG, 99_999, lot=lots[0].id, skein=lots[0].skeins[0].id)
    return aside(with_lots(*lots, short), held, replace(held, taking=replace(held.taking, project="hat")))


@pytest.mark.parametrize(("key", "grid"), GRIDS.items(), ids=["-".join(key) for key in GRIDS])
def test_printed_tags_tile_the_sheet_and_hold_their_words(shown, key, grid):
    page = shown(page_of(hard_stash(), grid=grid))
    assert page.evaluate(SPILLS, ".said, .tag, .sheet") == []
    boxes = page.evaluate(BOXES, ".tag")
    for place, (left, top, right, bottom) in enumerate(boxes):
        at = place % grid.across, place // grid.across
        expected = (at[0] * grid.width, at[1] * grid.height, (at[0] + 1) * grid.width, (at[1] + 1) * grid.height)
        # a browser lays out to 1/64 px, 0.004 mm, at every one of up to eight tags
        assert [left / MM, top / MM, right / MM, bottom / MM] == pytest.approx([float(x) for x in expected], abs=0.04)
    assert page.complaints == []


@pytest.mark.parametrize(("key", "grid"), GRIDS.items(), ids=["-".join(key) for key in GRIDS])
def test_a_pdf_has_one_page_a_sheet(shown, key, grid):
    lot = make_lot("fog", "grey", [(20, 1)] * (grid.tags + 1))
    pages = pdf_of(shown(page_of(with_lots(lot), grid=grid)))
    assert len(pages) == 2
    for wide, high in pages:
        assert (wide, high) == pytest.approx((float(grid.paper.width), float(grid.paper.height)), abs=0.3)


@pytest.mark.parametrize("size", ["small", "medium", "large"])
def test_codes_are_read_from_what_is_printed(shown, size):
    """ZXing's decoder, from the pixels of a sheet at 200 dots an inch."""
    zxingcpp, pillow = pytest.importorskip("zxingcpp"), pytest.importorskip("PIL.Image")
    page = shown(page_of(hard_stash(), grid=GRIDS["a4", size]), scale=200 / 96)
    drawn = np.array(pillow.open(io.BytesIO(page.locator(".sheet").first.screenshot())).convert("L"))
    read = {one.text for one in zxingcpp.read_barcodes(drawn)}
    assert read == {"W" * 63 + "1", "m" * 63 + "1", "i" * 63 + "1", "fog-1"}


LINES = """name => [...document.querySelectorAll(name)].map(one => {
  const range = document.createRange(); range.selectNodeContents(one);
  return [one.textContent, new Set([...range.getClientRects()].map(box => box.top)).size]; })"""
KEPT = """name => [...document.querySelectorAll(name)].map(one => getComputedStyle(one).breakInside)"""
CUT = """([name, around]) => [...document.querySelectorAll(name)].filter(one => {
  const box = one.getBoundingClientRect(), outer = one.closest(around).getBoundingClientRect();
  return box.left < outer.left || box.right > outer.right || box.top < outer.top || box.bottom > outer.bottom;
}).map(one => one.textContent)"""


@pytest.mark.parametrize("media", ["print", "screen"])
def test_letters_under_a_strip_are_not_cut(shown, media):
    page = shown(report_page(tiny_plan(), tiny_workspace(), "metric"), media=media)
    assert page.locator(".letters text").count() == 3
    assert page.evaluate(CUT, [".letters text", "svg"]) == []


def one_project(takes, parts):
    """A page of one project of so many balls for each of its parts."""
    runs = tuple(YarnRun({"fog": 1}, 7000, part, tuple(takes[at:until])) for part, (at, until) in parts.items())
    made = PlannedProject("skerry:M", "skerry", "M", (PlannedNeed("main", 7000 * len(parts), runs),))
    workspace = with_lots(make_lot("fog", "grey", [(3, 1)] * len(takes)))
    pattern = replace(workspace.patterns["skerry"], sizes={"M": {"main": dict.fromkeys(parts, amount(63))}})
    workspace = replace(workspace, patterns={"skerry": pattern})
    return report_page(replace(tiny_plan(), projects=(made,)), workspace, "metric")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="nothing that reads a PDF")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("balls", [12, 40])
def test_what_is_wound_for_one_stretch_stays_under_its_heading(shown, paper, balls):
    """As printed: of stretches longer than a page, too, every page begins with the heading of what is on it."""
    takes = [Take(1, "fog", f"fog-{at}", 1, 600) for at in range(1, 2 * balls + 4)]
    parts = {"body": (0, balls), "left sleeve": (balls, 2 * balls), "right sleeve": (2 * balls, len(takes))}
    page = shown(one_project(takes, parts))
    texts = words_of(page.pdf(format=paper))
    heading = re.compile(r"A main, (body|left sleeve|right sleeve): ")
    part_of = {f"fog-{at + 1}": part for part, (start, end) in parts.items() for at in range(start, end)}
    told, pages = {}, 0
    for text in texts:
        under, own = None, re.split(r"(A main, [a-z ]+: |fog-\d+\b)", text.partition("Is it enough? Yarn")[0])
        for word in own:
            if found := heading.match(word):
                under = found[1]
            elif word in part_of and " turns" in text:
                assert under == part_of[word]
                told[word] = under
        pages += under is not None
    assert told == part_of
    assert pages > 1


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="nothing that reads a PDF")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_skeins_stand_under_their_lot_and_letters_by_their_key(shown, paper):
    """As printed, wherever sheets end; and every table is told once what it is, on every sheet that it is on."""
    lots = [f"lot{at:02}" for at in range(16)]
    takes = {lot: Take(1, lot, f"{lot}-1", 1, 250) for lot in lots}
    runs = tuple(YarnRun({lot: 1}, 250, f"part {lot}", (take,)) for lot, take in takes.items())
    workspace = with_lots(*(make_lot(lot, "grey", [(3, 1)] * (2 + at % 4)) for at, lot in enumerate(lots)))
    sizes = {"M": {"main": {run.part: amount(2) for run in runs}}}
    workspace = replace(workspace, patterns={"skerry": replace(workspace.patterns["skerry"], sizes=sizes)})
    needs = [PlannedNeed("main", 250 * len(own), own) for own in (runs[:5], runs[5:9], runs[9:12], runs[12:], runs[:2])]
    made = tuple(PlannedProject(f"skerry{at}", "skerry", "M", (need,)) for at, need in enumerate(needs))
    page = shown(report_page(replace(tiny_plan(), projects=made), workspace, "metric"))
    texts = words_of(page.pdf(format=paper))
    under = [re.findall(r"(lot\d\d) grey", text) for text in texts]
    beside = [re.findall(r"(lot\d\d)-\d [\d.]+ m ", text) for text in texts]
    assert sorted({lot for found in beside for lot in found}) == lots
    assert all(set(skeins) <= set(headings) for headings, skeins in zip(under, beside, strict=True))
    assert sum(1 for found in beside if found) > 1
    strips = [text.count("a black-and-white photograph") for text in texts]
    assert strips == [len(re.findall(r"skerry\d · Each working yarn", text)) for text in texts]
    assert sum(strips) == len(made)
    told = [text.count("Tick off what is wound") for text in texts]
    assert told == [len(re.findall(r"skerry\d · Tick off what is wound", text)) for text in texts]


def words_of(data):
    """The words of each page of a PDF, as poppler reads them."""
    said = subprocess.run(["pdftotext", "-layout", "-", "-"], input=data, capture_output=True, check=True).stdout
    return [" ".join(text.split()) for text in said.decode().split("\f")]


def test_no_option_of_a_command_is_broken_off_its_dashes(shown):
    """A hand that copies "-" and, a line below, "-only" types what is no option."""
    bands = bands_of(tiny_plan().projects[0], tiny_workspace().stash, Palette(), "metric").bands
    way = Way(
        1, "M", "most yarn used", bands, (), (), "lotwise plan gannet-hat:adult --only main=cream --only motif=navy"
    )
    page = shown(write_page("options.html", "x", Palette(), name="x", project="x", summary="x", ways=[way]), wide=320)
    for wide in range(320, 480, 8):
        page.set_viewport_size({"width": wide, "height": 900})
        assert page.evaluate(LINES, ".word") == [[word, 1] for word in way.command.split()]


def test_what_is_read_together_stays_on_one_sheet(shown):
    """How to wind with the list that is wound from, and a step of the work with what to mind in it."""
    page = shown(report_page(tiny_plan(), tiny_workspace(), "metric"))
    assert page.evaluate(KEPT, ".together, .mind, tr, figure")
    assert set(page.evaluate(KEPT, ".together, .mind, tr, figure")) == {"avoid"}
    after = "name => [...document.querySelectorAll(name)].map(one => getComputedStyle(one).breakBefore)"
    assert page.evaluate(after, ".enough") == ["avoid"]  # with its last picture
    assert page.evaluate(after, ".key, .enough") == ["avoid"] * page.locator(".key, .enough").count()
    page = shown(prep_page(work_sheet(Garment(), None, Tools(), None, "metric")))
    assert page.evaluate(KEPT, ".steps > li, section.on") == ["avoid"] * 9


@pytest.mark.parametrize("wide", [320, 800])
def test_no_page_is_wider_than_a_phone(shown, wide):
    workspace, plan = hostile("W" * 63, tiny_workspace(), tiny_plan())
    for text in (page_of(hard_stash()), card_of(hard_list()), report_page(plan, workspace, "metric")):
        page = shown(text, wide=wide, media="screen")
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        page.evaluate(
            "document.querySelectorAll('section').forEach(one => { one.style.contentVisibility = 'visible'; })"
        )
        assert page.evaluate("document.documentElement.scrollWidth") <= wide
        assert page.complaints == []


TOLD = """() => [...document.querySelectorAll("main table")].flatMap(table => {
  const heads = [...table.tHead.rows].at(-1).cells;
  return [...table.querySelectorAll("td")].map(one => [
    heads[one.cellIndex].textContent, getComputedStyle(one, "::before").content, getComputedStyle(one).textAlign]);
})"""


def test_on_a_phone_every_figure_stands_beside_the_words_of_its_heading(shown):
    page = shown(report_page(tiny_plan(), tiny_workspace(), "metric"), wide=320, media="screen")
    page.evaluate("document.querySelectorAll('section').forEach(one => { one.style.contentVisibility = 'visible'; })")
    told = page.evaluate(TOLD)
    assert {head for head, _, _ in told} >= {"done", "lot", "wind off", "counted on", "lightness", "beside the others"}
    assert [said for _, said, _ in told] == [f'"{head} "' for head, _, _ in told]
    assert {side for _, _, side in told} == {"start"}
    page.set_viewport_size({"width": 1200, "height": 900})
    wide = page.evaluate(TOLD)
    assert {said for _, said, _ in wide} == {"none"}
    assert {head for head, _, side in wide if side == "end"} >= {"wind off", "turns", "planned", "mass"}
    assert {head for head, _, side in wide if side == "start"} >= {"lot", "skein", "need", "colour"}


def hard_list():
    """As many finds as a list has, each as wordy as one can be."""

    def one(number, lightness):
        made = find(500 + number, lightness=lightness, cut=700)
        rows = tuple(UnlockedBy(f"{LONG[:-1]}{n}:M", "M", ("main", "left sleeve"), ("main",), 300) for n in range(5))
        reach = replace(made.latitude, counts=(Fraction(60), Fraction(600)), fibres=FIBRES[:8])
        return replace(made, unlocks=rows, at_once=3, latitude=reach)

    finds = [one(*both) for both in enumerate((None, (45, 95), (0, 100), None, (20, 60)))]
    return listed(*finds, left_off=("a" * 64,) * 3, no_find=("b" * 64,) * 9, whole=False)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["a4", "letter"])
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_card_fits_its_eight_panels_and_one_page(shown, paper, units):
    page = shown(card_of(hard_list(), paper, units))
    assert page.evaluate(SPILLS, ".panel, .card") == []
    wide, high = float(paper.height) / 4, float(paper.width) / 2
    for place, (left, top, right, bottom) in enumerate(page.evaluate(BOXES, ".panel")):
        across, down = place % 4, place // 4
        expected = [across * wide, down * high, (across + 1) * wide, (down + 1) * high]
        assert [left / MM, top / MM, right / MM, bottom / MM] == pytest.approx(expected, abs=0.04)
    (sides,) = pdf_of(page)
    assert sides == pytest.approx((float(paper.height), float(paper.width)), abs=0.3)


def test_the_calculator_runs_under_the_policy_and_is_hidden_without_script(shown):
    page = shown(card_of(), wide=320, media="screen")
    page.fill("#r-mass", "486")
    page.fill("#r-stitches", "22")
    page.fill("#r-rows", "30")
    assert re.fullmatch(r"Be sure of \d+ m; best guess \d+ m\. Yarn like sport\.", page.inner_text("#reckoned"))
    assert page.complaints == []
    without = shown(card_of(), wide=320, media="screen", script=False)
    assert not without.locator("#reckoner").is_visible()
    assert without.locator(".grams").is_visible()


def test_a_tag_on_a_screen_is_for_the_eye_as_well(shown):
    page = shown(page_of(tiny_workspace()), wide=320, media="screen")
    assert page.locator(".tag").count() == 4
    assert not page.locator(".marks").first.is_visible()
