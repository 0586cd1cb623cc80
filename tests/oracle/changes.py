"""Write every change that shortfall names into a copy of the files, and ask `cover`; one step less must not do.

    python -m tests.oracle.changes --cases 500

Where nothing is named, every kind of change is written into the files at its widest, and none may do. Ends with 1
where something is wrong.
"""

from __future__ import annotations

import argparse
import json
import shutil
import tempfile
import time
from contextlib import redirect_stderr
from dataclasses import replace
from io import StringIO
from pathlib import Path

from planner.changes.alterations import Edit
from planner.commands.cover import answer_cover
from planner.commands.shared import Units
from planner.shortfall import shortfall
from planner.workspace import load_workspace
from tests.bench import generated
from tests.oracle.edits import apply
from tests.oracle.files import readable, to_yaml
from tests.oracle.workspaces import random_case

LARGE = 10  # every so many-th workspace is one of a person's size


def files_of(seed):
    """The files of a seed's workspace: mostly a tiny one that draws every rule, now and then one of 24 lots."""
    if seed % LARGE == LARGE - 1:
        return generated.files(generated.Asked(24, 6, 2, seed, 4))
    return to_yaml(readable(random_case(seed)))


def short_cases(seed, folder):
    """Every short project of a seed's workspace, written under `folder`: its place in the list and the answer."""
    generated.write(folder, files_of(seed))
    workspace = load_workspace(folder)
    seen = set()
    for place, project in enumerate(workspace.projects.projects):
        if project.place in seen:  # a copy
            continue
        seen.add(project.place)
        began = time.monotonic()
        (answer,) = shortfall(workspace, (project,), workspace.projects.confidence)
        if answer.verdict in {"short", "tight"}:
            yield workspace, place, answer, time.monotonic() - began


def verdict_with(folder, place, size, edits):
    """What `cover` says of the project at a place of the list, in a size, with edits written into a copy."""
    with tempfile.TemporaryDirectory() as copy:
        shutil.copytree(folder, copy, dirs_exist_ok=True)
        apply(Path(copy), *edits)
        project = load_workspace(Path(copy)).projects.projects[place]
        with redirect_stderr(StringIO()):  # warnings of the drawn files
            told = json.loads(answer_cover(Path(copy), (project.name,), Units.METRIC, None, as_json=True).text)
    sizes = {row["size"]: row["verdict"] for row in told["projects"]}
    return sizes[size] if size in sizes else sizes[project.sizes[0]]


def wrong_with(folder, workspace, place, answer):
    """What does not hold of a short project's changes."""
    pattern = workspace.patterns[workspace.projects.projects[place].pattern]
    told = []
    for change in answer.changes:
        if verdict_with(folder, place, answer.size, change.edits) != "enough":
            told.append(f"does not do: {change.change}")
        smaller = [*change.less, *steps_less(change.edits, pattern)]
        does = [less for less in smaller if verdict_with(folder, place, answer.size, less) == "enough"]
        told += [f"less would do: {change.change}: {', '.join(edit.text for edit in less)}" for less in does]
    every = () if answer.changes else widest(workspace, place, answer)
    does = [edit for edit in every if verdict_with(folder, place, answer.size, (edit,)) == "enough"]
    return [*told, *(f"nothing was named, and this does: {edit.file}: {edit.under}: {edit.text}" for edit in does)]


def steps_less(edits, pattern):
    """The edits with one of them a step smaller, told from what is written alone."""
    for at, edit in enumerate(edits):
        value = _step_less(edit, pattern)
        if value is not None:
            yield (*edits[:at], replace(edit, value=value), *edits[at + 1 :])


def _step_less(edit, pattern):
    """What one step less is written as; None where nothing is smaller but the file as it stands, or no number."""
    key, value = edit.keys[-1], edit.value
    if key == "reserve":
        return f"{round(float(value.rstrip('%')) + 0.1, 1):g}%"
    if key in {"within", "match"}:
        return "100" if value == "any" else f"{int(value) - 1}"
    if key == "lightness":
        rule = pattern.needs[edit.keys[1]].colour
        both = rule.against and (rule.lighter_than or rule.darker_than)
        mixed = (
            both and rule.against_lightness != rule.lighter_lightness
        )  # one number for both may loosen the one alone
        return None if mixed else f"{int(value) + 1}"
    if key == "yarn":
        head, _, tail = value.partition("within: ")
        return f"{head}within: {int(tail.rstrip('%}')) - 1}%}}"
    if key == "lots" and value in {"alternate 3", "alternate 4"}:
        return f"alternate {int(value[-1]) - 1}"
    return None


