"""Reading a pattern: what it needs, in which sizes, with every fault gathered."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import partial
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Any

from patterns import faults as wrong
from patterns.amounts import AMOUNT_KIND, GAUGE, NAMES, SHAPE, SWATCH, read_gauge, read_name, read_parts
from patterns.contradictions import find_contradictions
from patterns.contrasts import set_against
from patterns.counted import Counted, read_counted
from patterns.needs import Amount, ColourRule, FibreRule, LotRule, Need, Pattern
from patterns.read_charts import CHART_RECORD, STRIPES_RECORD, written_kind
from patterns.rules import COLOUR_RULE, COLOURS_KIND, LOTS_KIND, MATCH_KIND, is_any, pointed_at
from patterns.yarns import FIBRES, FIBRES_KIND, STRANDS_KIND, YARN, YARN_KIND
from stash import forms
from stash.fabric import Gauge
from stash.fieldfaults import colon_without_space, key_without_space
from stash.fields import (
    YES_NO,
    Field,
    Kind,
    Record,
    RefusedError,
    attempt,
    choice_kind,
    entries_kind,
    list_kind,
    read_fields,
    read_record,
    refuse,
)
from stash.kinds import ID, LENGTH, MOST_METRES, NOTE, TEXT, reference_kind, share_kind, whole_kind
from stash.nearest import MOST_SEARCHED
from stash.nodes import Mapping, Node, Scalar, place_of
from stash.read import top_of
from stash.source import read_source

if TYPE_CHECKING:
    from stash.faults import Fault

RESERVE = Fraction(1, 10)
STRANDS = (1, 2)
PIECE_M = Fraction(5)
UNSAID = "as the match of its lot rule"

RESERVE_KIND = share_kind(Fraction(0), Fraction(2))
_SHARED = (
    Field("yarn", YARN_KIND, "how thick a working yarn"),
    Field("strands", STRANDS_KIND, "how many may be held together (default 1-2)"),
    Field("marl", YES_NO, "whether strands of different lots may differ in colour (default no)"),
    Field("fibre", FIBRES_KIND, "what it may be made of"),
    Field("piece", LENGTH, "the least a piece of yarn must give (default 5 m)"),
    Field("joins", whole_kind("the number of joins", 0, 10_000), "how many joins at most"),
)
NEED = Record(
    "a need",
    (
        Field("lots", LOTS_KIND, "how many lots may serve it (default one)", default=LotRule("one", 1, None)),
        Field("match", MATCH_KIND, "how alike several lots must be (default 5)", default=UNSAID),
        Field("colour", COLOURS_KIND, "what colour it has", default=ColourRule()),
        *_SHARED,
    ),
    "motif: {lots: one, colour: {against: main, lightness: 25}}",
)


def _need_values(node: Node, faults: list[Fault]) -> dict[str, Any]:
    """A need with nothing under it has all defaults."""
    bare = isinstance(node, Scalar) and not node.text and not node.quoted
    return read_record(Mapping((), node.source, node.line, node.column) if bare else node, NEED, faults)


NEED_KIND = Kind(NEED.name, _need_values, record=NEED, form=forms.NOTHING)
_SIZE = entries_kind("needs with their lengths", AMOUNT_KIND, names=NAMES)
PATTERN = Record(
    "a pattern",
    (
        Field("name", TEXT, "what it is called"),
        Field(
            "craft",
            choice_kind("a craft", {"knitting": "knitting", "crochet": "crochet"}),
            "knitting or crochet",
            default="knitting",
        ),
        Field("gauge", Kind("a gauge", read_gauge, record=GAUGE), "stitches and rows over a length"),
        Field(
            "wash",
            choice_kind("a way to wash", {"hand": "hand", "machine": "machine", "any": "any"}),
            "hand, machine or any",
            default="any",
        ),
        Field("reserve", RESERVE_KIND, "yarn kept back beyond the need (default 10%)", default=RESERVE),
        Field(
            "order",
            list_kind(reference_kind("need")),
            "the needs of a fade, light to dark or dark to light",
            default=(),
        ),
        Field("needs", entries_kind("needs", NEED_KIND, names=NAMES), "what yarn it needs", required=True),
        Field("sizes", entries_kind("sizes", _SIZE, names=NAMES), "how much of each need, in each size", required=True),
        *_SHARED,
        Field("chart", written_kind(CHART_RECORD), "a chart of its stitches, by need"),
        Field("stripes", written_kind(STRIPES_RECORD), "its stripes, by need and rows"),
        Field("note", NOTE, "anything you want to remember; not read further"),
    ),
    "{yarn: dk, needs: {main: {lots: one}}, sizes: {one: {main: 180 m}}}",
)
FILE_SAMPLE = """\
name: Harbour cowl
yarn: dk
needs:
  main: {lots: one}
