"""Charts and stripe sequences as a pattern writes them, and the amounts and colour rules that come of them."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, TypeVar

from patterns import chartfaults as wrong
from patterns import shapefaults
from patterns.amounts import NAMES
from patterns.charts import (
    MOST_SIDE,
    Chart,
    Stripes,
    Work,
    is_long,
    longest_float,
)
from patterns.faults import unknown_need
from patterns.patches import FACTOR_U, SHAPE_U
from stash import forms
from stash.fields import (
    YES_NO,
    Field,
    Kind,
    Record,
    RefusedError,
    all_of,
    as_scalar,
    as_text,
    choice_kind,
    entries_kind,
    list_kind,
    node_kind,
    read_record,
    refuse,
)
from stash.kinds import STITCH, number_kind, reference_kind, whole_kind
from stash.nodes import Mapping, Node, Scalar
from stash.stitches import PLAIN

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stash.fabric import Gauge
    from stash.faults import Fault

T = TypeVar("T")
MOST_ROWS = 10_000  # of a stripe
_REPEAT = re.compile(r"([0-9]{1,4}) ?[x×] ?([0-9]{1,4})")
_BAND = re.compile(r"(.*\S) +([0-9]{1,5})(?: rows?)?")


@dataclass(frozen=True)
class Written:
    """A chart or stripes before names of needs and sizes are looked up."""

    node: Node
    values: dict[str, Any]


def _row(node: Node, faults: list[Fault]) -> Scalar:
    row = as_scalar(node, "a row of a chart such as x..x", faults)
    if not row.text:
        refuse(faults, wrong.empty_row(node))
    if len(row.text) > MOST_SIDE:
        refuse(faults, wrong.chart_too_big(node, "stitches in a row", MOST_SIDE))
    return row


def _repeat(node: Node, faults: list[Fault]) -> tuple[int, int]:
    text = as_text(node, "a number of repeats such as 12 x 1", faults)
    found = _REPEAT.fullmatch(text.strip(" "))
    across, up = (int(found[1]), int(found[2])) if found else (0, 0)
    if not (1 <= across <= 1000 and 1 <= up <= 1000):
        refuse(faults, wrong.odd_repeat(node, text))
    return across, up


def _band(node: Node, faults: list[Fault]) -> tuple[Scalar, int]:
    text = as_text(node, "a stripe such as main 20", faults)
    found = _BAND.fullmatch(text.strip(" "))
    rows = int(found[2]) if found else 0
    if found is None or not 1 <= rows <= MOST_ROWS:
        refuse(faults, wrong.odd_band(node, text))
    return Scalar(found[1], True, node.source, node.line, node.column), rows


REPEAT_KIND = Kind("a number of repeats such as 12 x 1", _repeat, form=forms.text_form(_REPEAT.pattern))
ROW_KIND = Kind("a row of a chart such as x..x", _row, form=forms.free_form(".", maxLength=MOST_SIDE))
BAND_KIND = Kind("a stripe such as main 20", _band, form=forms.text_form(_BAND.pattern))
STITCHES_KIND = whole_kind("the number of stitches", 1, 10_000)
TIMES_KIND = whole_kind("the number of repeats", 1, 1000)
LEGEND_KIND = entries_kind("symbols with their needs", reference_kind("need"), names={"maxLength": 1, "minLength": 1})
_WORK = (
    Field("stitch", STITCH, "the stitch, if it is not plain"),
    Field(
        "stitch-factor",
        number_kind("the factor for the stitch", None, Fraction(10)),
        "how much more yarn the stitch takes than plain knitting",
    ),
)


def _by_size_kind(name: str, of: Kind[Any]) -> Kind[Node]:
    return node_kind(f"{name}, or one for each size", of, entries_kind("sizes", of, names=NAMES))


CHART_RECORD = Record(
    "a chart",
    (
        Field("legend", LEGEND_KIND, "what need each symbol stands for", required=True),
        Field("rows", list_kind(ROW_KIND), "the rows as you see them, the top row first", required=True),
        Field(
            "repeat",
            _by_size_kind("a number of repeats such as 12 x 1", REPEAT_KIND),
            "how many times across x up, for all sizes or for each (default 1 x 1)",
        ),
        Field(
            "worked",
            choice_kind("a way to work", {"round": False, "flat": True}),
            "round or flat (default round, so that the two sides meet)",
            default=False,
        ),
        Field("floats", YES_NO, "whether each yarn is carried along its rows (default yes)", default=True),
        *_WORK,
    ),
    '{legend: {".": main, "x": motif}, rows: ["x..", ".x."], repeat: 30 x 4}',
)
STRIPES_RECORD = Record(
    "a stripe sequence",
    (
        Field("rows", list_kind(BAND_KIND), "the stripes in order, each a need and its rows", required=True),
        Field(
            "stitches",
            _by_size_kind("a number of stitches", STITCHES_KIND),
            "how many stitches a row has, for all sizes or for each",
            required=True,
        ),
        Field(
            "repeat",
            _by_size_kind("a number of repeats", TIMES_KIND),
            "how many times all of it, for all sizes or for each (default 1)",
        ),
        *_WORK,
    ),
    "{rows: [main 20, ochre 4, main 20], stitches: 96}",
)


def written_kind(record: Record) -> Kind[Written]:
    return Kind(record.name, lambda node, faults: Written(node, read_record(node, record, faults)), record=record)


def read_chart(
    written: Written, needs: Sequence[str], sizes: Sequence[str], gauge: Gauge | None, faults: list[Fault]
) -> Chart:
    """A chart with its names looked up; refused, after all of it was looked at, if anything is wrong."""
    values, before = written.values, len(faults)
    legend = _read_legend(values["legend"], needs, faults)
    rows: tuple[Scalar, ...] = values["rows"]
    if len(rows) > MOST_SIDE:
        refuse(faults, wrong.chart_too_big(rows[MOST_SIDE], "rows", MOST_SIDE))
    _check_rows(rows, [key.text for key, _ in values["legend"].items], faults)
    repeats = _by_size(values["repeat"], REPEAT_KIND, (1, 1), sizes, faults)
    work = _read_work(written.node, values, faults, floats=values["floats"])
    named_all = len(legend) == len(values["legend"].items)  # else what is wrong was told before
    if not named_all or any(not fault.warning for fault in faults[before:]):
        raise RefusedError
    used = set().union(*(row.text for row in rows))
    faults += [wrong.unused_symbol(key) for key, _ in values["legend"].items if key.text not in used]
    high = gauge.stitches / gauge.rows if gauge is not None and gauge.rows is not None else Fraction(1)
    chart = Chart(tuple(row.text for row in rows), legend, repeats, values["worked"], values["floats"], work, high)
    for need in chart.symbols:
        stitches, at = longest_float(chart, need)
        if is_long(stitches, gauge):
            faults.append(wrong.long_float(rows[at], need, stitches))
    return chart


def _read_legend(node: Mapping, needs: Sequence[str], faults: list[Fault]) -> dict[str, str]:
    if not node.items:
        refuse(faults, wrong.empty_legend(node))
    legend: dict[str, str] = {}
    for key, value in node.items:
        if not _is_symbol(key.text):
            faults.append(wrong.odd_symbol(key))
        try:
            named = reference_kind("need").read(value, faults)
        except RefusedError:
            continue
        if named.text not in needs:
            faults.append(unknown_need(named, named.text, needs))
        legend[key.text] = named.text
    return legend


def _is_symbol(text: str) -> bool:
    """One character that a grid of letters can hold."""
    if len(text) != 1 or not text.isprintable() or text.isspace() or ord(text) > 0xFFFF:
        return False
    return not unicodedata.combining(text) and unicodedata.east_asian_width(text) not in {"W", "F"}


def _check_rows(rows: Sequence[Scalar], symbols: Sequence[str], faults: list[Fault]) -> None:
    told: set[str] = set()
    for row in rows:
        strange = [one for one in dict.fromkeys(row.text) if one not in symbols and one not in told]
        told.update(strange)
        faults += [wrong.unknown_symbol(row, one, symbols) for one in strange]
        if len(row.text) != len(rows[0].text):
            faults.append(wrong.unequal_row(row, len(row.text), len(rows[0].text)))


def _by_size(node: Node | None, kind: Kind[T], default: T, sizes: Sequence[str], faults: list[Fault]) -> dict[str, T]:
    """A value for all sizes, or one under each."""
    if not isinstance(node, Mapping):
        return dict.fromkeys(sizes, default if node is None else kind.read(node, faults))
    faults += [wrong.unknown_size(key, sizes) for key, _ in node.items if key.text not in sizes]
    values = all_of(kind.read, tuple(value for _, value in node.items), faults)
    return dict(zip((key.text for key, _ in node.items), values, strict=True))


def _read_work(node: Node, values: dict[str, Any], faults: list[Fault], *, floats: bool) -> Work:
    stitch, factor = values["stitch"], values["stitch-factor"]
    if stitch is not None and factor is not None:
        refuse(faults, shapefaults.stitch_and_factor(node))
    if factor is not None:
        return Work(factor, FACTOR_U)
    if stitch is None or stitch == PLAIN:
        return Work(Fraction(1), SHAPE_U)
    if floats and stitch.name == "stranded":
        refuse(faults, wrong.counted_in_floats(node))
    return Work(stitch.factor, math.hypot(SHAPE_U, stitch.relative_u))


def read_stripes(written: Written, needs: Sequence[str], sizes: Sequence[str], faults: list[Fault]) -> Stripes:
    """A stripe sequence with its names looked up; refused, after all of it was looked at, if anything is wrong."""
    values, before = written.values, len(faults)
    bands: tuple[tuple[Scalar, int], ...] = values["rows"]
    faults += [unknown_need(named, named.text, needs) for named, _ in bands if named.text not in needs]
    stitches = _by_size(values["stitches"], STITCHES_KIND, 0, sizes, faults)
    repeats = _by_size(values["repeat"], TIMES_KIND, 1, sizes, faults)
    work = _read_work(written.node, values, faults, floats=False)
    if any(not fault.warning for fault in faults[before:]):
        raise RefusedError
    return Stripes(tuple((named.text, rows) for named, rows in bands), stitches, repeats, work)