def widest(workspace, place, answer):
    """Every kind of change at its widest, told from the files alone."""
    project = workspace.projects.projects[place]
    pattern = workspace.patterns[project.pattern]
    at = (project.place.line, project.place.column)
    yield Edit("projects.yaml", "", ("reserve",), "0%", *at)
    yield Edit("projects.yaml", "", ("bleed-risk",), "accept", *at)
    for need in project.pins:
        yield Edit("projects.yaml", "", ("needs", need), "{}", *at)
    file = f"patterns/{pattern.id}.yaml"
    yield Edit(file, "", ("wash",), "hand")
    taken = {size for other in workspace.projects.projects if other.pattern == pattern.id for size in other.sizes}
    for size in pattern.sizes.keys() - taken:
        yield Edit("projects.yaml", "", ("size",), size, *at)
    for name, need in pattern.needs.items():
        if name not in pattern.sizes[answer.size]:
            continue
        head = need.yarn.text.partition(" within ")[0]
        key = "count" if any(char.isdigit() for char in head) else "class"
        yield Edit(file, name, ("needs", name, "yarn"), f"{{{key}: {head}, within: 50%}}")
        low, high = need.strands
        yield Edit(file, name, ("needs", name, "strands"), f"{low}-{max(high, 3)}")
        yield Edit(file, name, ("needs", name, "strands"), f"1-{high}")
        yield Edit(file, name, ("needs", name, "marl"), "yes")
        for rule in fibre_rules(need.fibre):
            yield Edit(file, name, ("needs", name, "fibre"), f"{{{rule}}}")
        if need.lots.kind in {"one", "alternate"}:
            yield Edit(file, name, ("needs", name, "lots"), f"alternate {max(need.lots.most, 4)}")
        if need.lots.kind == "one":
            yield Edit(file, name, ("needs", name, "lots"), "by-part")
        if need.lots.match is not None:
            yield Edit(file, name, ("needs", name, "match"), "any")
        if need.colour.near is not None:
            yield Edit(file, name, ("needs", name, "colour", "within"), "100")
        if need.colour.against or need.colour.lighter_than or need.colour.darker_than:
            yield Edit(file, name, ("needs", name, "colour", "lightness"), "0")


def fibre_rules(rule):
    """A fibre rule as written, each time without one of its clauses; a largest share beside `allow` becomes all."""
    allow = [] if rule.allow is None else [f"allow: [{', '.join(sorted(rule.allow))}]"]
    least = [f"{name}: {float(share) * 100:g}%" for name, share in rule.at_least.items()]
    most = [f"{name}: {float(share) * 100:g}%" for name, share in rule.at_most.items()]
    avoid = [f"avoid: [{', '.join(sorted(rule.avoid))}]"] if rule.avoid else []
    clauses = [*allow, *(["at-least: {" + ", ".join(least) + "}"] if least else [])]
    clauses += [*(["at-most: {" + ", ".join(most) + "}"] if most else []), *avoid]
    for clause in clauses:
        if not (allow and clause.startswith("at-most")):
            yield ", ".join(other for other in clauses if other is not clause)
    if allow and most:
        loose = "at-most: {" + ", ".join(f"{name}: 100%" for name in rule.at_most) + "}"
        yield ", ".join(loose if other.startswith("at-most") else other for other in clauses)


def main():
    """Go through as many short projects as asked for and print what is wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--first", type=int, default=0)
    asked = parser.parse_args()
    began, cases, named, wrong, without, slowest, seed = time.monotonic(), 0, 0, 0, 0, (0.0, ""), asked.first
    while cases < asked.cases:
        with tempfile.TemporaryDirectory() as text:
            folder = Path(text)
            for workspace, place, answer, seconds in short_cases(seed, folder):
                cases += 1
                named += len(answer.changes)
                without += not answer.changes
                slowest = max(slowest, (seconds, f"{seed} {answer.project}"))
                told = wrong_with(folder, workspace, place, answer)
                wrong += bool(told)
                for line in told:
                    print(seed, answer.project, answer.size, line, flush=True)
        seed += 1
    print(
        f"{cases} short projects, {named} changes, {without} with none, {wrong} wrong; "
        f"slowest {slowest[0]:.2f} s ({slowest[1]}); {time.monotonic() - began:.0f} s"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
