"""Lot rules and colour rules as a pattern writes them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns import faults as wrong
from patterns.needs import ColourRule, LotRule
from stash import forms
from stash.fields import Field, Kind, Record, as_text, choice_kind, list_kind, read_record, refuse
from stash.kinds import COLOUR, number_kind, reference_kind
from stash.nodes import Mapping, Node, Scalar

if TYPE_CHECKING:
    from stash.faults import Fault

MATCH = 5.0
ALTERNATE = 2
_RULE = re.compile(r"(alternate|any) ([0-9]{1,3})")
_ANY_MATCH = choice_kind("a number or 'any'", {"any": None})
_UNITS = number_kind("a difference of colour", Fraction(0), Fraction(200))
_LIGHTNESS = number_kind("a difference in lightness", Fraction(0), Fraction(100))
_NAMES = list_kind(reference_kind("need"), single=True)

COLOUR_RULE = Record(
    "a colour rule",
    (
        Field("near", COLOUR, "the colour it should have"),
        Field("within", _UNITS, "how near to it (default 8)"),
        Field("against", _NAMES, "the needs it must stand out from"),
        Field("lighter-than", _NAMES, "the needs it must be lighter than"),
        Field("darker-than", _NAMES, "the needs it must be darker than"),
        Field("lightness", _LIGHTNESS, "how far apart in lightness (default 20 against, 5 lighter or darker)"),
        Field("same-as", _NAMES, "the needs whose yarn it must be"),
        Field("not", _NAMES, "the needs it must share no lot with"),
    ),
    "{against: main, lightness: 25}",
)
_POINTING = ("against", "lighter-than", "darker-than", "same-as", "not")
_CONTRAST = _POINTING[:3]


def _lots(node: Node, faults: list[Fault]) -> LotRule:
    """The lot rule without its `match`, which stands beside it: by-part and alternate start from the default."""
    text = as_text(node, "a rule for lots", faults)
    found = _RULE.fullmatch(text)
    rule: LotRule | None = None
    if text == "one":
        rule = LotRule("one", 1, None)
    elif text == "by-part":
        rule = LotRule("by-part", None, MATCH)
    elif text == "alternate" or (found and found[1] == "alternate"):
        most = int(found[2]) if found else ALTERNATE
        if most < ALTERNATE:
            refuse(faults, wrong.alternate_too_few(node))
        rule = LotRule("alternate", most, MATCH)
    elif text == "any" or (found and int(found[2]) > 0):
        rule = LotRule("any", int(found[2]) if found else None, None)
    if rule is None:
        refuse(faults, wrong.odd_lot_rule(node, text))
    return rule


def _match(node: Node, faults: list[Fault]) -> float | None:
    """How alike the working yarns are; None: no matter how."""
    if isinstance(node, Scalar) and node.text[:1].isalpha():
        return _ANY_MATCH.read(node, faults)
    return float(_UNITS.read(node, faults))


_LOTS_FORM: forms.Form = {
    "anyOf": [{"enum": ["one", "by-part", "alternate", "any"]}, {"type": "string", "pattern": f"^{_RULE.pattern}$"}]
}
LOTS_KIND: Kind[LotRule] = Kind("a rule for lots", _lots, form=_LOTS_FORM)
MATCH_KIND: Kind[float | None] = Kind("'any', or how many units of difference", _match, of=(_UNITS, _ANY_MATCH))


def is_any(node: Node | None) -> bool:
    """Whether it is written that a need may have any colour."""
    return isinstance(node, Scalar) and node.text == "any"


def _colours(node: Node, faults: list[Fault]) -> ColourRule:
    if is_any(node):
        return ColourRule()
    if isinstance(node, Scalar) and node.text:
        refuse(faults, wrong.colour_rule_is_text(node))
    values = read_record(node, COLOUR_RULE, faults)
    if values["within"] is not None and values["near"] is None:
        refuse(faults, wrong.within_without_near(node))
    if values["lightness"] is not None and not any(values[name] for name in _CONTRAST):
        refuse(faults, wrong.lightness_without_need(node))
    names = {name: tuple(one.text for one in values[name] or ()) for name in _POINTING}
    for one in names["lighter-than"]:
        if one in names["darker-than"]:
            refuse(faults, wrong.both_lighter_and_darker(node, one))
    for one in names["same-as"]:
        if one in names["not"]:
            refuse(faults, wrong.same_and_not(node, one))
    stated = None if values["lightness"] is None else float(values["lightness"])
    return ColourRule(
        near=values["near"],
        within=8.0 if values["within"] is None else float(values["within"]),
        against=names["against"],
        against_lightness=20.0 if stated is None else stated,
        lighter_than=names["lighter-than"],
        darker_than=names["darker-than"],
        lighter_lightness=5.0 if stated is None else stated,
        same_as=names["same-as"],
        not_in=names["not"],
    )


COLOURS_KIND: Kind[ColourRule] = Kind(
    "a colour rule", _colours, words=("any",), record=COLOUR_RULE, form=forms.choice_form(["any"])
)


def pointed_at(node: Node | None) -> list[Scalar]:
    """Where a colour rule names other needs."""
    if not isinstance(node, Mapping):
        return []
    under = [value for key, value in node.items if key.text in _POINTING]
    return [one for value in under for one in (getattr(value, "items", None) or (value,)) if isinstance(one, Scalar)]
