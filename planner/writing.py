"""Writing files: a new file appears whole or not at all, and none that exists is ever replaced."""

from __future__ import annotations

import errno
import os
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}  # file systems without links


def create_file(path: Path, data: bytes) -> Path:
    """Write a new file and return where it really lies: its folder with symbolic links resolved.

    The bytes go into a hidden file beside it, to the disk, and only then get the name. Raises FileExistsError where
    anything has that name already, a link that leads nowhere included; OSError where it cannot be written. Either
    leaves nothing behind.
    """
    folder = path.parent.resolve(strict=True)
    target = folder / path.name
    discard_leftovers(target)
    half = folder / f".{path.name}.{os.getpid()}.part"
    try:
        _write_through(half, data)
        _give_name(half, target, data)
    finally:
        half.unlink(missing_ok=True)
    try:
        _sync_folder(folder)
    except BaseException:
        target.unlink(missing_ok=True)
        raise
    return target


def discard_leftovers(target: Path) -> None:
    """Remove the hidden halves of `target` that a run left behind which was stopped and is gone."""
    ours = re.compile(re.escape(f".{target.name}.") + r"([0-9]{1,10})\.part")
    for path in sorted(target.parent.iterdir()):
        found = ours.fullmatch(path.name)
        if found and not _runs(int(found[1])):
            path.unlink(missing_ok=True)


def _runs(process: int) -> bool:
    """Whether a process of that number runs; where that cannot be asked without harm, it is taken to."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return process != os.getpid()  # what has our own number is an older run's: we have written nothing yet


def _write_through(path: Path, data: bytes) -> None:
    """Write a file that must be new, down to the disk."""
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _give_name(half: Path, target: Path, data: bytes) -> None:
    """Give the finished file its name, which must be free: a link is refused where the name is taken."""
    try:
        os.link(half, target)
    except OSError as error:
        if isinstance(error, FileExistsError) or error.errno not in _NO_LINKS:
            raise
        _write_where_no_links_are(target, data)


def _write_where_no_links_are(target: Path, data: bytes) -> None:
    """The nearest to it: open the name as a new file, and remove it again if the write fails."""
    file = target.open("xb")
    try:
        with file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def _sync_folder(folder: Path) -> None:
    """Bring a folder's list of names to the disk; not every system lets a folder be opened for that."""
    if os.name != "posix":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
