"""Pages stand alone, harm nobody, and can be read in any light."""

import base64
import hashlib
import re
import shutil
import sys
from importlib import resources
from itertools import pairwise

import pytest
from jinja2 import DictLoader, Environment, UndefinedError
from paging import contrast, every, parsed, text_of

from planner.pages import page as pages
from planner.pages.page import CompiledTemplates, environment, percent, visible, write_page
from planner.pages.shades import Palette, Shade, shade_of
from planner.pages.strips import apart, letter, spans
from stash.colour import colour_from_lab, read_colour

STYLE = environment().get_template("style.css").render()
HOSTILE = "</style><script>alert(1)</script>\" onload='x' {{ 7*7 }} \u202eback\x07\uffff & <b>"


def words_page(words, palette=None):
    """A page of our own that says some words: a title, a paragraph, and a swatch of every shade."""
    made = environment().from_string(
        '{% extends "base.html" %}{% import "parts.html" as parts %}{% block page %}<p id="said" title="{{ words }}">'
        "{{ parts.own(words) }}</p>{% for one in shades %}{{ parts.colour(one) }}{% endfor %}{% endblock %}"
    )
    palette = palette or Palette()
    return made.render(title=words, words=words, shades=palette.shades, style=pages._style(), policy=pages._policy())


def test_what_somebody_wrote_stays_text():
    root = parsed(words_page(HOSTILE))
    assert not every(root, "script")
    assert not every(root, "b")
    seen = "".join(every(root, "p")[0].itertext())
    assert seen == "</style><script>alert(1)</script>\" onload='x' {{ 7*7 }} \\u202eback\\x07\\uffff & <b>"
    assert not any(name.startswith("on") for one in root.iter() for name in one.attrib)


def test_a_number_stays_on_one_line_with_its_unit():
    said = "254.7 g of 43 m/100g, 5 % and L* 92 at -20 C or 20 °C; 3 goes, 2 m; 10 min"
    root = parsed(words_page(said))
    kept = (
        "254.7\u00a0g of 43\u00a0m/100g, 5\u00a0% and L*\u00a092 at -20\u00a0C or 20\u00a0°C; 3 goes, 2\u00a0m; 10 min"
    )
    assert "".join(every(root, "p")[0].itertext()) == kept


def test_a_page_is_html_without_an_error():
    """html5lib is the standard's own parsing algorithm (WHATWG HTML, 13.2)."""
    html5lib = pytest.importorskip("html5lib")
    strict = html5lib.HTMLParser(strict=True)
    strict.parse(words_page("Skerry"))


def test_a_page_asks_nothing_of_the_network():
    page = words_page("Skerry")
    assert re.findall(r"(?:https?:)?//[\w.]+[^\"' <]*", page) == ["http://www.w3.org/1999/xhtml"]
    root = parsed(page)
    assert not [one for one in root.iter() for name in one.attrib if name in {"src", "srcset", "action", "style"}]
    assert "@import" not in page
    assert not re.findall(r"url\((?!#)", page)


def test_the_policy_allows_the_style_sheet_and_nothing_else():
    """The hash is of the bytes between the tags (W3C Content Security Policy 3, 6.7.3.3)."""
    page = words_page("Skerry")
    root = parsed(page)
    (said,) = [one.get("content") for one in every(root, "meta") if one.get("http-equiv")]
    style = page.partition("<style>")[2].partition("</style>")[0]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert said == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def test_the_same_values_give_the_same_bytes():
    assert words_page("Skerry") == words_page("Skerry")


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A folder of our own for what is compiled."""
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / "kept"))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return tmp_path / "kept"


def files(folder):
    return [one for one in folder.rglob("*") if one.is_file()]


def new_run(text, **settings):
    """A page of one template, by an environment that has read nothing yet."""
    loader = DictLoader({"hat.html": text})
    return Environment(loader=loader, bytecode_cache=CompiledTemplates(), **settings).get_template("hat.html").render()


def test_a_template_is_compiled_once_for_all_runs(kept, monkeypatch):
    assert new_run("{{ 6 * 7 }} m") == "42 m"
    assert [file.name.partition(".cpython")[0] for file in files(kept)] == ["hat.html"]
    monkeypatch.setattr(Environment, "compile", None)  # whoever compiles now fails
    assert new_run("{{ 6 * 7 }} m") == "42 m"


def test_a_template_is_compiled_again_when_it_says_something_else_or_is_read_otherwise(kept):
    assert new_run("{{ '<' }}") == "<"
    assert new_run("{{ '<' }}", autoescape=True) == "&lt;"
    assert new_run("{{ '>' }}", autoescape=True) == "&gt;"


def test_what_is_kept_may_be_spoiled_or_have_no_place(kept):
    new_run("6 m")
    (file,) = files(kept)
    for spoiled in (b"", file.read_bytes()[:-3], b"moths"):
        file.write_bytes(spoiled)
        assert new_run("6 m") == "6 m"
    shutil.rmtree(kept)
    kept.write_text("a file where the folder was")
    assert new_run("6 m") == "6 m"


def test_nothing_is_kept_where_python_keeps_nothing(kept, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert new_run("6 m") == "6 m"
    assert not kept.exists()


def test_a_value_that_is_not_given_is_an_error():
    with pytest.raises(UndefinedError):
        write_page("report.html", "Plan", Palette())


def test_none_is_never_written_as_a_word():
    with pytest.raises(ValueError, match="None"):
        visible(None)


def test_every_template_lies_in_the_package():
    folder = resources.files("planner.pages") / "templates"
    assert {one.name for one in folder.iterdir()} == set(environment().list_templates())


def _colours(block):
    return dict(re.findall(r"--(\w+):(#[0-9a-f]{3,6})", block))


LIGHT = _colours(STYLE.partition(":root{")[2].partition("}")[0])
DARK = _colours(STYLE.partition("prefers-color-scheme:dark){:root{")[2].partition("}")[0])
PRINT = _colours(STYLE.partition("@media print{\n:root{")[2].partition("}")[0])


@pytest.mark.parametrize("kind", [LIGHT, DARK, PRINT], ids=["light", "dark", "print"])
@pytest.mark.parametrize("ground", ["paper", "card", "mind"])
def test_words_stand_out_from_what_they_are_on(kind, ground):
    """WCAG 2.2, 1.4.6 Contrast (Enhanced), AAA: 7 to 1 for text; 1.4.11: 3 to 1 for lines that mean something."""
    assert contrast(kind["ink"], kind[ground]) >= 7
    assert contrast(kind["soft"], kind[ground]) >= 7
    assert contrast(kind["edge"], kind[ground]) >= 3


def test_the_style_sheet_names_no_other_colours():
    named = set(re.findall(r"#[0-9a-f]{3,6}\b", STYLE))
    assert named == {*LIGHT.values(), *DARK.values(), *PRINT.values()}


def test_paper_has_no_letter_under_nine_points():
    said = STYLE.partition("@media print{")[2]
    sizes = [float(size) for size in re.findall(r"font(?:-size)?:(?:[^;}]*? )?([\d.]+)pt", said)]
    assert sizes
    assert min(sizes) >= 9
    assert [float(size) * 0.75 for size in re.findall(r"font-size:([\d.]+)px", said)] == [9.0]  # 1 px is 0.75 pt (CSS)


def test_contrast_is_that_of_the_standard():
    """WCAG 2.2: black on white is 21 to 1; #767676 on white is 4.54 to 1 (from memory)."""
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.005)


