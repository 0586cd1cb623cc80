"""The card for the rack: what it says, that it folds, and that its calculator says what `rack` says."""

import base64
import hashlib
import json
import random
import re
from dataclasses import replace
from fractions import Fraction
from html import unescape

import pytest
from paging import every, parsed, small_folder, text_of, with_id
from test_show_racklist import find, listed

from planner.commands import card as commands
from planner.pages.card import card_page
from planner.pages.grids import A4, LETTER
from planner.pages.reckoner import MASSES, constants, fibres, gauge_rows
from planner.rack.asking import QUESTIONS, garment_of
from planner.racklist.listing import UnlockedBy
from planner.show.racklist import rack_list_text
from planner.show.swatches import Screen
from stash.fabric import Gauge
from stash.garment import Garment
from stash.reclaiming import Z90, reclaim
from stash.units import YARD_M

SURE = Fraction(95, 100)
DRAWN = 200


def page_of(found=None, paper=A4, units="metric"):
    return card_page(found or listed(find()), SURE, paper, units)


def script_of(page):
    return page.partition("<script>")[2].partition("</script>")[0]


def seen_on(root, name):
    """Elements of a class."""
    return [one for one in root.iter() if name in (one.get("class") or "").split()]


# A page as far as the script asks one: elements by id, whose value may be set and whose listeners may be called.
STANDING_IN = """
var made = {};
var document = { getElementById: function (id) {
  if (!made[id]) {
    made[id] = { value: "", hidden: true, textContent: "", heard: {},
      addEventListener: function (name, listener) { this.heard[name] = listener; } };
  }
  return made[id];
} };
"""
ASKED = """
dukpy.asked.map(function (one) {
  Object.keys(one).forEach(function (id) { made[id].value = one[id]; });
  made.reckoner.heard.input();
  return made.reckoned.textContent;
});
"""


def told(page, asked):
    """What the very script of the page says to each of these, in an engine that runs it."""
    dukpy = pytest.importorskip("dukpy")
    start = {"r-mass": "", "r-stitches": "", "r-rows": "", "r-seams": "0", "r-fibre": "1.31"}
    fill = "".join(f"document.getElementById({json.dumps(i)}).value = {json.dumps(v)};" for i, v in start.items())
    return dukpy.evaljs([STANDING_IN, fill, script_of(page), ASKED], asked=asked)


def drawn(seed):
    """A garment as a person may type it, and the flags of `rack` that say the same."""
    chance = random.Random(seed)
    name, density = chance.choice(fibres())
    seams = chance.randrange(3)
    mass, stitches = chance.randint(60, 1500), chance.randint(20, 90) / 2
    rows = chance.choice(["", f"{stitches * chance.uniform(1.1, 1.6):.1f}"])
    typed = {"r-mass": str(mass), "r-stitches": f"{stitches:g}", "r-rows": rows, "r-seams": str(seams)}
    flags = ["--mass", f"{mass} g", "--stitches", f"{stitches:g}", "--fibre", name]
    flags += (["--rows", rows] if rows else []) + (["--seams", ("linked", "cut")[seams]] if seams < 2 else [])
    return typed | {"r-fibre": str(density)}, flags


def test_the_calculator_says_what_rack_says(run, tmp_path, monkeypatch):
    """Two programs in two languages: `lotwise rack --json`, and the script of the page, run by Duktape."""
    monkeypatch.chdir(tmp_path)
    each = [drawn(seed) for seed in range(DRAWN)]
    for (_, flags), said in zip(each, told(page_of(), [typed for typed, _ in each]), strict=True):
        code, out, _ = run("rack", *flags, "--json")
        assert code == 0
        document = json.loads(out)
        sure, best = (float(one) for one in re.findall(r"(\d+) m[;.]", said))
        assert sure == pytest.approx(document["length"]["low_m"], abs=0.501), flags
        assert best == pytest.approx(document["length"]["best_m"], abs=0.501), flags
        held = next(one for one in document["yarn"] if one["held"] == "as it is")
        number = next(place for place, name in enumerate(NAMES) if f"Yarn like {name}." in said)
        assert number == held["class"], flags


