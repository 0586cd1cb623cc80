"""What may be wrong with a workspace as a folder: one function a fault."""

from __future__ import annotations

from stash.faults import Fault, Place

DEMO_HINT = "'lotwise demo' writes a small workspace to look at"


def no_workspace() -> Fault:
    return Fault(
        Place("stash.yaml", 1, 1),
        "there is no workspace here: neither a stash nor patterns",
        "in a new folder, begin with your yarn: lotwise measure --add LOT;\n"
        "else name the folder of your files with --workspace FOLDER;\n"
        f"{DEMO_HINT}",
    )


def no_stash() -> Fault:
    return Fault(
        Place("stash.yaml", 1, 1),
        "there is no stash here",
        "write your lots into stash.yaml, or into files under stash/;\n"
        f"lotwise measure --add LOT writes one for you; {DEMO_HINT}",
    )


def no_patterns() -> Fault:
    return Fault(
        Place("patterns/", 1, 1),
        "there are no patterns here",
        "write each into a file of its own, such as patterns/skerry.yaml;\n"
        "lotwise needs --save writes one from a shape: lotwise needs hat --yarn dk\n"
        f"--pattern tern --save; {DEMO_HINT}",
    )


def not_a_plain_file(file: str) -> Fault:
    return Fault(Place(file, 1, 1), "this is not a plain file", "move it away, or put a plain text file in its place")


def not_a_folder(name: str) -> Fault:
    return Fault(
        Place(name, 1, 1),
        f"'{name}' should be a folder, and is a file",
        f"rename it to {name}/something.yaml, or move it away" if name == "patterns" else "rename it to stash.yaml",
    )


def folder_in_folder(name: str, outer: str) -> Fault:
    return Fault(
        Place(f"{name}/", 1, 1),
        f"this folder is not read: only files right in {outer}/ are",
        f"move its files up into {outer}/",
        warning=True,
    )


def other_name(name: str, meant: str) -> Fault:
    return Fault(
        Place(name, 1, 1),
        f"this is not read under this name: it should be {meant}",
        f"rename it to {meant}, or move it away",
        warning=True,
    )


def other_ending(file: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        "this file is not read: only names that end in .yaml are",
        "rename it so that it ends in .yaml, or move it away",
        warning=True,
    )


def patterns_alike(file: str, other: str) -> Fault:
    return Fault(
        Place(file, 1, 1),
        f"this pattern's name differs from that of {other} only in capitals",
        "rename one of the two files",
    )
