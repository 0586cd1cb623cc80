"""The page of a plan tells what its document tells, to the last digit shown, and draws it to scale."""

import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from handmade import SURE
from paging import every, local, parsed, share, tables, text_of, with_id

from patterns.charts import Chart, Stripes, Work
from patterns.needs import Amount
from patterns.patches import Patch, together
from planner.pages.enough import held
from planner.pages.keeping import asked_again, what_is_short
from planner.pages.page import environment
from planner.pages.report import report_page
from planner.pages.winding import turns
from planner.plan import PlannedNeed, PlannedProject, Take, YarnRun
from planner.show import words
from planner.show.weighing import Scales, leftovers
from planner.workers import Stop, StoppedError
from stash.colour import read_colour
from stash.fabric import Gauge
from stash.lengths import best_cm
from stash.lots import Stash
from stash.units import show_length, show_mass

ROOT = Path(__file__).parents[3]
WIDE_PX = 3840  # the widest screen that is thought of
WITHIN_PX = 0.1


def section(shown, number):
    return with_id(shown.root, f"project-{number}")


def numbered(shown):
    return list(enumerate(shown.made, 1))


def only(row):
    return {key: value for key, value in row.items() if key != "group"}


# What it says


def test_what_is_asked_first_is_answered_first(shown):
    (head,) = every(shown.root, "header")
    said = text_of(head)
    totals = shown.document["totals"]
    assert (
        text_of(every(head, "h1")[0]) == f"{totals['projects_made']} of {len(shown.document['projects'])} projects made"
    )
    assert f"They use {show_mass(totals['used_g'], 'metric')} of yarn" in said
    assert f"wind off {show_mass(totals['taken_g'], 'metric')}, of " in said
    assert f"from {totals['skeins']} skeins." in said
    assert "best possible" in said
    assert {one.get("href") for one in every(head, "a")} >= {"#short", "#project-1"}
    for project in shown.document["projects"]:
        assert project["project"] in said