NAMES = ("lace", "fingering", "sport", "dk", "aran", "bulky", "super bulky", "jumbo")


def test_the_calculator_takes_ounces_and_gives_yards_where_they_are_asked():
    (said,) = told(page_of(units="imperial"), [{"r-mass": "16", "r-stitches": "22", "r-rows": "30"}])
    garment = Garment(mass_g=16 * Fraction("28.349523125"), gauge=Gauge(Fraction(22, 10), Fraction(3)), seams="linked")
    best = reclaim(garment).length_m.best / float(YARD_M)
    assert f"best guess {best:.0f} yd" in said


def test_the_calculator_takes_a_comma_and_asks_for_what_is_missing():
    missing, comma, point = told(
        page_of(),
        [{"r-mass": "486"}, {"r-mass": "486", "r-stitches": "22,5"}, {"r-mass": "486", "r-stitches": "22.5"}],
    )
    assert missing == "Fill in what it weighs, and the stitches in 10 cm."
    assert comma == point != missing


def test_the_calculator_is_hidden_until_its_script_runs_and_the_table_is_there_without():
    root = parsed(page_of())
    form = with_id(root, "reckoner")
    assert form.get("hidden") == "hidden"
    assert "form.hidden = false;" in script_of(page_of())
    (table,) = seen_on(root, "grams")
    assert table not in list(form.iter())
    assert len(every(table, "tr")) > 3


def test_the_policy_allows_this_style_and_this_script_and_nothing_else():
    """The hashes are of the bytes between the tags (W3C Content Security Policy 3, 6.7.3.3)."""
    page = page_of()
    (said,) = [one.get("content") for one in every(parsed(page), "meta") if one.get("http-equiv")]
    style = page.partition("<style>")[2].partition("</style>")[0]
    by_hash = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in (style, script_of(page))]
    assert said == (
        f"default-src 'none'; style-src 'sha256-{by_hash[0]}'; script-src 'sha256-{by_hash[1]}'; "
        "base-uri 'none'; form-action 'none'"
    )
    assert page.count("<script") == 1


def test_the_script_asks_nothing_of_the_network_nor_of_what_it_could_harm():
    script = script_of(page_of())
    assert not re.search(r"fetch|XMLHttp|import|WebSocket|innerHTML|eval|localStorage|cookie|https?:", script)


def test_a_card_is_html_without_an_error_and_asks_nothing_of_the_network():
    """html5lib is the standard's own parsing algorithm (WHATWG HTML, 13.2)."""
    html5lib = pytest.importorskip("html5lib")
    page = page_of()
    html5lib.HTMLParser(strict=True).parse(page)
    assert re.findall(r"(?:https?:)?//[\w.]+[^\"' <]*", page) == ["http://www.w3.org/1999/xhtml"]
    assert not re.findall(r"url\((?!#)", page)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_table_is_what_rack_reckons(units):
    for row in gauge_rows({"dk", "aran"}, units):
        for (_, grams), (low, best) in zip(MASSES[units], row.lengths, strict=True):
            answers = {question.flag: None for question in QUESTIONS} | {"--stitches": Fraction(row.stitches)}
            garment = garment_of(answers | {"--seams": "linked"}, Garment(mass_g=grams))
            length = reclaim(garment).length_m
            one = 1 if units == "metric" else float(YARD_M)
            assert float(low.split()[0]) == pytest.approx(length.interval(Z90)[0] / one, abs=0.5)
            assert float(best.split()[0]) == pytest.approx(length.best / one, abs=0.5)


