"""Plans that are kept: written as plans/NAME.json with the digests of the files they came from, and read again."""

from __future__ import annotations

import errno
import json
import os
import stat
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from planner.asking import AskError
from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
from planner.show.documents import write
from planner.writing import create_in
from stash.faults import Fault, FaultyFilesError, Place
from stash.kinds import DEVICES, ID
from stash.nearest import suggest
from stash.nodes import short

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from planner.workspace import Workspace

T = TypeVar("T")
FORMAT = "lotwise/plan-1"
FOLDER = "plans"
MOST_BYTES = 16_000_000  # some 5,000 projects; with so many groups at most, no document takes over 300 MB to read
MOST_GROUPS = 300_000
LEAST_SURE, MOST_SURE = 0.5, 0.999
_AGAIN = "plan and save it again: lotwise plan --save NAME"


@dataclass(frozen=True)
class Saved:
    """A plan, the name of its file, and the SHA-256 of the workspace's files as they were then."""

    plan: Plan
    file: str
    digests: Mapping[str, str]
    document: Mapping[str, Any]


def check_name(folder: Path, name: str) -> None:
    """Raise AskError where no plan can be saved under that name."""
    if not ID.fullmatch(name):
        raise AskError(
            f"'{name}' cannot be the name of a plan",
            "use letters, digits, - and _, at most 64, such as --save november",
        )
    if DEVICES.fullmatch(name):
        raise AskError(f"'{name}' cannot be the name of a file on Windows", f"try --save {name}-plan")
    if os.path.lexists(folder / FOLDER / f"{name}.json"):
        raise AskError(
            f"there is a plan {name} already, and nothing is written over", f"try --save {_free(folder, name)}"
        )


def save_plan(workspace: Workspace, document: Mapping[str, Any], name: str) -> str:
    """Write a plan's document as a new file and return its name in the workspace. Raises OSError."""
    whole = {**document, "files": dict(workspace.digests), "revision": len(workspace.books.ledger.entries)}
    file, data = f"{FOLDER}/{name}.json", f"{write(whole)}\n".encode()
    if len(data) > MOST_BYTES:
        raise OSError(errno.EFBIG, f"it is over {MOST_BYTES / 1e6:.0f} MB; plan fewer projects at a time", file)
    create_in(workspace.folder / FOLDER, f"{name}.json", data)
    return file


def load_saved(folder: Path, name: str) -> Saved:
    """Read the plan NAME, or the file of that name, from a workspace's folder.

    Raises AskError where there is none, FaultyFilesError where it cannot be read as a plan, OSError.
    """
    name = name.removesuffix(".json").rpartition("/")[2]
    file = f"{FOLDER}/{name}.json"
    path = folder / file
    if not ID.fullmatch(name) or not os.path.lexists(path):
        raise _no_such(folder, name)
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):
        _refuse(file, "this is not a plain file")
    if status.st_size > MOST_BYTES:
        _refuse(file, f"this file is over {MOST_BYTES / 1e6:.0f} MB: it is no plan of lotwise")
    document = _parsed(file, path.read_bytes())
    try:
        return Saved(_plan(document), file, _texts(document.get("files", {})), document)
    except _FormError as error:
        _refuse(file, f"this is not a plan as lotwise writes it: {error}")


def changed_since(saved: Saved, workspace: Workspace) -> tuple[str, ...]:
    """The files that are not as they were when the plan was made, in order; of a plan that says none, none."""
    if not saved.digests:
        return ()
    names = sorted(saved.digests.keys() | workspace.digests.keys())
    return tuple(name for name in names if saved.digests.get(name) != workspace.digests.get(name))


class _FormError(ValueError):
    """What is in the file is not of the form that a plan has."""


def _refuse(file: str, message: str, place: tuple[int, int] = (1, 1)) -> NoReturn:
    raise FaultyFilesError((Fault(Place(file, *place), message, _AGAIN),))


def _no_such(folder: Path, name: str) -> AskError:
    known = sorted(path.stem for path in (folder / FOLDER).glob("*.json")) if (folder / FOLDER).is_dir() else []
    if not known:
        return AskError("no plan is saved here yet", "save one first: lotwise plan --save NAME")
    return AskError(f"no plan is called {name}", suggest(name, known, "the plans are"))