def test_every_piece_is_on_the_winding_list_with_its_grams_and_metres(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Tick off what is wound"]
        expected = [
            (
                need["need"],
                run["part"],
                take["lot"],
                take["skein"],
                show_mass(take["take_g"], "metric", 1),
                show_length(take["take_m"], "metric", 1),
                str(math.ceil(Fraction(str(take["take_m"])) / Fraction("1.5"))),
            )
            for need in project["needs"]
            for run in need["yarns"]
            for take in run["skeins"]
        ]
        assert len(rows) == len(expected) > 0
        for row, (need, part, lot, skein, grams, metres, turned) in zip(rows, expected, strict=True):
            assert f" {need}" in row["group"]
            assert part is None or f", {part}:" in row["group"]
            assert row["lot"].startswith(lot)
            assert row["skein"].startswith(skein)
            assert (row["wind off"], row["which holds"], row["turns"]) == (grams, metres, turned)


def test_pieces_and_strands_are_told_apart_where_there_are_several(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Tick off what is wound"]
        takes = [take for need in project["needs"] for run in need["yarns"] for take in run["skeins"]]
        strands = [
            sum(run["lots"].values()) for need in project["needs"] for run in need["yarns"] for _ in run["skeins"]
        ]
        for row, take, together_ in zip(rows, takes, strands, strict=True):
            (skein,) = [one for one in shown.workspace.stash.lots[take["lot"]].skeins if one.id == take["skein"]]
            assert (f"piece {take['piece']} of {len(skein.shares)}" in row["skein"]) == (len(skein.shares) > 1)
            assert (f"strand {take['strand']}" in row["lot"]) == (together_ > 1)


def test_what_is_to_be_minded_is_told_before_anything_is_wound(workspace, plan):
    said = text_of(parsed(report_page(plan, workspace, "metric")))
    wound = said.index("Tick off what is wound")
    assert said.index("navy-2 is in 3 pieces, taken to be equally long: measure before you cut") < wound
    assert said.index("wash-test first: navy is dark") < wound
    assert said.index("Strands are wound apart and knitted together.") < wound
    single = replace(plan.projects[0], needs=plan.projects[0].needs[1:])
    part = with_id(parsed(report_page(plan, workspace, "metric")), "project-1")
    kept = [one for one in part if "together" in one.get("class", "")]
    assert [[text_of(one) for one in every(group, "h3")] for group in kept] == [
        ["Its yarns"],
        ["Wind off"],
        ["Is it enough?"],
    ]
    assert kept[1].get("class") == "together before"  # and goes on with what follows it
    assert "wash-test first: navy is dark" in text_of(kept[1])
    assert "rubbing felt" in text_of(kept[1])
    following = list(part)[list(part).index(kept[1]) + 1]
    assert [text_of(one) for one in every(following, "caption")] == ["Tick off what is wound"]
    assert len(every(kept[2], "figure")) == 1
    assert "Strands are" not in report_page(replace(plan, projects=(single,)), workspace, "metric")


def test_of_pieces_of_several_lengths_the_one_to_cut_is_told_by_its_length(workspace, plan):
    """navy-2 is 96 g x 2.3 m/g = 220.8 m by best guess; a half of it and a quarter, as far as they are counted on."""
    navy = workspace.stash.lots["navy"]
    uneven = replace(navy.skeins[1], shares=(Fraction(1, 2), Fraction(1, 4), Fraction(1, 4)))
    lots = {**workspace.stash.lots, "navy": replace(navy, skeins=(navy.skeins[0], uneven))}
    root = parsed(report_page(plan, replace(workspace, stash=Stash({}, lots)), "metric"))
    rows = [row["skein"] for row in tables(root)["Tick off what is wound"]]
    sure = 1 - 1.6448536 * math.hypot(0.03, 1 / math.sqrt(12) / 96)
    assert rows[:3] == [
        "navy-1",
        f"navy-2, piece 1 of 3, the one of {220.8 * sure / 2:.1f} m",
        f"navy-2, piece 2 of 3, the one of {220.8 * sure / 4:.1f} m",
    ]
    even = tables(parsed(report_page(plan, workspace, "metric")))["Tick off what is wound"]
    assert even[1]["skein"] == "navy-2, piece 1 of 3"


def test_every_need_is_told_with_its_reserve_and_its_chance(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["What each need takes, and what is wound for it, ends apart"]
        assert len(rows) == len(project["needs"])
        for row, need in zip(rows, project["needs"], strict=True):
            joins = sum(len(run["skeins"]) - sum(run["lots"].values()) for run in need["yarns"])
            assert row["need"] == need["need"]
            assert row["takes"] == show_length(need["need_m"], "metric", 1)
            assert row["with reserve"] == show_length(need["planned_m"], "metric", 1)
            assert row["joins"] == str(joins)
            assert row["runs short"] == words.chance(need["chance_short"])


def test_every_working_yarn_is_told_with_its_metres_and_its_share(shown):
    for number, project in numbered(shown):
        rows = tables(section(shown, number))["Each working yarn and its share of the metres"]
        planned = {}
        for need in project["needs"]:
            for run in need["yarns"]:
                key = need["need"], tuple(sorted(run["lots"].items()))
                planned[key] = planned.get(key, 0) + run["length_m"]
        whole = sum(planned.values())
        assert [(row["need"], row["planned"], row["share"]) for row in rows] == [
            (need, show_length(metres, "metric", 1), words.percent(metres / whole))
            for (need, _), metres in planned.items()
        ]


def test_the_notes_and_cautions_of_the_document_stand_in_the_section(shown):
    for number, project in numbered(shown):
        said = text_of(section(shown, number))
        for note in [*project["notes"], *project["warnings"]]:
            assert note in said


def test_what_goes_where_adds_up_to_what_can_be_counted_on(shown):
    rows = list(shares_told(with_id(shown.root, "stash")))
    taken = {}
    for number, project in numbered(shown):
        for need in project["needs"]:
            for run in need["yarns"]:
                for take in run["skeins"]:
                    said = f"{number} {project['project']}, {need['need']}" + (
                        f", {run['part']}" if run["part"] else ""
                    )
                    key = take["skein"], said
                    taken[key] = taken.get(key, 0) + take["take_m"]
    told = {(skein, said): length for skein, said, length in rows if said != "free"}
    assert told == {key: show_length(round(metres, 2), "metric", 1) for key, metres in taken.items()}
    left, _ = leftovers(shown.plan, Scales(shown.workspace.stash, shown.plan.confidence))
    for one in left:
        own = {skein.id for skein in one.lot.skeins}
        free = math.fsum(float(length.split()[0]) for skein, said, length in rows if skein in own and said == "free")
        assert free == pytest.approx(one.length_cm / 100, abs=0.05 * len(one.lot.skeins))


def shares_told(place):
    """(skein, what it goes to, length) as the words below each bar say."""
    for figure in every(place, "figure"):
        skein, _, rest = text_of(every(figure, "figcaption")[0]).partition(", ")
        for share_said in rest.partition(": ")[2].split("; "):
            said, metres, unit = share_said.rsplit(" ", 2)
            yield skein, said, f"{metres} {unit}"


def test_what_is_left_of_each_lot_is_that_of_the_plan(shown):
    said = text_of(with_id(shown.root, "stash"))
    left, untouched = leftovers(shown.plan, Scales(shown.workspace.stash, shown.plan.confidence))
    for one in left:
        metres, grams = show_length(one.length_cm / 100, "metric", 1), show_mass(one.mass_g, "metric", 1)
        assert f"Left of it: {metres} that can be counted on, {grams};" in said
    rows = tables(with_id(shown.root, "stash"))["Lots that stay as they are"]
    assert [row["lot"] for row in rows] == list(untouched)


def test_what_is_short_is_told_with_what_to_look_for_and_what_would_help(shown):
    said = text_of(with_id(shown.root, "short"))
    missed = [project["project"] for project in shown.document["projects"] if not project["made"]]
    assert "pilot-hat" in missed
    assert "pilot-hat, size adult" in said
    assert "What would help instead" in said
    assert said.index("moths, mould or dust") < said.index("What is missing, and what to look for")
    assert "gull-vest:M can be made if " in said


def test_the_chart_is_told_row_by_row_as_it_is_knitted(shown):
    """The hat's first row is "..x...xx", knitted from the right: worked out by hand."""
    (number,) = [number for number, project in numbered(shown) if project["pattern"] == "gannet-hat"]
    rows = tables(section(shown, number))["Each row from its first stitch, which is the one on the right"]
    assert only(rows[0]) == {"row": "1", "knit": "2 motif, 3 main, 1 motif, 2 main"}
    assert len(rows) == 4


# What it draws


def pictures(root, kind):
    """Pictures of a class, with their id."""
    return [one for one in every(root, "svg") if one.get("class") == kind]


def px(percent_):
    return percent_ / 100 * WIDE_PX


def test_strips_are_as_wide_as_the_metres_planned(shown):
    for number, project in numbered(shown):
        lengths = {}
        for need in project["needs"]:
            for run in need["yarns"]:
                key = need["need"], tuple(sorted(run["lots"].items()))
                lengths[key] = lengths.get(key, 0) + run["length_m"]
        strips = pictures(section(shown, number), "strip")
        assert len(strips) == 2
        for strip in strips:
            rects = [one for one in every(strip, "rect") if one.get("fill")]
            start = 0.0
            assert len(rects) == len(lengths)
            for rect, metres in zip(rects, lengths.values(), strict=True):
                wide = WIDE_PX * metres / sum(lengths.values())
                assert px(share(rect, "x")) == pytest.approx(start, abs=WITHIN_PX)
                assert px(share(rect, "width")) == pytest.approx(wide, abs=WITHIN_PX)
                start += wide


def test_a_seam_parts_any_two_stretches_of_yarn_and_shows_between_any_colours(workspace, plan):
    """Ink beside paper: one of them is far from any colour. One for each stretch of yarn but the first."""
    style = environment().get_template("style.css").render()
    assert ".seam{fill:var(--paper)}" in style
    assert ".ink{fill:var(--ink)}" in style
    root = parsed(report_page(plan, workspace, "metric"))
    for picture in [*pictures(root, "strip"), *pictures(root, "bar")]:
        rects = [one for one in every(picture, "rect") if one.get("fill")]
        for kind, wide in (("ink", "2"), ("seam", "1")):
            seams = [one for one in every(picture, "rect") if one.get("class") == kind]
            assert [(share(one, "x"), one.get("width")) for one in seams] == [
                (share(one, "x"), wide) for one in rects[1:]
            ]
    main, _ = (one for one in pictures(root, "bar") if every(one, "circle"))
    assert len([one for one in every(main, "rect") if one.get("fill")]) == 2
    captions = [text_of(one) for one in every(root, "figcaption")]
    assert [one for one in captions if "best guess" in one and one.startswith("A B main: takes")]
    assert [one for one in captions if "best guess" in one and one.startswith("C motif: takes")]


def test_the_grey_strip_is_as_light_as_the_yarns(shown):
    for number, _ in numbered(shown):
        coloured, grey = pictures(section(shown, number), "strip")
        codes = [
            [one.get("fill").split()[1] for one in every(strip, "rect") if one.get("fill")]
            for strip in (coloured, grey)
        ]
        for own, other in zip(*codes, strict=True):
            assert other[1:3] == other[3:5] == other[5:7]
            assert read_colour(other).lightness == pytest.approx(read_colour(own).lightness, abs=0.3)


def test_the_scale_of_a_need_is_true_to_its_figures(shown):
    for number, _ in numbered(shown):
        place = section(shown, number)
        rows = tables(place)["What each need takes, and what is wound for it, ends apart"]
        scales = [one for one in pictures(place, "bar") if every(one, "circle")]
        assert len(scales) == len(rows)
        for picture, row in zip(scales, rows, strict=True):
            metres = {
                name: float(row[name].split()[0])
                for name in ("takes", "with reserve", "counted on", "best guess", "at most")
            }
            lines = [one for one in every(picture, "line") if one.get("class") != "halo"]
            (frame,) = [one for one in every(picture, "rect") if one.get("class") == "frame"]
            (dot,) = every(picture, "circle")
            seen = {
                "takes": share(lines[2], "x1"),
                "with reserve": share(lines[3], "x1"),
                "counted on": share(frame, "width"),
                "best guess": share(dot, "cx"),
                "at most": share(lines[1], "x1"),
            }
            scale = seen["takes"] / metres["takes"]
            for name, value in seen.items():
                assert value == pytest.approx(metres[name] * scale, abs=0.11 * scale)  # shown to 0.1 m
            yarns = [one for one in every(picture, "rect") if one.get("class") == "yarn"]
            assert math.fsum(share(one, "width") for one in yarns) == pytest.approx(seen["counted on"], abs=0.001)
            assert metres["takes"] <= metres["with reserve"] <= metres["counted on"] + 0.1 <= metres["best guess"] + 0.1


def test_skeins_are_drawn_on_one_scale_with_what_goes_where(shown):
    place = with_id(shown.root, "stash")
    scale = set()
    for figure in [one for one in every(place, "figure") if one.get("class") == "skein"]:
        said = text_of(every(figure, "figcaption")[0]).partition(": ")[2]
        lengths = [float(found) for found in re.findall(r"([\d.]+) m(?:;|$)", said)]
        rects = [one for one in every(figure, "rect") if one.get("class") in {"yarn", "free", "aside"}]
        assert len(rects) == len(lengths)
        scale |= {(share(rect, "width"), length) for rect, length in zip(rects, lengths, strict=True)}
    longest = max(scale)
    for width, length in scale:
        assert width == pytest.approx(length * longest[0] / longest[1], abs=0.06 * 100 / longest[1] * 2)


def test_pieces_are_drawn_to_scale_with_their_measures(shown):
    (number,) = [number for number, project in numbered(shown) if project["pattern"] == "lantern-cowl"]
    (picture,) = pictures(section(shown, number), "piece")
    (row,) = tables(section(shown, number))["The measures of the pieces"]
    outline = next(one for one in every(picture, "polygon") if one.get("class") == "outline")
    corners = [tuple(map(float, pair.split(","))) for pair in outline.get("points").split()]
    wide = max(x for x, _ in corners) - min(x for x, _ in corners)
    high = max(y for _, y in corners) - min(y for _, y in corners)
    assert wide / high == pytest.approx(float(row["wide below"].split()[0]) / float(row["long"].split()[0]), abs=1e-4)
    assert [text_of(one) for one in every(picture, "text")] == [row["wide below"], row["long"]]


# That it can be read


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


# By hand


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


def test_counted_on_is_what_is_taken_without_its_ends_and_the_best_guess_lies_above(workspace, plan):
    scales = Scales(workspace.stash, SURE)
    found = held(plan.projects[0].needs[0].runs[0], scales)
    assert found.counted == pytest.approx(220.9 - 3 * 0.3)
    lot = workspace.stash.lots["navy"]
    whole = sum(best_cm(lot, lot.skeins[0])) / 100
    one = held(YarnRun({"navy": 1}, 0, None, (Take(1, "navy", "navy-1", 1, 14000),)), scales)
    guarded = 118 * 2.3 * (1 - 1.6448536 * math.hypot(0.03, 1 / math.sqrt(12) / 118))
    assert one.best == pytest.approx(140 * whole / guarded - 0.3, abs=1e-3)
    assert one.best - one.counted == pytest.approx((one.most - one.counted) / 2, rel=0.06)


def test_held_together_the_shortest_strand_counts(workspace):
    scales = Scales(workspace.stash, SURE)
    takes = (Take(1, "cream", "cream-1", 1, 6630), Take(2, "cream", "cream-1", 1, 5030))
    assert held(YarnRun({"cream": 2}, 0, None, takes), scales).counted == pytest.approx(50.0)


def test_turns_are_rounded_up_so_that_they_hold_the_length():
    assert [turns(cm, Fraction(3, 2)) for cm in (1, 150, 151, 14000)] == [1, 1, 2, 94]


def test_no_time_is_told_of_a_plan_that_is_the_best_found(workspace, plan):
    pages = {report_page(replace(plan, seconds=seconds), workspace, "metric") for seconds in (0.2, 30.2)}
    assert len(pages) == 1
    assert "the best that was found, at most 2.5 % below the best possible" in pages.pop()
    assert "the best that was found." in report_page(replace(plan, aim_bound=math.inf), workspace, "metric")
    within = replace(plan, proof="within")
    assert "within 2.5 % of the best possible" in report_page(within, workspace, "metric")


def test_whoever_has_the_page_alone_knows_at_which_gauge_to_swatch(workspace, plan):
    def page_at(gauge):
        pattern = replace(workspace.patterns["skerry"], gauge=gauge)
        at_that = replace(workspace, patterns={**workspace.patterns, "skerry": pattern})
        return text_of(parsed(report_page(plan, at_that, "metric")))

    assert "the metres hold at 22 stitches x 30 rows in 10 cm and at no other gauge" in page_at(
        Gauge(Fraction("2.2"), Fraction(3))
    )
    assert "the metres hold at 18.5 stitches in 10 cm and at no other gauge" in page_at(Gauge(Fraction("1.85"), None))
    assert "the metres hold at the pattern\u2019s and at no other gauge" in page_at(None)


def test_yards_and_ounces_are_told_where_they_are_asked(workspace, plan):
    said = text_of(parsed(report_page(plan, workspace, "imperial", around=Fraction("1.8288"))))
    assert "a swift 2.00 yd round" in said
    assert " m " not in said.replace("L* ", "")
    assert show_length(Fraction(220), "imperial", 1) in said


def test_a_page_of_nothing_says_so(workspace, plan):
    nothing = report_page(replace(plan, projects=()), workspace, "metric")
    assert "Nothing is asked" in text_of(parsed(nothing))
    none = report_page(replace(plan, projects=plan.projects[1:]), workspace, "metric")
    said = text_of(parsed(none))
    assert "0 of 1 project made" in said
    assert "lotwise shortfall" in said


def test_strands_of_several_lots_are_shown_each_and_mixed(workspace, plan):
    run = YarnRun(
        {"cream": 1, "navy": 1}, 5000, None, (Take(1, "cream", "cream-1", 1, 5030), Take(2, "navy", "navy-1", 1, 5030))
    )
    made = replace(plan.projects[0], needs=(PlannedNeed("motif", 5000, (run,)),))
    root = parsed(report_page(replace(plan, projects=(made,)), workspace, "metric"))
    (row,) = tables(root)["Each working yarn and its share of the metres"]
    assert re.fullmatch(r"cream with navy ?cream: antiquewhite #efe6d0 ?navy: midnightblue #1c2340", row["yarn"])
    assert "#1c2340" not in row["colour"]


def shaped(workspace, parts):
    pattern = workspace.patterns["skerry"]
    amounts = {part: replace(Amount(Fraction(100), 0.1), patches=tuple(patches)) for part, patches in parts.items()}
    return replace(
        workspace,
        patterns={
            "skerry": replace(
                pattern,
                sizes={
                    "M": {
                        "main": amounts,
                        "motif": {
                            None: Amount(
                                Fraction(50),
                                0.05,
                                (Patch(Fraction(1), Fraction("0.4"), Fraction("0.2"), share=Fraction("0.4")),),
                            )
                        },
                    }
                },
            )
        },
    )


def test_pieces_that_are_alike_are_told_once_and_shared_ones_in_both_colours(workspace, plan):
    front = Patch(Fraction("0.5"), Fraction("0.5"), Fraction("0.4"))
    yoke = Patch(Fraction(1), Fraction("0.4"), Fraction("0.2"), share=Fraction("0.6"))
    sleeve = Patch(Fraction("0.2"), Fraction("0.3"), Fraction("0.45"), times=Fraction(2))
    root = parsed(
        report_page(plan, shaped(workspace, {"body": [front, front, yoke], "left sleeve": [sleeve]}), "metric")
    )
    rows = tables(root)["The measures of the pieces"]
    assert [(row["piece"], row["how many"], row["wide below"], row["wide above"], row["long"]) for row in rows] == [
        ("body", "2", "50.0 cm", "50.0 cm", "40.0 cm"),
        ("body", "1", "100.0 cm", "40.0 cm", "20.0 cm"),
        ("left sleeve", "2", "20.0 cm", "30.0 cm", "45.0 cm"),
    ]
    assert rows[1]["yarn"].count("%") == 2
    assert "60 %" in rows[1]["yarn"]
    as_shares = "A piece of several yarns shows each as high as its share of the yarn, not where its stitches are."
    assert as_shares in text_of(root)
    inches = parsed(report_page(plan, shaped(workspace, {"body": [front], "left sleeve": []}), "imperial"))
    assert tables(inches)["The measures of the pieces"][0]["long"] == "15.7 in"
    assert as_shares not in text_of(inches)


def test_the_areas_of_a_shared_piece_fill_its_outline(workspace, plan):
    yoke = Patch(Fraction(1), Fraction("0.4"), Fraction("0.2"), share=Fraction("0.6"))
    root = parsed(report_page(plan, shaped(workspace, {"body": [yoke], "left sleeve": []}), "metric"))
    (picture,) = pictures(root, "piece")

    def extent(points):
        downs = [float(pair.split(",")[1]) for pair in points.split()]
        return min(downs), max(downs)

    areas = [extent(one.get("points")) for one in every(picture, "polygon") if one.get("class") == "yarn"]
    (outline,) = [extent(one.get("points")) for one in every(picture, "polygon") if one.get("class") == "outline"]
    assert "body, from the foot up: A C" in [text_of(one) for one in every(root, "figcaption")]
    assert areas[0][1] == outline[1]
    assert areas[0][0] == pytest.approx(areas[1][1])
    assert areas[1][0] == outline[0]
    assert (areas[0][1] - areas[0][0]) / (outline[1] - outline[0]) == pytest.approx(0.6)


def test_amounts_keep_the_shapes_they_come_from():
    patch = Patch(Fraction(1), Fraction(1), Fraction(1))
    one, other = Amount(Fraction(10), 0.1, (patch,)), Amount(Fraction(10), 0.1)
    assert together([one, other, one]).patches == (patch, patch)
    assert one == other


def test_stripes_are_drawn_with_their_rows_and_told_in_order(workspace, plan):
    stripes = Stripes((("main", 4), ("motif", 1)), {"M": 96}, {"M": 3}, Work(Fraction(1), 0.1))
    striped = replace(workspace, patterns={"skerry": replace(workspace.patterns["skerry"], stripes=stripes)})
    root = parsed(report_page(plan, striped, "metric"))
    rows = [only(row) for row in tables(root)["From the first stripe on"]]
    assert [row["rows"] for row in rows] == ["4", "1"]
    assert [row["knit"] for row in rows] == [
        "A main: navy (midnightblue, #1c2340) in body; also cream held double in left sleeve, not drawn",
        "C motif: cream (antiquewhite, #efe6d0)",
    ]
    assert "From the foot up, 3 times in all." in text_of(root)


def test_chart_and_stripes_are_marked_as_the_yarns_are(workspace, plan):
    """A key line is its symbol, its need, the mark of the yarn that is drawn, and where the need has others."""
    stripes = Stripes((("main", 4), ("motif", 1)), {"M": 96}, {"M": 3}, Work(Fraction(1), 0.1))
    root = parsed(report_page(plan, charted(workspace, ["x."], stripes=stripes), "metric"))
    marks = {
        row["mark"]: (row["need"], row["yarn"]) for row in tables(root)["Each working yarn and its share of the metres"]
    }
    assert marks == {"A": ("main", "navy"), "B": ("main", "cream held double"), "C": ("motif", "cream")}
    also = "in body; also cream held double in left sleeve, not drawn"
    keys = [[text_of(line) for line in every(key, "li")] for key in every(root, "ul") if key.get("class") == "key"]
    assert keys == [
        [f". main: A navy (midnightblue, #1c2340) {also}", "x motif: C cream (antiquewhite, #efe6d0)"],
        [f"main: A navy (midnightblue, #1c2340) {also}", "motif: C cream (antiquewhite, #efe6d0)"],
    ]
    (_, drawn) = [one for one in every(root, "figure") if one.get("class") == "chart"]
    assert [text_of(one) for one in every(drawn, "text")] == ["C, 1 row", "A, 4 rows"]


def charted(workspace, rows, *, flat=False, stripes=None):
    chart = Chart(tuple(rows), {".": "main", "x": "motif"}, {"M": (2, 1)}, flat, True, Work(Fraction(1), 0.1))
    pattern = replace(workspace.patterns["skerry"], chart=chart, stripes=stripes)
    return replace(workspace, patterns={"skerry": pattern})


@pytest.mark.parametrize(
    ("flat", "second"), [(False, "1 main, 3 motif"), (True, "3 motif, 1 main")], ids=["round", "flat"]
)
def test_rows_worked_to_and_fro_are_told_from_left_and_right_in_turn(workspace, plan, flat, second):
    """By hand: the foot row "x..." ends at its right, so it begins with 3 main; the row above it is told as it is worked."""
    root = parsed(report_page(plan, charted(workspace, ["xx..", "xxx.", "x..."], flat=flat), "metric"))
    caption = "Row 1 and every other row from the right, its outside towards you; the rows between from the left"
    rows = tables(root)[caption if flat else "Each row from its first stitch, which is the one on the right"]
    assert [row["knit"] for row in rows] == ["3 main, 1 motif", second, "2 main, 2 motif"]


def test_what_is_short_is_not_asked_where_that_would_take_too_long(shown):
    stopped = Stop()
    stopped.set()
    projects = asked_again(shown.workspace, shown.plan)
    assert what_is_short(shown.workspace, shown.plan, projects, stopped) == ()
    lots = {f"{at:03}": shown.workspace.stash.lots["cream"] for at in range(401)}
    many = replace(shown.workspace, stash=Stash({}, lots))
    assert what_is_short(many, shown.plan, projects, Stop()) == ()


def test_a_question_that_is_stopped_is_left_out(shown, monkeypatch):
    def stopped(*_, **__):
        raise StoppedError

    monkeypatch.setattr("planner.shortfall.shortfall", stopped)
    assert what_is_short(shown.workspace, shown.plan, asked_again(shown.workspace, shown.plan), Stop()) == ()


def test_projects_that_are_there_no_more_are_not_asked_again(shown):
    gone = replace(shown.plan, projects=(PlannedProject("gone", "gone", None, ()), *shown.plan.projects))
    assert asked_again(shown.workspace, gone) == asked_again(shown.workspace, shown.plan)
    assert len(asked_again(shown.workspace, gone)) == len(shown.plan.projects)


def test_a_project_that_may_well_run_short_is_named_beside_the_answer(shown, monkeypatch):
    monkeypatch.setattr("planner.pages.report.RISKY", 1.0)
    assert "But mind:" not in report_page(shown.plan, shown.workspace, "metric")
    monkeypatch.setattr("planner.pages.report.RISKY", 0.0)
    assert "But mind:" in report_page(shown.plan, shown.workspace, "metric")
