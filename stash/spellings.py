"""How fibres, counts, colours, stitches and panels are spelt, as forms: made of the tables their readers use."""

from __future__ import annotations

from stash import forms
from stash.colournames import CSS_COLOURS
from stash.count import DIRECT_TEX, NUMBER_ONE_TEX
from stash.fibrenames import FAMILIES, WORDS
from stash.stitches import STITCH_NAMES
from stash.units import LENGTH_UNITS, MASS_UNITS, NUMBER
from stash.weightclass import CLASS_NAMES, CLASSES

_GAP = "[ -]+"
_LONG, _HEAVY = "|".join(LENGTH_UNITS), "|".join(MASS_UNITS)
_CLASS_NAME = forms.one_of(CLASS_NAMES, "[ _-]*")
_COUNT = "|".join(
    (
        _CLASS_NAME,
        rf"{NUMBER} *(?:{_LONG}) *(?:/|per) *(?:{NUMBER})? *(?:{_HEAVY})",
        rf"{NUMBER} *(?:{forms.one_of(DIRECT_TEX)})",
        rf"(?:{forms.one_of(NUMBER_ONE_TEX)}) *{NUMBER}(?: */ *{NUMBER})?",
    )
)
_WIDE = rf"{NUMBER} *(?:{_LONG})?(?: *[-–] *{NUMBER} *(?:{_LONG}))?"

# One fibre alone may stand without its share.
BLEND = forms.text_form(
    rf"(?:(?:(?:^|,) *{forms.SHARE}|^(?=[^,]*$)) *(?:{forms.one_of(WORDS, _GAP)}) *)+",
)
FIBRE = forms.words_form([*WORDS, *FAMILIES], _GAP)
COUNT = forms.text_form(_COUNT)
CLASS: forms.Form = {
    "anyOf": [
        {"enum": list(CLASS_NAMES)},
        {"type": "integer", "minimum": CLASSES[0].number, "maximum": CLASSES[-1].number},
        forms.text_form(f"[{CLASSES[0].number}-{CLASSES[-1].number}]|{_CLASS_NAME}"),
    ]
}
YARN: forms.Form = {"anyOf": [*CLASS["anyOf"], COUNT]}
COLOUR: forms.Form = {"anyOf": [*forms.words_form(CSS_COLOURS)["anyOf"], forms.text_form("#[0-9a-fA-F]{6}")]}
STITCH = forms.words_form(STITCH_NAMES)
PANEL = forms.text_form(rf"(?:[0-9]{{1,2}} *[x×*] *)?{_WIDE} *[x×*] *{NUMBER} *(?:{_LONG})")
