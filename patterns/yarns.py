"""What yarn a pattern or one of its needs asks for: thickness, strands held together, fibre."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns import faults as wrong
from patterns.needs import FibreRule, YarnRange
from stash import forms, spellings
from stash.count import count_fault, read_count
from stash.fibre import family, read_blend
from stash.fibrenames import FAMILIES
from stash.fieldfaults import bad_value
from stash.fields import (
    Field,
    Kind,
    Record,
    RefusedError,
    as_text,
    entries_kind,
    list_kind,
    node_kind,
    read_record,
    refuse,
)
from stash.kinds import FIBRE, SHARE, share_kind
from stash.nodes import Mapping, Node, Scalar
from stash.readfaults import odd_count
from stash.weightclass import WeightClass, accepted, m_per_100g, read_class

if TYPE_CHECKING:
    from stash.faults import Fault

WITHIN = Fraction(1, 10)
MOST_STRANDS = 12
_STRANDS = re.compile(r"([0-9]{1,2})(?: ?[-–] ?([0-9]{1,2}))?")
_WOOL = read_blend("wool")
_SHARES = entries_kind("fibres with shares", SHARE, names=spellings.FIBRE)

YARN = Record(
    "a yarn",
    (
        Field("class", node_kind("a weight class such as dk", form=spellings.CLASS), "the weight class"),
        Field(
            "count", node_kind("a count such as 230 m/100g", form=spellings.COUNT), "the count, as of a wool-like yarn"
        ),
        Field("within", share_kind(Fraction(0), Fraction(1, 2)), "how far the count may be off, up to 50%"),
    ),
    "{class: dk, within: 10%}",
)
FIBRES = Record(
    "a fibre rule",
    (
        Field("allow", list_kind(FIBRE, single=True), "the only fibres, or families, it may have"),
        Field("at-least", _SHARES, "fibres, or families, it must have, with their least shares"),
        Field("at-most", _SHARES, "fibres, or families, with their largest shares"),
        Field("avoid", list_kind(FIBRE, single=True), "fibres, or families, it must not have"),
    ),
    "{allow: [animal], at-most: {synthetic: 25%}, avoid: [mohair]}",
)


def _yarn(node: Node, faults: list[Fault]) -> YarnRange:
    """The wool-equivalent m/100 g accepted: a class's bin from 0.95 x low to 1.05 x high, or as `within` says."""
    if not isinstance(node, Mapping):
        text = as_text(node, "a weight class such as dk", faults)
        if (one := read_class(text)) is not None:
            return YarnRange(*accepted(one), text)
        if not re.search("[0-9]", text):
            refuse(faults, wrong.odd_class(node, text))
        return _about(node, WITHIN, faults)
    values = read_record(node, YARN, faults)
    if (values["class"] is None) == (values["count"] is None):
        refuse(faults, wrong.yarn_form(node))
    if values["count"] is not None:
        return _about(values["count"], values["within"] or WITHIN if values["within"] != 0 else Fraction(0), faults)
    text = as_text(values["class"], "a weight class", faults)
    if (one := read_class(text)) is None:
        refuse(faults, wrong.odd_class(values["class"], text))
    if values["within"] is None:
        return YarnRange(*accepted(one), text)
    return YarnRange(*_widened(one, values["within"]), f"{text} within {_percent(values['within'])}")


def _widened(one: WeightClass, within: Fraction) -> tuple[Fraction, Fraction]:
    return one.low * (1 - within), one.high * (1 + within)


def _percent(share: Fraction) -> str:
    return f"{float(share * 100):g} %"


def _about(node: Node, within: Fraction, faults: list[Fault]) -> YarnRange:
    """A count, so much more or less; it is meant as of a wool-like yarn."""
    text = as_text(node, "a count such as 230 m/100g", faults)
    try:
        count = read_count(text, _WOOL)
    except ValueError as error:
        refuse(faults, bad_value(node, error, "a count such as 230 m/100g"))
    if (told := count_fault(count)) is not None:
        faults.append(odd_count(node, *told))
        if not told[2]:
            raise RefusedError
    metres = m_per_100g(count.tex)
    return YarnRange(metres * (1 - within), metres * (1 + within), f"{text} within {_percent(within)}")


def _strands(node: Node, faults: list[Fault]) -> tuple[int, int]:
    """How many strands may be held together, least and most."""
    text = as_text(node, "a number of strands such as 1-2", faults)
    found = _STRANDS.fullmatch(text.strip(" "))
    if found is None:
        refuse(faults, wrong.odd_strands(node, text))
    low = int(found[1])
    high = int(found[2] or low)
    if not 1 <= low <= high <= MOST_STRANDS:
        refuse(faults, wrong.odd_strands(node, text))
    return low, high


def _fibres(node: Node, faults: list[Fault]) -> FibreRule:
    values = read_record(node, FIBRES, faults)
    at_least = _shares(values["at-least"], faults)
    at_most = _shares(values["at-most"], faults)
    for fibre, share in at_least.items():
        if share > at_most.get(fibre, Fraction(1)):
            refuse(faults, wrong.at_least_above_at_most(node, fibre))
        if fibre in (values["avoid"] or ()):
            refuse(faults, wrong.at_least_and_avoid(node, fibre))
    if (total := _least(at_least)) > 1:
        refuse(faults, wrong.least_shares_over_all(node, _percent(total)))
    allow: tuple[str, ...] | None = values["allow"]
    return FibreRule(None if allow is None else frozenset(allow), at_least, at_most, frozenset(values["avoid"] or ()))


def _least(at_least: dict[str, Fraction]) -> Fraction:
    """The least share that all least shares take together; those of a family's fibres count for the family."""
    fibres = {name: share for name, share in at_least.items() if name not in FAMILIES}
    families = {family(name) or name for name in fibres} | (at_least.keys() & set(FAMILIES))
    return sum(
        (
            max(
                at_least.get(one, Fraction(0)),
                sum((share for name, share in fibres.items() if (family(name) or name) == one), Fraction(0)),
            )
            for one in families
        ),
        Fraction(0),
    )


def _shares(node: Mapping | None, faults: list[Fault]) -> dict[str, Fraction]:
    shares: dict[str, Fraction] = {}
    for key, value in () if node is None else node.items:
        fibre = FIBRE.read(Scalar(key.text, True, key.source, key.line, key.column), faults)
        if fibre in shares:
            refuse(faults, wrong.fibre_twice(key, fibre))
        shares[fibre] = SHARE.read(value, faults)
    return shares


_STRANDS_FORM: forms.Form = {
    "anyOf": [{"type": "integer", "minimum": 1, "maximum": MOST_STRANDS}, forms.text_form(_STRANDS.pattern)]
}
YARN_KIND: Kind[YarnRange] = Kind(
    "a yarn such as dk, or {count: 230 m/100g, within: 12%}", _yarn, record=YARN, form=spellings.YARN
)
STRANDS_KIND: Kind[tuple[int, int]] = Kind("a number of strands such as 1-2", _strands, form=_STRANDS_FORM)
FIBRES_KIND: Kind[FibreRule] = Kind("a fibre rule", _fibres, record=FIBRES)
