"""A page: one HTML file that needs no network, quiet as paper, with yarn as its only strong colour.

How one is made: a module of its own turns an answer into plain words, shades and numbers, and calls

    write_page("tags.html", "Tags", palette, tags=...)

with a template in templates/ that begins `{% extends "base.html" %}` and `{% import "parts.html" as parts %}`, fills
the block `page`, and draws with the macros of parts.html: `parts.colour` (a swatch of yarn, never without its name
and code), `parts.own` (a name somebody wrote, in whatever direction its script runs), `parts.table` (repeats its
heading on paper, becomes a list on a phone; its columns stand in tables.html, from which the style sheet has them
too), `parts.strip` and `parts.reach`. `|kept` keeps a number on one line with its unit, as `parts.own` does.
`palette` is the Palette that gave out every Shade of the page, so that its textures are defined; a Shade is filled as
`{{ shade.fill }}`. The page of a large plan has 100,000 cells: what is the same in many places is said once, in the
style sheet. Not so the roles of cells: some browsers forget that what is laid out otherwise, as on a phone, is a table.

Kept by the environment, wherever a value comes from: text is escaped, what a screen would act on or XML forbids is
made visible, a value that is missing is an error. There is no `style=`: the policy in the head allows our one style
element, by its hash, and nothing else; a page may add a sheet of its own to it (`sheet=`), and one script (`script=`),
allowed likewise, without which it still says all it has to say. Templates are written so that pages also parse as XML
(so no `<` and no `&` in a sheet or a script). The same values give the same bytes: nothing tells a time.
"""

from __future__ import annotations

import base64
import hashlib
import re
import sys
from contextlib import suppress
from functools import cache
from importlib.machinery import SourceFileLoader
from importlib.util import cache_from_source
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import BytecodeCache, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from planner.faultprint import safe_text

if TYPE_CHECKING:
    from fractions import Fraction

    from jinja2.bccache import Bucket

    from planner.pages.shades import Palette

FOLDER = "templates"
STYLE = "style.css"
SHORT_TABLE = 12  # rows that are not parted on paper
WIDE = 100.0  # a picture that is as wide as the page lets it: its places are in percent
_UNIT_APART = re.compile(r"(?<=\d) (?=(?:%|g|m|cm|kg|oz|yd|in|°?C)(?!\w))|(?<=L\*) (?=\d)")


def write_page(template: str, title: str, palette: Palette, *, sheet: str = "", script: str = "", **values: Any) -> str:
    """The text of a page; `sheet`, `script`: templates of a style sheet and a script of its own.

    Raises jinja2.UndefinedError for a value the templates ask for and do not get.
    """
    style = _style() + (_own(sheet, values) if sheet else Markup())
    code = _own(script, values) if script else Markup()
    return (
        environment()
        .get_template(template)
        .render(title=title, shades=palette.shades, style=style, script=code, policy=_policy(style, code), **values)
    )


class CompiledTemplates(BytecodeCache):
    """Templates as compiled before: kept where Python keeps compiled modules, and only where it does.

    Compiling them would take a fifth of the time in which a plan becomes a page.
    """

    def load_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError), self._file(bucket).open("rb") as file:
            bucket.load_bytecode(file)

    def dump_bytecode(self, bucket: Bucket) -> None:
        if not sys.dont_write_bytecode:
            file = str(self._file(bucket))
            SourceFileLoader(bucket.key, file).set_data(file, bucket.bytecode_to_string())  # whole, or not at all

    def get_cache_key(self, name: str, filename: str | None = None) -> str:  # noqa: ARG002 (as Jinja calls it)
        return name

    def get_bucket(self, environment: Environment, name: str, filename: str | None, source: str) -> Bucket:
        of = environment
        settings = (of.autoescape, of.trim_blocks, of.lstrip_blocks, of.keep_trailing_newline)
        return super().get_bucket(environment, name, filename, f"{settings}{source}")  # compared, and no more

    def _file(self, bucket: Bucket) -> Path:
        return Path(cache_from_source(str(Path(__file__).with_name(f"{bucket.key}.py"))))


@cache
def environment() -> Environment:
    """The one environment that every page is made in."""
    made = Environment(
        loader=PackageLoader("planner.pages", FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=visible,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=CompiledTemplates(),
    )
    made.globals["short_table"] = SHORT_TABLE
    made.filters["percent"] = percent
    made.filters["px"] = px
    made.filters["mm"] = millimetres
    made.filters["kept"] = kept_together
    return made


def visible(value: Any) -> Any:
    """What is written for a value: text with its control and direction characters made visible.

    Raises ValueError for None, which would be written as a word.
    """
    if value is None:
        raise ValueError("a page was given None to write")
    if isinstance(value, str) and not isinstance(value, Markup):
        return _of_xml(safe_text(value))
    return value


def percent(part: float) -> str:
    """A place or a width in a picture, in percent of its width; 0.0001 % is under 0.01 px on any screen."""
    return f"{part:.4f}".rstrip("0").rstrip(".") + "%"


def px(length: float) -> str:
    """A place or a length in a picture that has a size of its own."""
    return f"{length:.2f}".rstrip("0").rstrip(".")


def millimetres(length: Fraction | float) -> str:
    """A place on paper, to a ten-thousandth of a millimetre."""
    return f"{float(length):.4f}".rstrip("0").rstrip(".")


def kept_together(text: str) -> str:
    """A text whose numbers stay on one line with their units. Not for what is copied into a file or a command."""
    return _UNIT_APART.sub("\u00a0", text)


def _of_xml(text: str) -> str:
    """Without the two characters that XML forbids and a terminal does not mind."""
    return text.replace("\ufffe", "\\ufffe").replace("\uffff", "\\uffff")


@cache
def _style() -> Markup:
    """The style sheet; it is ours and holds nothing foreign."""
    return Markup(environment().get_template(STYLE).render())  # noqa: S704 (a file of our own)


def _own(template: str, values: dict[str, Any]) -> Markup:
    """A style sheet or a script of ours, with values that are ours: nothing foreign may be in it.

    Raises ValueError for what would end its element, or what XML reads otherwise.
    """
    text = environment().get_template(template).render(**values)
    if "<" in text or "&" in text:
        raise ValueError(f"{template} holds a sign that XML reads otherwise")
    return Markup(text)  # noqa: S704 (a file of our own, looked through above)


def _policy(style: str | None = None, script: str = "") -> str:
    """Allows style and script by their hashes and nothing else (W3C Content Security Policy 3, meta element)."""
    scripts = f"script-src 'sha256-{_digest(script)}'; " if script else ""
    styles = f"style-src 'sha256-{_digest(_style() if style is None else style)}'; "
    return f"default-src 'none'; {styles}{scripts}base-uri 'none'; form-action 'none'"


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
