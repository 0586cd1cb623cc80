"""`python -m tests.hostile` tries every text in every place, file name and option with every command.

So many labels behind it: these texts only. The tests try a share.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.hostile.texts import TEXTS
from tests.hostile.trying import (
    faults_of_answers,
    faults_of_file_name,
    faults_of_folder_name,
    faults_of_option,
    faults_of_slot,
    options,
)
from tests.hostile.workspace import clean_files, slots, write_files


def _main(folder: Path, labels: list[str]) -> int:
    """Try everything, or the texts of these labels; print what is wrong, and how much was tried."""
    tried = failed = 0

    def judge(what: str, found: list[str]) -> None:
        nonlocal tried, failed
        tried += 1
        failed += bool(found)
        for fault in found:
            print(f"{what}: {fault[:300]}", flush=True)

    write_files(folder / "clean", clean_files())
    for number, label in enumerate(labels or TEXTS):
        text = TEXTS[label]
        own = folder / str(number)
        for slot in slots():
            judge(f"{label} in {slot}", faults_of_slot(slot, text, own / "slot"))
        for command, option in options():
            if command != "demo":
                judge(f"{label} as {command} {option}", faults_of_option(command, option, text, folder / "clean"))
        for as_json in (False, True):
            judge(f"{label} everywhere", faults_of_answers(text, own / "steeped", as_json=as_json))
        judge(f"{label} as a file's name", faults_of_file_name(text, own / "files"))
        judge(f"{label} as a folder's name", faults_of_folder_name(text, own / "folders"))
        print(f"{label}: {tried:,} tried so far, {failed:,} wrong", flush=True)
    print(f"{tried:,} tried, {failed:,} wrong")
    return 1 if failed else 0


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as made:
        sys.exit(_main(Path(made), sys.argv[1:]))
