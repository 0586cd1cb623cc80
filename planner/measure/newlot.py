"""A new lot of the stash: what must be told of it, its text as a stash file, and where that file goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.asking import AskError
from planner.workspace import load_workspace
from planner.workspacefaults import no_patterns, no_stash, no_workspace
from planner.writing import create_in
from stash.faults import FaultyFilesError
from stash.kinds import DEVICES
from stash.measuring import plain_number
from stash.quoting import quoted
from stash.read import read_stash

if TYPE_CHECKING:
    from pathlib import Path

    from planner.measure.asking import Told
    from stash.faults import Fault
    from stash.lots import Lot, Stash
    from stash.measuring import Reading
    from stash.read import StashRead

NEXT_LINE = "\n"
_HEAD = "# Written by `lotwise measure`, once; yours to change from here on.\nlots:\n"


@dataclass(frozen=True)
class NewSkein:
    """A skein as the user wrote it; `kind`: "mass" or "length"; `pieces` None: one, and nobody said so."""

    id: str  # "" until it has one
    quantity: str
    kind: str
    pieces: int | None


@dataclass(frozen=True)
class NewLot:
    """A lot to be written; what is None or "" is left out and has its default."""

    id: str
    fibre: str
    colour: str
    donor: str | None
    bleeds: str | None
    felts: str | None
    skeins: tuple[NewSkein, ...]


@dataclass(frozen=True)
class Added:
    """A lot as it was read back, the text of its file and the file's name in the workspace.

    `written`: not for a rehearsal, and not where one file `stash.yaml` stands in place of the folder (`one_file`).
    """

    lot: Lot
    text: str
    file: str
    written: bool
    one_file: bool
    warnings: tuple[Fault, ...]


def known_stash(folder: Path) -> Stash:
    """The stash a lot is to be added to, as the files have it; that there is none yet, or no pattern, is no hindrance.

    Raises FaultyFilesError, OSError.
    """
    try:
        load_workspace(folder)
    except FaultyFilesError as error:
        not_yet = {no_workspace(), no_stash(), no_patterns()}
        if any(not fault.warning and fault not in not_yet for fault in error.faults):
            raise
    return read_stash(stash_files(folder)).stash


def add_lot(folder: Path, new: NewLot, told: Told, *, rehearse: bool) -> Added:
    """Write a new lot as a new stash file, after reading it back with all the others.

    Raises AskError where the files would be faulty with it, OSError where it cannot be written, FileExistsError where
    a file is in its place; nothing is changed then.
    """
    text = lot_text(new, told)
    file = f"stash/{'lot-' if DEVICES.fullmatch(new.id) else ''}{new.id}.yaml"
    files = stash_files(folder)
    before, after = read_stash(files), read_stash([*files, (file, text.encode())])
    _refuse_faulty(after)
    lot = after.stash.lots[new.id]
    _refuse_other_count(lot, told)
    one_file = (folder / "stash.yaml").exists() and not (folder / "stash").is_dir()
    write = not rehearse and not one_file
    if write:
        create_in(folder / "stash", file.removeprefix("stash/"), text.encode())
    warnings = tuple(fault for fault in after.faults if fault not in before.faults)
    return Added(lot, text, file, write, one_file, warnings)


def lot_text(new: NewLot, told: Told) -> str:
    """The lot as a stash file of its own."""
    fields = {
        "donor": None if new.donor is None else quoted(new.donor),
        "fibre": quoted(new.fibre),
        "colour": quoted(new.colour),
        "scale": None if told.scale is None else _tidy(told.scale.text),
        "count": _count(told),
        "felts": new.felts,
        "bleeds": new.bleeds,
    }
    lines = [f"    {key}:{value if value[0] == NEXT_LINE else f' {value}'}\n" for key, value in fields.items() if value]
    skeins = [f"      {quoted(skein.id)}: {_skein(skein)}\n" for skein in new.skeins]
    return "".join([_HEAD, f"  {quoted(new.id)}:\n", *lines, "    skeins:\n", *skeins])


def _count(told: Told) -> str:
    if told.wraps is not None:
        return f"{{wraps: {plain_number(told.wraps)}}}"
    samples = [_sample(reading, apart=told.apart) for reading in told.readings]
    return samples[0] if len(samples) == 1 else "".join(f"\n      - {sample}" for sample in samples)


def _sample(reading: Reading, *, apart: bool) -> str:
    long = _tidy(reading.length.text)
    keys = {"length": long} if reading.turns is None else {"turns": plain_number(reading.turns), "around": long}
    names = ("mass",) if len(reading.weighings) == 1 else ("before", "after")
    keys |= {name: _tidy(one.text) for name, one in zip(names, reading.weighings, strict=True)}
    if apart:
        keys["weighed"] = "apart"
    return "{" + ", ".join(f"{key}: {value}" for key, value in keys.items()) + "}"


def _skein(skein: NewSkein) -> str:
    if skein.pieces is None:
        return _tidy(skein.quantity)
    return f"{{{skein.kind}: {_tidy(skein.quantity)}, pieces: {skein.pieces}}}"


def _tidy(text: str) -> str:
    return " ".join(text.split())


def stash_files(folder: Path) -> list[tuple[str, bytes]]:
    """The stash's files as they are read, in order."""
    one = folder / "stash.yaml"
    files = [("stash.yaml", one.read_bytes())] if one.exists() else []
    inside = sorted((folder / "stash").glob("*.yaml")) if (folder / "stash").is_dir() else []
    return files + [(f"stash/{path.name}", path.read_bytes()) for path in inside if not path.name.startswith(".")]


def _refuse_faulty(found: StashRead) -> None:
    wrong = next((fault for fault in found.faults if not fault.warning), None)
    if wrong is not None:
        raise AskError(f"the lot would be faulty: {wrong.message}", wrong.hint.partition("\n")[0])


def _refuse_other_count(lot: Lot, told: Told) -> None:
    """What the file tells must be what was shown, to the last bit."""
    shown = None if told.yarn is None else told.yarn.count()
    if shown is None or (lot.count.tex, lot.count.relative_u, lot.count.apart) != (
        shown.tex,
        shown.relative_u,
        shown.apart,
    ):
        raise RuntimeError(f"lot {lot.id} reads back as {lot.count}, measured as {shown}")
