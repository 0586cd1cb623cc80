"""A spreadsheet's rows as a new stash file: what was understood, what is new, what could not be read and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.measure.newlot import known_stash, stash_files
from planner.sheets.asking import settle
from planner.sheets.headers import headed, read_maps, refuse_unused
from planner.sheets.reading import read_tables
from planner.sheets.refusedrows import rows_file
from planner.sheets.rows import Refused, Row, read_rows, refused
from planner.sheets.sound import sound
from planner.sheets.table import SheetError
from planner.sheets.values import CellError, fit_id
from planner.writing import create_file
from stash.nearest import name_some, suggest
from stash.read import read_stash
from stash.units import UnitError, read_length, read_mass

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from planner.sheets.draft import Draft
    from planner.sheets.headers import Headed
    from planner.sheets.rows import Names
    from stash.faults import Fault
    from stash.lots import Skein, Stash


@dataclass(frozen=True)
class Asked:
    """What is asked: `maps` as --map has them; `sheets`: the only ones to read, where any are named."""

    file: Path
    maps: tuple[str, ...]
    sheets: tuple[str, ...]
    rehearse: bool


@dataclass(frozen=True)
class NewFile:
    """A file to be written: its name in the workspace, and its bytes."""

    name: str
    data: bytes


@dataclass(frozen=True)
class Known:
    """A row that is in the stash already, in `file`; `differs`: with another mass or length, which stays as it is."""

    row: Row
    file: str
    differs: bool


@dataclass(frozen=True)
class Imported:
    """What came of a spreadsheet. `files`: written, unless rehearsed; `kept`: where refused rows lie already."""

    sheets: tuple[Headed, ...]
    passed_over: tuple[str, ...]  # sheets that have headers too, or none
    rows: tuple[Row, ...]
    known: tuple[Known, ...]
    refused: tuple[Refused, ...]
    names: Names
    files: tuple[NewFile, ...]
    kept: str
    warnings: tuple[Fault, ...]
    rehearsed: bool


def import_sheet(folder: Path, asked: Asked) -> Imported:
    """Read a spreadsheet and write what is new in it.

    Raises SheetError where it cannot be read at all, AskError where something must be told first, FaultyFilesError
    where the stash has faults of its own, OSError where a file cannot be written; nothing is written then.
    """
    stash = known_stash(folder)
    tables = read_tables(asked.file)
    maps = read_maps(asked.maps)
    found = [sheet for table in tables if (sheet := headed(table, maps)) is not None]
    chosen = _chosen(found, asked, [table.name for table in tables])
    refuse_unused(maps, chosen)
    sheets = settle(chosen)
    rows, wrong, names = read_rows(sheets)
    fresh, known, split = _told_apart(rows, stash)
    before = stash_files(folder)
    made, faulty = sound(fresh, [*wrong, *split], before, stash, asked.file.name)
    all_wrong = tuple(sorted(faulty, key=lambda one: (sheets.index(one.sheet), one.number)))
    files, kept = _files(folder, asked.file, made, all_wrong)
    warnings: tuple[Fault, ...] = ()
    if made.rows:
        told = read_stash([*before, (files[0].name, files[0].data)]).faults
        old = set(read_stash(before).faults)
        warnings = tuple(fault for fault in told if fault not in old)
    if not asked.rehearse:
        _write(folder, files)
    others = tuple(table.name for table in tables if table not in [sheet.table for sheet in sheets])
    return Imported(
        tuple(sheets), others, tuple(made.rows), known, all_wrong, names, files, kept, warnings, asked.rehearse
    )


def _chosen(found: Sequence[Headed], asked: Asked, names: Sequence[str]) -> list[Headed]:
    """The sheets to read: those named; else all that a program wrote; else the one with most known headers."""
    for name in asked.sheets:
        if name not in names:
            raise SheetError(f"there is no sheet '{name}'", suggest(name, names, "the sheets are"))
    wanted = [sheet for sheet in found if not asked.sheets or sheet.table.name in asked.sheets]
    if not wanted:
        what = name_some(asked.sheets or names)
        raise SheetError(
            f"no row with headers that lotwise knows was found in {what}",
            "head the columns with words such as skein, lot, fibre, colour, count, mass (g), length (m)",
        )
    if asked.sheets:
        return wanted
    ours = [sheet for sheet in wanted if sheet.ours]
    return ours or [max(wanted, key=lambda sheet: sheet.known)]


def _told_apart(rows: Iterable[Row], stash: Stash) -> tuple[list[Row], tuple[Known, ...], list[Refused]]:
    """Rows that are new, rows that are in the stash, and rows of a lot that is in it without them."""
    skeins = {one.id.casefold(): one for lot in stash.lots.values() for one in lot.skeins}
    lots = {lot.id.casefold(): lot.place.file for lot in stash.lots.values()}
    donors = {donor.id.casefold(): donor.place.file for donor in stash.donors.values()}
    fresh: list[Row] = []
    known: list[Known] = []
    wrong: list[Refused] = []
    for row in rows:
        if row.is_donor:
            file = donors.get(row.ids["donor"].casefold())
            known += [] if file is None else [Known(row, file, differs=False)]
            fresh += [row] if file is None else []
        elif (skein := skeins.get(row.ids["skein"].casefold())) is not None:
            known.append(Known(row, skein.place.file, _differs(row, skein)))
        elif (file := lots.get(row.ids["lot"].casefold())) is not None:
            message = f"lot {row.ids['lot']} is in {file} already, without this skein"
            hint = f"write it there, a line under its skeins, such as {row.ids['skein']}: 118 g"
            wrong.append(refused(row.sheet, row.number, "skein", message, hint))
        else:
            fresh.append(row)
    return fresh, tuple(known), wrong


def _differs(row: Row, skein: Skein) -> bool:
    """Whether a row says another mass or length than the stash; one it leaves blank says nothing."""
    for key, read, own in (("mass", read_mass, skein.mass_g), ("length", read_length, skein.length_m)):
        try:
            if key in row.values and read(row.values[key]).value != own:
                return True
        except UnitError:
            return True
    return False


def _files(folder: Path, source: Path, made: Draft, wrong: Sequence[Refused]) -> tuple[tuple[NewFile, ...], str]:
    """The new files, under a name that nothing has; and where the same refused rows lie already, if they do."""
    try:
        stem = f"import-{fit_id(source.stem.removesuffix('.rows').removeprefix('import-'))}"
    except CellError:
        stem = "import-sheet"
    refused_rows = rows_file(wrong)
    place = folder / "stash"
    kept = next(
        (f"stash/{one.name}" for one in sorted(place.glob("*.rows.csv")) if one.read_bytes() == refused_rows), ""
    )
    free = next(
        name
        for number in range(1, 100_000)
        for name in [stem if number == 1 else f"{stem}-{number}"]
        if not any((place / f"{name}{end}").exists() for end in (".yaml", ".rows.csv"))
    )
    files = [NewFile(f"stash/{free}.yaml", made.text.encode())] if made.rows else []
    if wrong and not kept:
        files.append(NewFile(f"stash/{free}.rows.csv", refused_rows))
    return tuple(files), kept if wrong else ""


def _write(folder: Path, files: Sequence[NewFile]) -> None:
    """All of the files, or none."""
    place = folder / "stash"
    fresh = bool(files) and not place.exists()
    written: list[Path] = []
    try:
        if fresh:
            place.mkdir()
        for file in files:
            create_file(folder / file.name, file.data)
            written.append(folder / file.name)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        if fresh and place.exists():
            place.rmdir()
        raise