def test_a_shade_is_named_beside_its_colour():
    palette = Palette()
    palette.shade(read_colour("#5b6770"))
    root = parsed(words_page("", palette))
    (said,) = [one for one in every(root, "span") if one.get("class") == "colour"]
    assert text_of(said) == "dimgrey #5b6770"
    (swatch,) = every(said, "rect")
    assert swatch.get("fill") == "url(#yarn-5b6770) #5b6770"


def test_a_page_defines_the_texture_of_every_shade_once():
    palette = Palette()
    for code in ("#5b6770", "#5b6770", "#8a3324"):
        palette.shade(read_colour(code))
    palette.grey(read_colour("#8a3324"))
    defined = [one.get("id") for one in every(parsed(words_page("", palette)), "pattern")]
    assert defined == sorted({shade.texture for shade in palette.shades})
    assert len(defined) == 3


def test_the_grey_of_a_colour_is_as_light_as_it():
    colour = read_colour("#8a3324")
    assert Palette().grey(colour).lightness == pytest.approx(colour.lightness)
    code = Palette().grey(colour).code
    assert code[1:3] == code[3:5] == code[5:7]


@pytest.mark.parametrize("lightness", [0, 50, 100])
def test_strokes_are_lighter_and_darker_than_the_yarn_as_far_as_there_is_room(lightness):
    shade = shade_of(colour_from_lab(lightness, 0, 0))
    found = [read_colour(code).lightness for code in (shade.darker, shade.code, shade.lighter)]
    expected = [max(lightness - 9, 0), lightness, min(lightness + 9, 100)]
    assert found == pytest.approx(expected, abs=0.3)  # as near as eight bits come


@pytest.mark.parametrize("code", ["red", "#5b677", "#5b6770;x", "url(x)", "#5B6770"])
def test_what_is_no_colour_code_never_reaches_a_page(code):
    with pytest.raises(ValueError, match="colour code"):
        Shade(code, "x", 1.0, "#000000", "#000000")


def test_bands_are_wide_in_proportion_and_fill_the_strip():
    found = spans([616.0, 330.0, 132.0, 49.5])
    assert [band.width for band in found] == pytest.approx([100 * one / 1127.5 for one in (616, 330, 132, 49.5)])
    assert found[0].start == 0
    assert found[-1].end == pytest.approx(100)
    assert [band.start for band in found[1:]] == [band.end for band in found[:-1]]


def test_bands_of_a_longer_whole_leave_room():
    assert [band.end for band in spans([1, 2], 4)] == [25, 75]


def test_places_are_written_to_a_hundredth_of_a_pixel_on_the_widest_screen():
    assert percent(100 / 3) == "33.3333%"
    assert percent(50.0) == "50%"


def test_labels_keep_apart_and_near_their_bands():
    found = apart([10, 11, 12, 99.5])
    assert all(after - before >= 7 - 1e-9 for before, after in pairwise(found))
    assert found[0] == 10
    assert found[-1] <= 96.5


def test_more_labels_than_there_is_room_for_share_it():
    found = apart([50.0] * 40)
    assert all(after - before == pytest.approx(2.5) for before, after in pairwise(found))
    assert apart([]) == []


def test_letters_go_on_after_the_last():
    assert [letter(at) for at in (0, 25, 26, 27, 701, 702)] == ["A", "Z", "AA", "AB", "ZZ", "AAA"]


@pytest.mark.parametrize("sign", ["<", "&"])
def test_a_sheet_or_script_that_xml_reads_otherwise_is_refused(sign, monkeypatch):
    made = environment().from_string("a" + sign + "b")
    monkeypatch.setattr(environment(), "get_template", lambda _: made)
    with pytest.raises(ValueError, match="XML"):
        pages._own("own.js", {})
