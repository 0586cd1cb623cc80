"""A plan of the demo workspace with all that a page can show: parts, strands, a chart, shapes, a short project."""

import threading
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import pytest
from handmade import tiny_plan, tiny_workspace
from paging import parsed

from planner.asking import ask
from planner.folders import Question, planned
from planner.pages.keeping import what_is_short
from planner.pages.report import report_page
from planner.plan import Plan
from planner.show.plan import giving_up_text
from planner.show.plandocument import plan_document
from planner.workers import Stop
from planner.workspace import Workspace, load_workspace

DEMO = Path(__file__).parents[3] / "planner" / "demo"
ASKED = ("breakwater", "tide-shawl", "lantern-cowl", "gannet-hat", "gull-vest:M", "pilot-hat", "pennant-scarf")


@dataclass(frozen=True)
class Shown:
    plan: Plan
    workspace: Workspace
    document: dict[str, Any]
    page: str
    root: Element

    @property
    def made(self):
        return [project for project in self.document["projects"] if project["made"]]


@pytest.fixture(scope="session")
def shown():
    workspace = load_workspace(DEMO)
    projects = ask(workspace, ASKED, every_size=False)
    outcome = planned(
        Question(workspace, projects, workspace.projects.confidence, "grams", None, Fraction(0), None),
        threading.Event(),
    )
    short = what_is_short(workspace, outcome.plan, projects, Stop())
    instead = [giving_up_text(one) for one in outcome.instead]
    page = report_page(outcome.plan, workspace, "metric", instead=instead, shortfalls=short)
    document = plan_document(outcome.plan, workspace, outcome.instead)
    return Shown(outcome.plan, workspace, document, page, parsed(page))


@pytest.fixture
def workspace():
    return tiny_workspace()


@pytest.fixture
def plan():
    return tiny_plan()
