"""A small workspace with a saved plan, `one`, of a hat and a cowl that can be booked."""

from planner.asking import ask
from planner.planning import plan
from planner.saved import save_plan
from planner.show.plandocument import plan_document
from planner.workspace import load_workspace
from tests.crash.written import FILES


def write_bookable(folder):
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    workspace = load_workspace(folder)
    found = plan(workspace, ask(workspace, (), every_size=False), workspace.projects.confidence)
    save_plan(workspace, plan_document(found, workspace, ()), "one")
    return folder
