"""What the page of a plan draws is to scale."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from paging import every, numbered, parsed, section, share, skein_rows, tables, text_of, with_id

from patterns.needs import Amount
from patterns.patches import Patch, together
from planner.pages.page import environment
from planner.pages.report import report_page
from stash.colour import read_colour

WIDE_PX = 3840  # the widest screen that is thought of
WITHIN_PX = 0.1


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
    assert [one for one in captions if one in {"A B main", "C motif"}] == ["A B main", "C motif"]


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
    for row in skein_rows(place).values():
        figure, parts = row["bar"], [length for _, length in row["goes to"] + row["set aside for"]]
        parts += [row["free"]] if row["free"] != "0.0 m" else []
        lengths = [float(length.split()[0]) for length in parts]
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
    assert {extent(one.get("points")) for one in every(picture, "polyline")} == {(areas[1][1], areas[1][1])}  # between
    assert areas[0][1] == outline[1]
    assert areas[0][0] == pytest.approx(areas[1][1])
    assert areas[1][0] == outline[0]
    assert (areas[0][1] - areas[0][0]) / (outline[1] - outline[0]) == pytest.approx(0.6)


def test_amounts_keep_the_shapes_they_come_from():
    patch = Patch(Fraction(1), Fraction(1), Fraction(1))
    one, other = Amount(Fraction(10), 0.1, (patch,)), Amount(Fraction(10), 0.1)
    assert together([one, other, one]).patches == (patch, patch)
    assert one == other
