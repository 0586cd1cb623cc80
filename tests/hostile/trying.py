"""A text tried in one place with the commands that show it: what is wrong with what they say and write."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import typer

from planner import cli
from tests.hostile.judging import acted_on, json_faults, page_faults, svg_faults, table_faults, texts_in
from tests.hostile.workspace import Slot, clean_files, steeped, write_files

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True)
class Said:
    """What a command printed, and its exit code."""

    out: str
    err: str
    code: int

    def faults(self, *, as_json: bool = False) -> list[str]:
        """What of it must not be shown so."""
        found = [
            f"{name} holds {sorted(map(ascii, bad))}"
            for name in ("out", "err")
            if (bad := acted_on(getattr(self, name)))
        ]
        if as_json:
            found += json_faults(self.out)
        if self.code == 70 or "Traceback" in self.err:
            found.append("a mistake of our own: " + ascii(self.err[-300:]))
        return found


def run(*arguments: str | Path) -> Said:
    """A command in this process, with nobody at a terminal."""
    out, err = io.StringIO(), io.StringIO()
    before, sys.stdin = sys.stdin, io.StringIO()
    code = 0
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            cli.main([str(one) for one in arguments])
    except SystemExit as ended:
        code = int(ended.code or 0)
    finally:
        sys.stdin = before
    return Said(out.getvalue(), err.getvalue(), code)


def answers(folder: Path, need: str, size: str) -> list[tuple[str, ...]]:
    """Every command that reads a workspace, as it is asked of `folder`."""
    where = ("--workspace", str(folder))
    return [
        ("check", *where),
        ("lots", *where),
        ("cover", *where),
        ("cover", *where, "--", f"hat:{size}"),
        ("plan", *where),
        ("plan", *where, "--options", "2", "--", f"hat:{size}"),
        ("plan", "--each", "--", str(folder)),
        ("shortfall", *where),
        ("shortfall", *where, "--confidence", "99.9%"),
        ("shortfall", *where, "--list"),
        ("rack", *where, "crew"),
        ("rack", *where, "crew", "--lot"),
        ("prep", *where, "crew"),
        ("midway", *where, f"--need={need}", "--done=50%", "--left=slate=60g", "--", f"hat:{size}"),
        ("midway", *where, f"--need={need}", "--rows=20 of 60", "--left=slate=9g", "--", f"hat:{size}"),
    ]


def faults_of_answers(text: str, folder: Path, *, as_json: bool) -> list[str]:
    """What is wrong with any answer about a workspace steeped in the text."""
    write_files(folder, steeped(text, names=True))
    found = run("check", "--workspace", folder).faults()
    names = run("check", "--workspace", folder).code == 0
    if not names:  # it cannot be a name, but may be in a note
        write_files(folder, steeped(text, names=False))
        if (said := run("check", "--workspace", folder)).code:
            return found + said.faults()
    for asked in answers(folder, *((text, f"{text} 4") if names else ("main", "adult"))):
        words = (asked[0], *(["--json"] if as_json else []), *asked[1:])
        said = run(*words)
        found += [f"{' '.join(words[:2])}: {fault}" for fault in said.faults(as_json=as_json and "--lot" not in words)]
        if (
            names
            and as_json
            and asked[0] in {"cover", "shortfall"}
            and "--list" not in words
            and text not in set(texts_in(json.loads(said.out)))
        ):
            found.append(f"{asked[0]} --json lost the text")
    if not as_json:
        found += _faults_of_image(text, folder)
        found += _faults_of_files(text, folder, *((text, f"{text} 4") if names else ("main", "adult")))
    return found


def files(folder: Path, need: str, size: str) -> list[tuple[str, tuple[str | Path, ...]]]:
    """Every page and table that is written of `folder`, with the name of the file."""
    on_needles = ("midway", f"--need={need}", "--done=50%", "--left=slate=60g")
    return [
        ("plan.html", ("plan", "--report", folder / "plan.html", "--save", "all")),
        ("report.html", ("report", "all", "--out", folder / "report.html")),
        ("ways.html", ("plan", "--options", "2", "--report", folder / "ways.html", "--", f"hat:{size}")),
        ("tags.html", ("tags", "--out", folder / "tags.html")),
        ("card.html", ("card", "--out", folder / "card.html")),
        ("prep.html", ("prep", "crew", "--page", folder / "prep.html")),
        ("midway.html", (*on_needles, "--page", folder / "midway.html", "--", f"hat:{size}")),
        *((f"{what}.csv", ("export", what, folder / f"{what}.csv")) for what in ("stash", "plan", "shortfall", "list")),
        ("stash.xlsx", ("export", "stash", folder / "stash.xlsx")),
    ]


def _faults_of_files(text: str, folder: Path, need: str, size: str) -> list[str]:
    found = []
    for name, asked in files(folder, need, size):
        (folder / name).unlink(missing_ok=True)
        (folder / "plans" / "all.json").unlink(missing_ok=True) if "--save" in asked else None
        said = run(asked[0], "--workspace", folder, *asked[1:])
        wrong = said.faults()
        if not (folder / name).exists():
            wrong.append(f"not written: {said.code} {said.err[-200:]!a}")
        elif name.endswith(".html"):
            wrong += page_faults((folder / name).read_text(encoding="utf-8"), text)
        elif name.endswith(".csv"):
            wrong += table_faults((folder / name).read_bytes())
        found += [f"{name}: {fault}" for fault in wrong]
    return found


def _faults_of_image(text: str, folder: Path) -> list[str]:
    image = folder / "drawn.svg"
    image.unlink(missing_ok=True)
    said = run("plan", "--workspace", folder, "--chart", image)
    if not image.exists():
        return [] if said.code == 3 else [f"no image: {said}"]
    drawn = image.read_text(encoding="utf-8")
    held = " ".join(ET.fromstring(drawn).itertext()) if not svg_faults(drawn) else ""
    return [f"image: {fault}" for fault in [*svg_faults(drawn), *map(ascii, acted_on(drawn))]] + (
        [] if " ".join(text.split()) in " ".join(held.split()) or acted_on(text) else ["image lost the text"]
    )


def faults_of_slot(slot: Slot, text: str, folder: Path) -> list[str]:
    """What is wrong with how the text is answered where it stands in this one place: by `check`, and as JSON."""
    write_files(folder, {**clean_files(), slot.file: slot.filled(text)})
    plain, document = run("check", "--workspace", folder), run("check", "--workspace", folder, "--json")
    found = [*plain.faults(), *document.faults(as_json=True)]
    return (
        found
        if plain.code in {0, 3} and document.code == plain.code
        else [*found, f"exit codes {plain.code}, {document.code}"]
    )


def options() -> list[tuple[str, str]]:
    """Every command with each of its options that takes a text, and "" for its argument."""
    group = typer.main.get_command(cli.app)
    found = []
    for name, command in group.commands.items():
        for one in command.params:
            if one.param_type_name == "argument":
                found.append((name, ""))
            elif not one.is_flag:
                found.append((name, one.opts[0]))
    return found


def faults_of_option(command: str, option: str, text: str, folder: Path) -> list[str]:
    """What is wrong with how a command answers the text on its command line, in a workspace without faults."""
    where = () if option == "--workspace" else ("--workspace", str(folder))
    told = ("--", text) if not option else (f"{option}={text}",)
    asked = {"midway": ("hat:adult",), "schema": ("stash",), "needs": ("hat",)}.get(command, ()) if option else ()
    more = ("--turns", "9") if command == "measure" and option != "--turns" else ()
    said = run(command, *where, *more, *asked, *told)
    document = run(command, "--json", *where, *more, *asked, *told)
    return [*said.faults(), *document.faults(as_json=document.code != 0 or command != "schema")]


def faults_of_file_name(text: str, folder: Path) -> list[str]:
    """What is wrong with how files and folders of this name are told of; none where a disk takes no such name."""
    write_files(folder, clean_files())
    found = []
    places = [f"stash/{text}.yaml", f"patterns/{text}.yaml", f"{text}.yml", f"stash/{text}/x.yaml", f"stash/{text}.yml"]
    for place in places:
        path = folder / place
        with contextlib.suppress(OSError, ValueError, UnicodeEncodeError):
            if not path.resolve().is_relative_to(folder.resolve()):
                continue
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text("lots: [", encoding="utf-8")
    for asked in (("check",), ("check", "--json"), ("cover",)):
        said = run(*asked, "--workspace", folder)
        found += [f"{asked}: {fault}" for fault in said.faults(as_json="--json" in asked)]
    return found


def faults_of_folder_name(text: str, folder: Path) -> list[str]:
    """What is wrong with how a workspace in a folder of this name is answered."""
    try:
        inner = folder / text
        inside = inner.resolve().is_relative_to(folder.resolve()) and inner.resolve() != folder.resolve()
        if not inside:
            return []
        write_files(inner, {**clean_files(), "stash.yaml": "lots: ["})
    except (OSError, ValueError):
        return []
    found = run("check", "--workspace", inner).faults() + run("plan", "--each", "--", inner).faults()
    write_files(inner, clean_files())
    told = [run("plan", "--each", "--", inner), run("plan", "--workspace", inner, "--chart", inner / f"{text}.svg")]
    told.append(run("demo", inner))
    return found + [fault for said in told for fault in said.faults()]