def test_the_table_holds_the_wanted_classes_and_no_others():
    assert {row.weight_class for row in gauge_rows({"dk", "aran"}, "metric")} == {"dk", "aran"}
    every_class = gauge_rows(set(NAMES), "metric")
    assert len(every_class) <= 9
    assert [row.stitches for row in every_class] == sorted(row.stitches for row in every_class)
    assert gauge_rows((), "metric") == ()


def test_a_card_says_of_every_find_what_the_list_says():
    found = listed(find(120), find(300, lightness=(45, 95), cut=420))
    root = parsed(page_of(found))
    first, second = seen_on(root, "find")
    said = [text_of(first), text_of(second)]
    assert "1. blue (#2f6f8f)" in said[0]
    assert "may be off by 6; 190 to 273 m/100g as wool" in said[0]
    assert "120 m wound, or 76 g of yarn" in said[0]
    assert "aran90 gno" in said[0].replace(" ", "").replace("90g", "90 g")
    assert "any hue between these" in said[1]
    assert "as dark as #6a6a6a" in said[1]
    listing = " ".join(rack_list_text(found, SURE, Screen()).split())
    for grams in re.findall(r"\d+ g", said[0]):
        assert grams in listing
    assert "wool or cotton" in said[0]


def test_any_colour_is_told_without_a_swatch():
    (one,) = seen_on(parsed(page_of(listed(find(lightness=(0, 100))))), "find")
    assert "any colour; 190 to 273" in text_of(one)
    assert not seen_on(one, "wool")


def test_a_colour_that_must_be_hit_is_told_so():
    (one,) = seen_on(parsed(page_of(listed(find(off=0)))), "find")
    assert "hardly any other; 190" in text_of(one)


def test_paper_has_eight_panels_and_no_find_that_the_phone_lacks():
    found = listed(*[find(100 + 10 * number, projects=4) for number in range(5)])
    root = parsed(page_of(found))
    assert len(seen_on(root, "panel")) == 8
    finds = seen_on(root, "find")
    assert len(finds) == 5
    assert ["screen" in one.get("class").split() for one in finds] == [False] * 3 + [True] * 2
    (short,) = [one for one in seen_on(root, "short") if one.tag.endswith("ul")]
    assert len(every(short, "li")) == 5
    rows = [text_of(one) for one in every(seen_on(finds[0], "unlocks")[0], "li")]
    assert len(rows) == 5
    assert rows[-1] == "and 2 more"


def test_names_are_whole_on_a_phone_and_short_on_paper():
    name = "W" * 60
    one = find()
    one = replace(one, unlocks=(UnlockedBy(f"{name}:M", "M", ("main",), (), 120),))
    (shown,) = seen_on(parsed(page_of(listed(one))), "find")
    (row,) = every(seen_on(shown, "unlocks")[0], "li")
    on_screen, on_paper = every(row, "span")
    assert (on_screen.get("class"), on_paper.get("class")) == ("screen", "paper")
    assert name in text_of(on_screen)
    assert len(text_of(on_paper)) < 40


def test_labels_to_look_for_are_those_the_finds_take():
    root = parsed(page_of())
    (look,) = seen_on(root, "look")
    assert [text_of(one) for one in every(look, "li")] == ["wool (lambswool, merino, shetland)", "cotton"]
    panel = text_of(next(one for one in seen_on(root, "panel") if one.get("aria-labelledby") == "label-h"))
    assert "No use for these finds: superwash wool; acrylic;" in panel


def test_most_labels_are_told_by_those_that_will_not_do():
    one = find()
    most = tuple(name for name, _ in fibres() if name != "viscose")
    one = replace(one, latitude=replace(one.latitude, fibres=most))
    (shown,) = seen_on(parsed(page_of(listed(one))), "find")
    assert "common labels, but not viscose" in text_of(shown)