sizes: {one: {main: 180 m}}"""
KINDS_OF_RECORD = (PATTERN, NEED, YARN, FIBRES, COLOUR_RULE, GAUGE, SHAPE, SWATCH, CHART_RECORD, STRIPES_RECORD)


def read_pattern(file: str, data: bytes) -> tuple[Pattern | None, list[Fault]]:
    """Read one pattern from its file's bytes; None where it has a fault. Its id is the file's name without .yaml."""
    stem = PurePosixPath(file).stem
    root, faults = read_source(file, data)
    if not ID.fullmatch(stem):
        faults.append(wrong.pattern_file_name(file, stem))
        stem = ""
    pattern = None if root is None else attempt(partial(_read_pattern, stem, root, faults))
    return (pattern if stem and all(fault.warning for fault in faults) else None), faults


def _read_pattern(stem: str, root: Node, faults: list[Fault]) -> Pattern:
    top = top_of(root, "a pattern", FILE_SAMPLE, faults)
    values, refused = read_fields(top, PATTERN, faults)
    if values["needs"] is None or values["sizes"] is None:
        raise RefusedError
    if not values["needs"].items:
        refuse(faults, wrong.no_needs(values["needs"]))
    if not values["sizes"].items:
        refuse(faults, wrong.no_sizes(values["sizes"]))
    if "gauge" in refused:
        values["gauge"] = Gauge(Fraction(1), Fraction(1))  # told; stands in so that shapes are looked at
    names = [key.text for key, _ in values["needs"].items]
    needs = _read_needs(values["needs"], values, names, faults, yarn_told="yarn" in refused)
    counted = read_counted(values, refused, names, faults)
    sizes = {
        key.text: found
        for key, node in values["sizes"].items
        if (found := attempt(partial(_read_size, key, node, names, values, counted, faults))) is not None
    }
    _check_use(values["needs"], values["sizes"], faults)
    order = _read_order(values["order"], names, faults)
    keys = {key.text: key for key, _ in values["needs"].items}
    free = frozenset(key.text for key, node in values["needs"].items if is_any(_colour_of(node)))
    needs = set_against(needs, counted.chart, order, free)
    faults += find_contradictions(needs, order, keys)
    if refused:
        raise RefusedError
    return Pattern(
        stem,
        values["name"] or stem,
        values["craft"],
        values["wash"],
        values["reserve"],
        order,
        needs,
        sizes,
        place_of(top),
        counted.chart,
        counted.stripes,
        values["gauge"],
    )


def _read_needs(
    mapping: Mapping, pattern: dict[str, Any], names: list[str], faults: list[Fault], *, yarn_told: bool
) -> dict[str, Need]:
    """`yarn_told`: the pattern's yarn was refused, so that needs without one of their own are not told so."""
    needs: dict[str, Need] = {}
    for key, node in mapping.items:
        with suppress(RefusedError):  # the others are looked at all the same
            needs[read_name(key, "need", faults)] = _read_need(key, node, pattern, faults, yarn_told=yarn_told)
        for named in pointed_at(_colour_of(node)):
            if named.text == key.text:
                faults.append(wrong.need_points_at_itself(named, named.text))
            elif named.text not in names:
                faults.append(_unknown_need(named, names, faults))
    return needs


def _unknown_need(named: Scalar, names: list[str], faults: list[Fault]) -> Fault:
    return wrong.unknown_need(named, named.text, names, search=len(faults) < MOST_SEARCHED)


def _colour_of(node: Node) -> Node | None:
    """What stands under a need's `colour`."""
    items = node.items if isinstance(node, Mapping) else ()
    return next((value for key, value in items if key.text == "colour"), None)


def _read_need(key: Scalar, node: Node, pattern: dict[str, Any], faults: list[Fault], *, yarn_told: bool) -> Need:
    values = NEED_KIND.read(node, faults)
    own = {one.name: values[one.name] if values[one.name] is not None else pattern[one.name] for one in _SHARED}
    if own["yarn"] is None and yarn_told:
        raise RefusedError
    if own["yarn"] is None:
        refuse(faults, wrong.need_without_yarn(key))
    rule: LotRule = values["lots"]
    if values["match"] is not UNSAID:
        if rule.match is None:
            refuse(faults, wrong.match_without_use(node, rule.kind))
        rule = LotRule(rule.kind, rule.most, values["match"])
    piece = own["piece"]
    return Need(
        key.text,
        rule,
        values["colour"],
        own["yarn"],
        own["strands"] or STRANDS,
        bool(own["marl"]),
        own["fibre"] or FibreRule(),
        PIECE_M if piece is None else piece.value,
        own["joins"],
        place_of(key),
    )


def _read_size(
    key: Scalar, node: Node, names: list[str], pattern: dict[str, Any], counted: Counted, faults: list[Fault]
) -> dict[str, dict[str | None, Amount]]:
    read_name(key, "size", faults)
    mapping = _SIZE.read(node, faults)
    if not mapping.items:
        refuse(faults, wrong.size_without_needs(node, key.text))
    gauge: Gauge | None = pattern["gauge"]
    size: dict[str, dict[str | None, Amount]] = {}
    for need, value in mapping.items:
        if need.text not in names:
            better = colon_without_space(need)
            faults.append(key_without_space(need, better) if better else _unknown_need(need, names, faults))
            continue
        count = partial(counted.amount, key.text, need.text)
        parts = attempt(partial(read_parts, value, gauge, pattern["craft"], count, faults))
        if parts and sum(one.metres for one in parts.values()) > MOST_METRES:
            faults.append(wrong.too_much_yarn(value, "1,000 km"))
        size[need.text] = parts or {}
    return size


def _check_use(needs: Mapping, sizes: Mapping, faults: list[Fault]) -> None:
    used = {need.text for _, size in sizes.items if isinstance(size, Mapping) for need, _ in size.items}
    if used - {key.text for key, _ in needs.items}:  # one that is misspelt is told already
        return
    faults.extend(wrong.need_without_amount(key) for key, _ in needs.items if key.text not in used)


def _read_order(order: tuple[Scalar, ...], names: list[str], faults: list[Fault]) -> tuple[str, ...]:
    seen: set[str] = set()
    for one in order:
        if one.text not in names:
            faults.append(_unknown_need(one, names, faults))
        elif one.text in seen:
            faults.append(wrong.order_twice(one, one.text))
        seen.add(one.text)
    return tuple(one.text for one in order)
