"""Hidden files that are being written: how they are called, and those that runs left behind which were stopped."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

_IS_POSIX = os.name == "posix"
_HALF = re.compile(r"\.(.+)\.([0-9]{1,10})-([0-9]{1,20})\.part")


def half_of(target: Path) -> Path:
    """The hidden file beside one that is to be written; its name says which process writes it."""
    process = os.getpid()
    return target.with_name(f".{target.name}.{process}-{_started(process)}.part")


def discard_leftovers(folder: Path) -> tuple[str, ...]:
    """Remove the hidden halves of files in a folder that runs left behind which are gone, and say which they were."""
    found = [(path, _HALF.fullmatch(path.name)) for path in sorted(folder.iterdir())]
    left = [path for path, named in found if named and not _runs(int(named[2]), int(named[3]))]
    return tuple(path.name for path in left if _discarded(path))


def discard(path: Path) -> None:
    """Remove a file, or a folder with all that is in it; that there is none is fine. Raises OSError."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


def _discarded(path: Path) -> bool:
    """Whether it could be removed; where nothing can be written it stays, and does no harm."""
    try:
        discard(path)
    except OSError:
        return False
    return True


def _started(process: int) -> int:
    """When a process began, in the system's own ticks, so that a number used again is not taken for it; 0: untold."""
    try:
        return int(Path(f"/proc/{process}/stat").read_text("ascii", "replace").rpartition(")")[2].split()[19])
    except (OSError, ValueError, IndexError):
        return 0


def _runs(process: int, started: int) -> bool:
    """Whether that very process still runs; where that cannot be asked without harm, it is taken to."""
    if not _IS_POSIX:
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    if process == os.getpid():  # an older run's, or our own of another thread
        return started == _started(process) != 0
    return started in {0, _started(process)}