@pytest.mark.parametrize("asked", [0, 9])
def test_without_a_find_there_is_room_to_write_and_the_rest_stands(asked):
    root = parsed(page_of(listed(asked=asked, short=0, no_find=())))
    assert not seen_on(root, "find")
    assert len(seen_on(root, "bare")) == 3
    assert text_of(seen_on(root, "panel")[0]).startswith("For the rackIn short Nothing ")
    assert {row.weight_class for row in gauge_rows({"dk"}, "metric")} == {"dk"}
    assert len(every(seen_on(root, "grams")[0], "tr")) == 1 + 5


@pytest.mark.parametrize(("paper", "wide", "high"), [(A4, 297, 210), (LETTER, 279.4, 215.9)])
def test_folds_are_marked_where_eight_panels_meet(paper, wide, high):
    """ISO 216: an eighth of A4 is A7, 74 x 105 mm, to the millimetre below."""
    page = page_of(paper=paper)
    (folds,) = seen_on(parsed(page), "folds")
    (svg,) = every(folds, "svg")
    assert [float(one) for one in svg.get("viewBox").split()] == [0, 0, wide, high]
    drawn_at = " ".join(one.get("d") for one in every(svg, "path"))
    starts = {(float(x), float(y)) for x, y in re.findall(r"M([\d.]+) ([\d.]+)", drawn_at)}
    assert {(round(wide * at / 4, 4), 0) for at in (1, 2, 3)} <= starts
    assert {(0, round(high / 2, 4)), (wide - 7, round(high / 2, 4))} <= starts
    assert f"@page{{size:{wide:g}mm {high:g}mm;margin:0" in page
    assert "grid-template-columns:repeat(4,minmax(0,1fr));grid-template-rows:repeat(2,minmax(0,1fr))" in page


def test_paper_has_no_letter_under_nine_points():
    style = page_of().partition("<style>")[2].partition("</style>")[0]
    card = style[style.rindex("@media print{") :]
    sizes = [float(size) for size in re.findall(r"font(?:-size)?:([\d.]+)pt", card)]
    assert sizes
    assert min(sizes) >= 9


def test_every_field_has_a_label_and_both_seams_have_words():
    root = parsed(page_of())
    labels = {one.get("for") for one in every(root, "label")}
    assert {one.get("id") for one in (*every(root, "input"), *every(root, "select"))} == labels
    pictures = seen_on(root, "seam-picture")
    assert len(pictures) == 2
    for one in pictures:
        assert one.get("role") == "img"
        assert [text_of(with_id(root, name)) for name in one.get("aria-labelledby").split()][1]
    assert not re.search(r"#[0-9a-f]{3,6}", unescape(str([dict(one.attrib) for one in pictures[0].iter()])))


def test_cautions_stand_where_they_are_needed():
    words = text_of(parsed(page_of()))
    for caution in ("Moth eggs:", "Mould: a musty smell or spots: leave it.", "with a mask", "Blade away from you"):
        assert caution in words


def test_the_same_list_gives_the_same_bytes():
    assert page_of() == page_of()


def test_the_calculators_figures_are_those_of_rack():
    assert constants("metric")["z"] == Z90
    assert constants("imperial")["length_unit"] == "yd"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return small_folder(tmp_path, 300)


def test_the_command_writes_one_new_file_and_says_so(run, folder):
    code, out, _ = run("card")
    assert (code, out) == (0, "card.html was written. Open it on a phone, or print it at 100 % and fold it.\n")
    root = parsed((folder / "card.html").read_text(encoding="utf-8"))
    assert "hat:one (main" in text_of(seen_on(root, "find")[0])
    code, out, err = run("card")
    assert (code, out) == (2, "")
    assert "try --out card-2.html" in err


def test_a_rehearsal_writes_nothing_and_the_document_names_the_file(run, folder):
    assert run("card", "--dry-run")[0] == 0
    assert not (folder / "card.html").exists()
    code, out, _ = run("card", "hat", "--json", "--paper", "letter", "--out", "c.html")
    assert code == 0
    assert json.loads(out) == {"format": "lotwise/card-1", "file": "c.html", "finds": 1}
    assert commands.PaperName.LETTER.value == "letter"