def _free(folder: Path, name: str) -> str:
    number = 2
    while os.path.lexists(folder / FOLDER / f"{name}-{number}.json"):
        number += 1
    return f"{name}-{number}"


def _parsed(file: str, data: bytes) -> dict[str, Any]:
    if data.count(b"[") + data.count(b"{") > MOST_GROUPS:
        _refuse(file, f"this file has over {MOST_GROUPS:,} brackets: it is no plan of lotwise")
    try:
        document = json.loads(data.decode("utf-8"), object_pairs_hook=_each_once)
        # json.loads takes NaN, 1e999 and half a surrogate pair, none of which can be counted with or written on a page
        json.dumps(document, ensure_ascii=False, allow_nan=False).encode()
    except json.JSONDecodeError as error:
        _refuse(file, f"this cannot be read as JSON: {error.msg}", (error.lineno, error.colno))
    except _FormError as error:
        _refuse(file, f"this is not a plan as lotwise writes it: {error}")
    except (UnicodeDecodeError, RecursionError, ValueError):
        _refuse(file, "this cannot be read as JSON")
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        _refuse(file, f'this is not a plan: it does not say "format": "{FORMAT}"')
    return document


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A group of a document; of a key that stands there twice nobody knows which was meant."""
    group = dict(pairs)
    if len(group) < len(pairs):
        ((twice, _),) = Counter(key for key, _ in pairs).most_common(1)
        raise _FormError(f"'{short(twice)}' stands there twice")
    return group


def _plan(document: dict[str, Any]) -> Plan:
    totals = _get(document, "totals", dict)
    sure = _number(document, "confidence")
    if not LEAST_SURE <= sure <= MOST_SURE:
        raise _FormError("'confidence' is out of bounds")
    return Plan(
        projects=tuple(_project(one) for one in _rows(document, "projects")),
        confidence=Fraction(str(sure)),
        aim=_get(document, "aim", str),
        aim_value=_number(totals, "aim"),
        aim_bound=float("inf") if totals.get("aim_bound") is None else _number(totals, "aim_bound"),
        proof=_get(totals, "proof", str),
        seconds=0.0,
    )


def _project(row: dict[str, Any]) -> PlannedProject:
    size = None if row.get("size") is None else _get(row, "size", str)
    needs = tuple(_need(one) for one in _rows(row, "needs"))
    return PlannedProject(_get(row, "project", str), _get(row, "pattern", str), size, needs)


def _need(row: dict[str, Any]) -> PlannedNeed:
    return PlannedNeed(_get(row, "need", str), _cm(row, "planned_m"), tuple(_run(one) for one in _rows(row, "yarns")))


def _run(row: dict[str, Any]) -> YarnRun:
    part = None if row.get("part") is None else _get(row, "part", str)
    lots = _get(row, "lots", dict)
    strands = {lot: _get(lots, lot, int) for lot in lots}
    return YarnRun(strands, _cm(row, "length_m"), part, tuple(_take(one) for one in _rows(row, "skeins")))


def _take(row: dict[str, Any]) -> Take:
    return Take(
        _get(row, "strand", int),
        _get(row, "lot", str),
        _get(row, "skein", str),
        _get(row, "piece", int),
        _cm(row, "take_m"),
    )


def _rows(row: dict[str, Any], key: str) -> list[dict[str, Any]]:
    rows = _get(row, key, list)
    if not all(isinstance(one, dict) for one in rows):
        raise _FormError(f"'{key}' is not a list of groups")
    return rows


def _cm(row: dict[str, Any], key: str) -> int:
    return round(100 * _number(row, key))


def _number(row: dict[str, Any], key: str) -> float:
    value = row.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e12:
        raise _FormError(f"'{key}' is not a number")
    return float(value)


def _get(row: dict[str, Any], key: str, kind: type[T]) -> T:
    value = row.get(key)
    if not isinstance(value, kind) or isinstance(value, bool):
        raise _FormError(f"'{key}' is missing or of another kind")
    return value


def _texts(found: object) -> dict[str, str]:
    if not isinstance(found, dict) or not all(isinstance(value, str) for value in found.values()):
        raise _FormError("'files' is not a group of texts")
    return found
