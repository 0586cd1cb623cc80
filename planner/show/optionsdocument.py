"""Options as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.show.documents import figure
from planner.show.plandocument import plan_document

if TYPE_CHECKING:
    from planner.options import Option, Options
    from planner.workspace import Workspace

    Document = dict[str, Any]


def options_document(found: Options, workspace: Workspace) -> Document:
    """What `plan --options` answers, best first; each with its whole plan."""
    return {
        "format": "lotwise/options-1",
        "project": found.project.name,
        "complete": found.complete,
        "options": [_option(option, workspace) for option in found.options],
    }


def _option(option: Option, workspace: Workspace) -> Document:
    return {
        "good_at": list(option.good_at),
        "roles": [
            {
                "need": role.need,
                "lots": {lot.id: strands for lot, strands in role.yarn.lots},
                "colour": role.yarn.colour.hex,
                "lightness": figure(role.yarn.colour.lightness),
                "share": figure(role.share),
            }
            for role in option.roles
        ],
        "contrasts": [{"needs": [one.one, one.other], "lightness": figure(one.lightness)} for one in option.contrasts],
        "used_g": figure(option.grams),
        "lots": option.lots,
        "asked_apart": None if option.asked_apart is None else figure(option.asked_apart),
        "others_possible": list(option.others),
        "plan": plan_document(option.plan, workspace),
    }
