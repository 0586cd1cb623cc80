"""Stashes written as spreadsheets and read back: the stash that comes back is the one that was written.

python -m tests.sheets_runs --cases 10000 [--first 0]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from planner.measure.newlot import known_stash, stash_files
from planner.sheets.exporting import stash_sheets
from planner.sheets.importing import Asked, import_sheet
from planner.sheets.writing import sheet_bytes
from stash.faults import Place
from stash.lots import Stash
from stash.read import read_stash
from stash.source import read_source
from tests.drawn_stashes import drawn_files

NOWHERE = Place("", 0, 0)
WAYS = (("stash.xlsx", False), ("stash.csv", False), ("stash.csv", True))


def placeless(stash: Stash) -> Stash:
    """The stash without where in the files each thing stands."""
    lots = {
        name: replace(lot, place=NOWHERE, skeins=tuple(replace(skein, place=NOWHERE) for skein in lot.skeins))
        for name, lot in stash.lots.items()
    }
    return Stash({name: replace(donor, place=NOWHERE) for name, donor in stash.donors.items()}, lots)


def notes(files: list[tuple[str, bytes]]) -> dict[str, str]:
    """The notes of donors and lots by their ids, which the reader keeps no further."""
    told: dict[str, str] = {}
    for name, data in files:
        root = read_source(name, data)[0]
        for key, entries in root.items:
            for owner, entry in entries.items if key.text in {"donors", "lots"} else ():
                for one, value in entry.items:
                    if one.text == "note":
                        told[owner.text] = value.text
    return told


def round_trip(files: list[tuple[str, bytes]], name: str, *, raw: bool, units: str = "metric") -> str:
    """Nothing where the stash comes back the same, and importing it once more finds nothing new; else what is wrong."""
    with tempfile.TemporaryDirectory() as first, tempfile.TemporaryDirectory() as second:
        here, there = Path(first), Path(second)
        (here / "stash").mkdir()
        for file, data in files:
            (here / file).write_bytes(data)
        stash = known_stash(here)
        sheets = stash_sheets(here, stash, units, guarded=name.endswith(".csv") and not raw)
        (here / name).write_bytes(sheet_bytes(sheets, here / name, raw=raw))
        found = import_sheet(there, Asked(here / name, (), (), rehearse=False))
        if found.refused:
            return f"refused: {found.refused[0]}"
        back = known_stash(there)
        if placeless(back) != placeless(stash):
            return f"came back as {placeless(back)}, was {placeless(stash)}"
        if notes(stash_files(there)) != notes(files):
            return f"notes came back as {notes(stash_files(there))}, were {notes(files)}"
        again = import_sheet(there, Asked(here / name, (), (), rehearse=False))
        return f"once more: {again.files}" if again.files or again.refused else ""


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--cases", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0)
    asked = parser.parse_args()
    wrong = skeins = 0
    for seed in range(asked.first, asked.first + asked.cases):
        files = drawn_files(seed)
        skeins += sum(len(lot.skeins) for lot in read_stash(files).stash.lots.values())
        name, raw = WAYS[seed % len(WAYS)]
        if told := round_trip(files, name, raw=raw, units=("metric", "imperial")[seed % 2]):
            wrong += 1
            print(f"seed {seed}, {name}, raw {raw}: {told}\n")
    print(f"{asked.cases} stashes of {skeins} skeins, {wrong} came back otherwise; {time.process_time():.0f} s")
    sys.exit(wrong > 0)


if __name__ == "__main__":
    main()
