"""The commands that write, each with the workspace it writes in and how it ends when it is asked once more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.locking import DOOR, LOCK

if TYPE_CHECKING:
    from pathlib import Path

    from tests.crash.runner import Runner

# 100 g of slate at 230 m/100g hold 218.6 m for sure; the hat takes 55 m of it and the cowl 33 m, and fog the rest.
STASH = """\
lots:
  slate: {fibre: wool, colour: "#5b6770", count: 230 m/100g, skeins: {slate-1: 100 g}}
  fog: {fibre: wool, colour: "#d0d4d8", count: 230 m/100g, skeins: {fog-1: 30 g}}
"""
HAT = """\
name: Hat
craft: knitting
gauge: {stitches: 22, rows: 30, over: 10 cm}
yarn: dk
strands: 1
needs: {main: {lots: one}, motif: {lots: one, colour: {against: main}}}
sizes: {one: {main: 50 m, motif: 10 m}}
chart: {legend: {".": main, "x": motif}, rows: ["x..", ".x."]}
"""
COWL = """\
name: Cowl
craft: knitting
gauge: {stitches: 22, rows: 30, over: 10 cm}
yarn: dk
strands: 1
needs: {main: {lots: one}}
sizes: {one: {main: 30 m}}
"""
FILES = {"stash/all.yaml": STASH, "patterns/hat.yaml": HAT, "patterns/cowl.yaml": COWL, "notes.txt": "mine\n"}
TIDE = ("--add", "tide", "--colour", "navy", "--skein", "118 g")
SAVED = (("plan", "--save", "one"),)
BOOKED = (*SAVED, ("book", "one"))


@dataclass(frozen=True)
class Writing:
    """A command, what was done before it, and its exit code when it is asked again after it was done."""

    name: str
    arguments: tuple[str, ...]
    before: tuple[tuple[str, ...], ...] = ()
    again: int = 2


WRITING = (
    Writing("demo", ("demo", "harbour")),
    Writing("save", ("plan", "--save", "one")),
    Writing("save another", ("plan", "--save", "two"), SAVED),
    Writing("chart", ("plan", "--chart", "hat.svg")),
    Writing("chart and save", ("plan", "--chart", "hat.svg", "--save", "one")),
    Writing("needs", ("needs", "hat", "--for", "woman", "--yarn", "dk", "--pattern", "brim", "--save"), again=5),
    Writing(
        "measure",
        ("measure", "--turns", "40", "--around", "1.5 m", "--mass", "26 g", "--fibre", "wool", *TIDE),
    ),
    Writing("book", ("book", "one"), SAVED),
    Writing("book one more", ("book", "one", "cowl:one"), (*SAVED, ("book", "one", "hat:one"))),
    Writing("use", ("book", "--used", "one"), SAVED),
    Writing("finish", ("finish", "hat:one", "--left", "slate-1=70g", "--left", "fog-1=25g"), BOOKED),
    Writing("release", ("release", "hat:one"), BOOKED),
    Writing("undo", ("undo",), BOOKED),
)


def write_workspace(folder: Path, writing: Writing, runner: Runner) -> None:
    """The workspace as it is before the command."""
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    for arguments in writing.before:
        ran = runner.run(folder, arguments)
        if ran.code:
            raise RuntimeError(ran.err)


def tree(folder: Path) -> dict[str, bytes]:
    """All files by name, without the lock and without halves."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name not in (LOCK, DOOR) and ".part" not in path.as_posix()
    }


def halves(folder: Path) -> list[str]:
    return [path.name for path in folder.rglob(".*.part")]
