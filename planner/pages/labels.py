"""Words on a fibre label: which to look for, by what the finds take, and which to avoid."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.racklist.finds import FIBRES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.racklist.listing import Find

# Other names that labels have for them; stash/fibrenames.py reads them all.
ALSO = {
    "wool": "lambswool, merino, shetland",
    "acrylic": "polyacrylic",
    "75% wool, 25% polyamide": "polyamide is nylon",
    "alpaca": "baby alpaca, suri",
    "viscose": "rayon",
}
# Common practice, no source.
AVOID = (
    ("boiled, felted, fulled", "it does not unravel"),
    ("brushed, boucl\u00e9, chenille, fleece", "loops and hairs catch and break"),
    ("elastane, metallised thread", "it springs or frays, and hides in the yarn"),
    ("other fibres, or no label", "nobody can say how it washes or burns"),
)


def look_for(finds: Sequence[Find]) -> tuple[tuple[str, str], ...]:
    """Labels that some find takes, each with its other names; of common ones, then the rest as the finds say."""
    taken = {name for find in finds for name in find.latitude.fibres}
    known = [name for name in FIBRES if name in taken]
    return tuple((name, ALSO.get(name, "")) for name in (*known, *sorted(taken.difference(FIBRES))))


def leave(finds: Sequence[Find]) -> tuple[str, ...]:
    """Common labels that were tried with every find and did for none; nothing where there is no find."""
    taken = {name for find in finds for name in find.latitude.fibres}
    return tuple(name for name in FIBRES if name not in taken) if finds else ()
