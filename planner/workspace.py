"""A workspace: a folder's stash, patterns and projects, read whole or refused with every fault."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from patterns.projects import ProjectList
from patterns.read import read_pattern
from patterns.read_projects import CONFIDENCE, read_projects
from planner import workspacefaults as wrong
from planner.collecting import without_collecting
from planner.ledger.books import NO_BOOKS, check_books, load_books
from planner.ledger.free import free, owned
from stash.faults import Fault, FaultyFilesError
from stash.read import read_stash
from stash.textfaults import MOST_BYTES, file_too_big

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from patterns.needs import Pattern
    from planner.ledger.books import Books
    from stash.lots import Stash

File = tuple[str, bytes]
OTHER_ENDINGS = (".yml", ".yaml.txt", ".yml.txt")  # some editors add one and do not show it


@dataclass(frozen=True)
class Workspace:
    """What is in a workspace's files, by id in id order; `warnings` are sorted by place.

    `stash` holds what is free: the files' yarn (`written`) less what the ledger has used or set aside.
    """

    folder: Path
    stash: Stash
    patterns: Mapping[str, Pattern]
    projects: ProjectList
    warnings: tuple[Fault, ...]
    books: Books = NO_BOOKS
    digests: Mapping[str, str] = field(default_factory=dict)  # SHA-256 of each file's bytes, by its name

    @property
    def written(self) -> Stash:
        """The stash as the user's files have it."""
        return self.stash if self.books.written is None else self.books.written

    @cached_property
    def owned(self) -> Stash:
        """What is still there: free, or set aside."""
        return owned(self.written, self.books.standing)

    def free_for(self, project: str) -> Workspace:
        """The workspace with what is set aside for a project free, be it named with its size or without."""
        standing = self.books.standing
        name = next((name for name in (project, project.partition(":")[0]) if name in standing.aside), None)
        return self if name is None else replace(self, stash=free(self.written, standing, but_for=name))


@without_collecting()
def load_workspace(folder: Path) -> Workspace:
    """Read the workspace in `folder`.

    Places name files relative to it, with forward slashes. Raises FaultyFilesError with every fault in the files,
    sorted by place, the warnings last; OSError where a file or the folder cannot be read.
    """
    _must_be_a_folder(folder)
    faults: list[Fault] = _look_alikes(folder)
    stash_files = _read_file(folder, "stash.yaml", faults) + _read_folder(folder, "stash", faults)
    whole = bool(stash_files) and all(fault.warning for fault in faults)
    pattern_files = _read_folder(folder, "patterns", faults)
    faults += _missing(stash_files, pattern_files) if all(fault.warning for fault in faults) else []
    found = read_stash(stash_files)
    patterns = _read_patterns(pattern_files, faults)
    faults += found.faults
    projects = ProjectList(CONFIDENCE, None)
    project_files = _read_file(folder, "projects.yaml", faults)
    for file in project_files:
        lots = found.lot_ids if whole and found.whole else None
        projects, told = read_projects(file, patterns or None, lots)
        faults += told
    good = {name: pattern for name, pattern in sorted(patterns.items()) if pattern is not None}
    books, told = load_books(folder)
    faults += told
    if all(fault.warning for fault in faults):
        faults += check_books(found.stash, good, projects, books.standing)
    in_order = tuple(sorted(faults, key=lambda fault: (fault.warning, fault)))
    if not all(fault.warning for fault in in_order):
        raise FaultyFilesError(in_order)
    digests = {name: hashlib.sha256(data).hexdigest() for name, data in [*stash_files, *pattern_files, *project_files]}
    books = replace(books, written=found.stash)
    return Workspace(folder, free(found.stash, books.standing), good, projects, in_order, books, digests)


def _must_be_a_folder(folder: Path) -> None:
    if not stat.S_ISDIR(folder.stat().st_mode):
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))


def _look_alikes(folder: Path) -> list[Fault]:
    """What stands right in the folder and is meant to be read, by its name, but is not."""
    found: list[Fault] = []
    for name in sorted(one.name for one in folder.iterdir()):
        folded = name.casefold()
        meant = _meant_by(folded)
        if name != meant and meant is not None and not os.path.lexists(folder / meant):
            found.append(wrong.other_name(name, meant))
        elif name != meant and folded.endswith(OTHER_ENDINGS) and meant is not None:
            found.append(wrong.other_ending(name))
    return found


def _meant_by(folded: str) -> str | None:
    """The file or folder of a workspace that a name in small letters was to be."""
    if folded in {"stash", "patterns", "pattern"}:
        return "stash" if folded == "stash" else "patterns"
    stem = next((folded.removesuffix(end) for end in (*OTHER_ENDINGS, ".yaml") if folded.endswith(end)), None)
    return {"stash": "stash.yaml", "projects": "projects.yaml", "project": "projects.yaml"}.get(stem or "")


def _missing(stash_files: list[File], pattern_files: list[File]) -> list[Fault]:
    if not stash_files and not pattern_files:
        return [wrong.no_workspace()]
    return ([] if stash_files else [wrong.no_stash()]) + ([] if pattern_files else [wrong.no_patterns()])


def _read_patterns(files: list[File], faults: list[Fault]) -> dict[str, Pattern | None]:
    """Patterns by their files' names; None for one that has a fault, be it one that kept it from being read."""
    refused = {fault.place.file for fault in faults if not fault.warning}
    patterns: dict[str, Pattern | None] = {
        PurePosixPath(file).stem: None for file in refused if file.startswith("patterns/") and file.endswith(".yaml")
    }
    folded: dict[str, str] = {}
    for name, data in files:
        pattern, told = read_pattern(name, data)
        faults += told
        stem = name.rpartition("/")[2].removesuffix(".yaml")
        patterns[stem] = pattern
        if (other := folded.setdefault(stem.casefold(), name)) != name:
            faults.append(wrong.patterns_alike(name, other))
    return patterns


def _read_folder(folder: Path, name: str, faults: list[Fault]) -> list[File]:
    """All .yaml files right in a folder, in the order of their names; none when there is no such folder."""
    if not os.path.lexists(folder / name):
        return []
    if not stat.S_ISDIR((folder / name).stat().st_mode):
        faults.append(wrong.not_a_folder(name))
        return []
    inside = sorted(path.name for path in (folder / name).iterdir())
    files: list[File] = []
    for one in inside:
        if one.startswith("."):
            continue
        if one.endswith(".yaml"):
            files += _read_file(folder, f"{name}/{one}", faults)
        elif one.lower().endswith((*OTHER_ENDINGS, ".yaml")):
            faults.append(wrong.other_ending(f"{name}/{one}"))
        elif stat.S_ISDIR((folder / name / one).lstat().st_mode):
            faults.append(wrong.folder_in_folder(f"{name}/{one}", name))
    return files


def _read_file(folder: Path, name: str, faults: list[Fault]) -> list[File]:
    """The file's name and bytes; nothing where there is no such file, or where it is refused."""
    if not os.path.lexists(folder / name):
        return []
    status = (folder / name).stat()
    if not stat.S_ISREG(status.st_mode):
        faults.append(wrong.not_a_plain_file(name))
        return []
    if status.st_size > MOST_BYTES:
        faults.append(file_too_big(name, status.st_size))
        return []
    return [(name, (folder / name).read_bytes())]
