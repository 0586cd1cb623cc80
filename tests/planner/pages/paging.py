"""Reading a page back: as XML, its tables as text, its pictures as numbers; and the colours of its style sheet."""

import re
import xml.etree.ElementTree as ET

XHTML = "{http://www.w3.org/1999/xhtml}"
CODE = re.compile(r"#[0-9a-fA-F]{3,8}\b")


def parsed(page):
    """The page's root element; raises where it is not well-formed."""
    return ET.fromstring(page)


def every(root, name):
    """All elements of a name, whichever namespace they are in."""
    return [one for one in root.iter() if local(one) == name]


def local(element):
    return element.tag.rpartition("}")[2]


def text_of(element):
    """The words in an element, as a reader sees them."""
    return " ".join("".join(element.itertext()).split())


def with_id(root, wanted):
    (found,) = [one for one in root.iter() if one.get("id") == wanted]
    return found


def tables(root):
    """Caption -> the rows of its tables: each a dict of heading -> words, with the group's heading under "group"."""
    found = {}
    for table in every(root, "table"):
        (caption,) = every(table, "caption")
        rows = found.setdefault(text_of(caption), [])
        (head,) = every(table, "thead")
        headings = [text_of(cell) for cell in every(every(head, "tr")[-1], "th")]
        for body in every(table, "tbody"):
            group = next((text_of(row) for row in every(body, "tr") if is_heading(row)), "")
            for row in every(body, "tr"):
                if not is_heading(row):
                    cells = zip(headings, every(row, "td"), strict=True)
                    rows.append({heading: text_of(cell) for heading, cell in cells} | {"group": group})
    return found


def skein_rows(place):
    """Skein -> its row in the table beneath its bar, with its bar under "bar"; what it goes to and for, part by part."""
    found = {}
    for table in every(place, "table"):
        if table.get("class") == "skeins":
            for row in every(table, "tr"):
                if cells := every(row, "td"):
                    skein, counted, goes, free, aside = cells
                    found[text_of(skein)] = {
                        "counted on": text_of(counted),
                        "goes to": _parts(goes),
                        "free": text_of(free),
                        "set aside for": _parts(aside),
                    }
    figures = [one for one in every(place, "figure") if one.get("class") == "skein"]
    assert [text_of(one) for figure in figures for one in every(figure, "figcaption")] == list(found)
    for row, figure in zip(found.values(), figures, strict=True):
        row["bar"] = figure
    return found


def _parts(cell):
    """(what, length) of each line of a cell."""
    said = re.findall(r"(\S.*?) ([\d.]+\s\w+)(?=\s*(?:\n|$))", "".join(_lines(cell)))
    assert said or text_of(cell) == "\u2013"
    return [(what, " ".join(length.split())) for what, length in said]


def _lines(element):
    yield "\n" if local(element) == "br" else element.text or ""
    for child in element:
        yield from _lines(child)
        yield child.tail or ""


def is_heading(row):
    """Whether a row says what the rows below it are for."""
    return "group" in row.get("class", "").split()


def share(element, name):
    """A place or width in percent."""
    said = element.get(name, "0%")
    assert said.endswith("%"), said
    return float(said[:-1])


def luminance(code):
    """Relative luminance: W3C WCAG 2.2, definition of relative luminance."""
    if len(code) == 4:
        code = "#" + "".join(2 * digit for digit in code[1:])
    parts = (int(code[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """W3C WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def section(shown, number):
    """The section of a made project."""
    return with_id(shown.root, f"project-{number}")


def numbered(shown):
    return list(enumerate(shown.made, 1))


def only(row):
    return {key: value for key, value in row.items() if key != "group"}


def tags_of(page):
    return [one for one in every(parsed(page), "li") if "tag" in (one.get("class") or "").split()]


def small_folder(folder, metres):
    """A stash of 80 g of fog, and a hat that takes so much."""
    (folder / "patterns").mkdir()
    (folder / "stash.yaml").write_text(
        'lots:\n  fog:\n    fibre: wool\n    colour: "#cccccc"\n    count: 230 m/100g\n    skeins: {fog-1: 80 g}\n'
    )
    (folder / "patterns" / "hat.yaml").write_text(
        "name: Hat\ncraft: knitting\ngauge: {stitches: 22, rows: 30}\nyarn: dk\n"
        f"needs: {{main: {{}}}}\nsizes: {{one: {{main: {metres} m}}}}\n"
    )
    return folder
