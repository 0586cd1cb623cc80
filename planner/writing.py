"""Writing files: the one room that does. A file is there whole or as it was before, at every moment.

Bytes go into a hidden file in the same folder, to the disk, and only then get their name; then the folder's list of
names goes to the disk. A file of the user's is never replaced, and one of ours only where nobody changed it meanwhile.
"""

from __future__ import annotations

import errno
import os
import shutil
import sys
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.halves import discard_leftovers, half_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}  # file systems without links
LOCK = ".lotwise.lock"
PATIENCE_S = 120.0


class ChangedError(OSError):
    """Raised where a file is not any more as it was read."""

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EBUSY, "it was changed by someone else in the meantime; ask again", str(path))


class LockedError(OSError):
    """Raised where another lotwise keeps writing in the folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__(errno.EBUSY, "another lotwise is still writing here; ask again when it is done", str(folder))


class UnconfirmedError(OSError):
    """Raised where a file is written, but the system did not confirm that it would outlive a power cut."""

    hint = "it may be all right: `lotwise history` shows what is written; make a copy of the folder"

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EIO, "it is written, but the disk did not confirm it", str(path))


@dataclass
class Rehearsal:
    """What would have been written, in order: paths and whole contents, with what was there before."""

    files: list[tuple[Path, bytes, bytes]] = field(default_factory=list)


_REHEARSAL: ContextVar[Rehearsal | None] = ContextVar("rehearsal", default=None)


@contextmanager
def rehearsing() -> Iterator[Rehearsal]:
    """Within it nothing is written, but kept to be shown."""
    rehearsal = Rehearsal()
    token = _REHEARSAL.set(rehearsal)
    try:
        yield rehearsal
    finally:
        _REHEARSAL.reset(token)


def create_file(path: Path, data: bytes) -> Path:
    """Write a new file and return where it really lies: its folder with symbolic links resolved.

    Raises FileExistsError where anything has that name already, a link that leads nowhere included; OSError where it
    cannot be written. Either leaves nothing behind.
    """
    rehearsal = _REHEARSAL.get()
    if rehearsal is not None:
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
        rehearsal.files.append((path, data, b""))
        return path
    folder = path.parent.resolve(strict=True)
    target = folder / path.name
    discard_leftovers(folder)
    half = half_of(target)
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


def create_in(folder: Path, name: str, data: bytes) -> Path:
    """Write a new file into a folder, which is made where there is none; as `create_file`."""
    fresh = _REHEARSAL.get() is None and not folder.exists()
    if fresh:
        folder.mkdir()
    try:
        return create_file(folder / name, data)
    except BaseException:
        if fresh:
            folder.rmdir()
        raise


def create_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write a new folder of files, by their names in it with forward slashes: all of them or none.

    An empty folder of that name is taken for it. Raises OSError.
    """
    rehearsal = _REHEARSAL.get()
    if rehearsal is not None:
        rehearsal.files += ((folder / name, data, b"") for name, data in files.items())
        return
    half = half_of(folder)
    try:
        half.mkdir()
        for name, data in files.items():
            (half / name).parent.mkdir(exist_ok=True)
            _write_through(half / name, data)
        if folder.is_dir():
            folder.rmdir()
        half.rename(folder)
    except BaseException:
        shutil.rmtree(half, ignore_errors=True)
        raise
    _sync_folder(folder.parent)


def replace_file(path: Path, before: bytes, data: bytes) -> None:
    """Put `data` in the place of a file of ours that held `before` (empty: no file) when it was read.

    A link is followed. Call it within `locked`. Raises ChangedError where the file holds anything else by now; OSError
    where it cannot be written: it is as it was before then.
    """
    rehearsal = _REHEARSAL.get()
    if rehearsal is not None:
        rehearsal.files.append((path, data, before))
        return
    target = path.resolve()
    half = half_of(target)
    try:
        _write_through(half, data)
        if target.exists():
            half.chmod(target.stat().st_mode & 0o7777)
        if read_ours(target) != before:
            raise ChangedError(path)
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
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


@contextmanager
def locked(folder: Path, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Within it no other lotwise changes the workspace. Raises LockedError after `patience_s` seconds in vain.

    The system lets go of the lock when its process ends, however that ends.
    """
    if _REHEARSAL.get() is not None:
        yield
        return
    from filelock import FileLock, Timeout  # noqa: PLC0415 (most commands lock nothing)

    lock = FileLock(folder.resolve(strict=True) / LOCK)
    try:
        try:
            lock.acquire(timeout=0)
        except Timeout:
            _tell("waiting for another lotwise that is writing here")
            lock.acquire(timeout=patience_s)
    except Timeout:
        raise LockedError(folder) from None
    try:
        yield
    finally:
        lock.release()


def _tell(text: str) -> None:
    sys.stderr.write(f"lotwise: {text}\n")
    sys.stderr.flush()


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
