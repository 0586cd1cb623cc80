"""Writing files: the one room that does. A file is there whole or as it was before, at every moment.

Bytes go into a hidden file in the same folder, to the disk, and only then get their name; then the folder's list of
names goes to the disk. A file of the user's is never replaced, and one of ours only where nobody changed it meanwhile.
"""

from __future__ import annotations

import errno
import os
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.halves import discard, discard_leftovers, half_of
from planner.noting import giving_name, rehearsal_now
from planner.telling import tell

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

_IS_POSIX = os.name == "posix"
_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}  # file systems without links
_NO_SYNC = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS}  # those whose folders need none


class ChangedError(OSError):
    """Raised where a file is not any more as it was read."""

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EBUSY, "it was changed by someone else in the meantime; ask again", str(path))


class UnconfirmedError(OSError):
    """Raised where a file is written, but the system did not confirm that it would outlive a power cut."""

    hint = "it may be all right: look at it, or at `lotwise history`, and make a copy of the folder"

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EIO, "it is written, but the disk did not confirm it", str(path))


def unwritten(what: str, path: Path | str, error: OSError) -> str:
    """What to say where writing a file ended in an error: that `what` was not done, or that it was for all that."""
    if isinstance(error, UnconfirmedError):
        return f"{path}: {error.strerror}"
    return f"No {what}: {path}: {error.strerror or error}"


def create_file(path: Path, data: bytes) -> Path:
    """Write a new file and return where it really lies: its folder with symbolic links resolved.

    Raises FileExistsError where anything has that name already, a link that leads nowhere included; OSError where it
    cannot be written. Either leaves nothing behind.
    """
    rehearsal = rehearsal_now()
    if rehearsal is not None:
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
        rehearsal.files.append((path, data, b""))
        return path
    folder = path.parent.resolve(strict=True)
    target = folder / path.name
    tidy(folder)
    with _naming(path), _half(target) as half:
        _write_through(half, data)
        with giving_name(path, {target: data}):
            _give_name(half, target, data)
        try:
            _sync_folder(folder)
        except BaseException as error:
            with suppress(OSError):
                target.unlink()
            if os.path.lexists(target) and isinstance(error, OSError):
                raise UnconfirmedError(path) from error
            raise
    return target


def create_in(folder: Path, name: str, data: bytes) -> Path:
    """Write a new file into a folder, which is made where there is none; as `create_file`."""
    fresh = rehearsal_now() is None and not folder.exists()
    if fresh:
        folder.mkdir()
    try:
        if fresh:
            _sync_folder(folder.parent)
        return create_file(folder / name, data)
    except BaseException:
        if fresh:
            with suppress(OSError):  # another may have put something into it by now
                folder.rmdir()
        raise


def create_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write a new folder of files, by their names in it with forward slashes: all of them or none.

    An empty folder of that name is taken for it. Raises OSError.
    """
    rehearsal = rehearsal_now()
    if rehearsal is not None:
        rehearsal.files += ((folder / name, data, b"") for name, data in files.items())
        return
    target = folder.resolve()
    tidy(target.parent)
    with _naming(folder), _half(target) as half:
        half.mkdir()
        for name, data in files.items():
            (half / name).parent.mkdir(exist_ok=True)
            _write_through(half / name, data)
        for inside in {(half / name).parent for name in files} | {half}:
            _sync_folder(inside)
        with giving_name(folder, {target / name: data for name, data in files.items()}):
            _rename_folder(half, target)
        _sync_folder(target.parent)


def replace_file(path: Path, before: bytes, data: bytes) -> None:
    """Put `data` in the place of a file of ours that held `before` (empty: no file) when it was read.

    A link is followed. Call it within `locked`. Raises ChangedError where the file holds anything else by now; OSError
    where it cannot be written: it is as it was before then.
    """
    rehearsal = rehearsal_now()
    if rehearsal is not None:
        rehearsal.files.append((path, data, before))
        return
    target = path.resolve()
    with _naming(path):
        with _half(target) as half:
            _write_through(half, data)
            if target.exists():
                _refuse_protected(target)
                half.chmod(target.stat().st_mode & 0o7777)
            if read_ours(target) != before:
                raise ChangedError(path)
            with giving_name(path, {target: data}):
                half.replace(target)
        try:
            _sync_folder(target.parent)
        except OSError as error:
            raise UnconfirmedError(path) from error


def read_ours(path: Path) -> bytes:
    """Return what a file of ours holds; empty where there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return b""


def tidy(folder: Path) -> None:
    """Discard what runs left half written in a folder that were stopped, and say so beside the answer."""
    for name in discard_leftovers(folder):
        tell(f"lotwise: discarded {safe_text(name)}, left half written by a run that was stopped")


@contextmanager
def _half(target: Path) -> Iterator[Path]:
    """The hidden file or folder that is to become `target`; gone afterwards, unless not even that can be done."""
    half = half_of(target)
    try:
        yield half
    finally:
        with suppress(OSError):  # the next run discards it
            discard(half)


@contextmanager
def _naming(path: Path) -> Iterator[None]:
    """Errors within name the file that the user knows, not its hidden half."""
    try:
        yield
    except OSError as error:
        error.filename, error.filename2 = str(path), None
        raise


def _refuse_protected(target: Path) -> None:
    """Raise PermissionError for a file that the user has protected from being written."""
    if not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, "it is protected from being written")


def _rename_folder(half: Path, target: Path) -> None:
    """Give the finished folder its name; an empty folder gives way, by itself where the system is a POSIX one."""
    if not _IS_POSIX and target.is_dir():
        target.rmdir()
    half.rename(target)


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
        if error.errno not in _NO_LINKS:
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
        with suppress(OSError):
            target.unlink()
        raise


def _sync_folder(folder: Path) -> None:
    """Bring a folder's list of names to the disk; not every system lets a folder be opened for that."""
    if not _IS_POSIX:
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    except OSError as error:
        if error.errno not in _NO_SYNC:
            raise
    finally:
        os.close(opened)
