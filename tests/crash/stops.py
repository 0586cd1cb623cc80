"""Every call by which a run changes what is on the disk, counted from outside; the call of a number fails or kills."""

from __future__ import annotations

import errno
import fcntl
import io
import os
import signal
from functools import partial
from typing import TYPE_CHECKING, Any, Self

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

# How a call ends in place of its own way; "all": it and every later one.
FAILS = {
    "no room": (errno.ENOSPC, False),
    "no room, all": (errno.ENOSPC, True),
    "fault": (errno.EIO, False),
    "refused, all": (errno.EACCES, True),
}
KILLS = ("killed before", "killed after")
WAYS = (*FAILS, *KILLS)
_BY_PATH = ("link", "rename", "replace", "unlink", "mkdir", "rmdir", "chmod")


class Stops:
    """Counts the calls within `folder`, and stops the run at call `number` in one of the WAYS; 0: never."""

    def __init__(self, folder: Path, number: int, way: str) -> None:
        self.folder, self.number, self.way = os.fspath(folder.resolve()), number, way
        self.calls: list[str] = []

    def install(self) -> None:
        for name in _BY_PATH:
            setattr(os, name, partial(self._path_call, name, getattr(os, name)))
        os.open = partial(self._path_call, "open", os.open)
        os.fsync = partial(self._call, "fsync", os.fsync)
        fcntl.flock = partial(self._call, "flock", fcntl.flock)
        io.open = partial(self._open_file, io.open)  # what pathlib opens files with

    def _path_call(self, name: str, real: Callable[..., Any], *told: Any, **named: Any) -> Any:
        if named.get("dir_fd") is None and not self._inside(told[0]):
            return real(*told, **named)
        return self._call(name, real, *told, **named)

    def _inside(self, path: Any) -> bool:
        return not isinstance(path, int) and os.path.realpath(os.fspath(path)).startswith(self.folder)

    def _open_file(self, real: Callable[..., Any], path: Any, mode: str = "r", *told: Any, **named: Any) -> Any:
        if not set(mode) & set("wxa+") or not self._inside(path):
            return real(path, mode, *told, **named)
        return _File(self, self._call("open", real, path, mode, *told, **named))

    def _call(self, name: str, real: Callable[..., Any], *told: Any, **named: Any) -> Any:
        return self.stopped(name, partial(real, *told, **named))

    def stopped(self, name: str, real: Callable[[], Any], some: Callable[[], Any] | None = None) -> Any:
        """The call, unless it is to be stopped; `some`: what of it has happened by then."""
        self.calls.append(name)
        at = len(self.calls)
        if self.way in KILLS:
            if at != self.number:
                return real()
            try:
                (real if self.way == "killed after" else some or (lambda: None))()
            finally:
                os.kill(os.getpid(), signal.SIGKILL)
        code, later = FAILS.get(self.way, (0, False))
        if self.number and (at == self.number or (later and at > self.number)):
            if name == "flock" and code == errno.EACCES:
                code = errno.EIO  # some file systems say so of a lock that another holds
            if some is not None:
                some()
            raise OSError(code, os.strerror(code))
        return real()


class _File:
    """A file open for writing, each of its calls counted."""

    def __init__(self, stops: Stops, file: Any) -> None:
        self._stops, self._file = stops, file

    def write(self, data: bytes) -> int:
        return self._stops.stopped("write", partial(self._file.write, data), partial(self._write_half, data))

    def _write_half(self, data: bytes) -> None:
        self._file.write(data[: len(data) // 2])
        self._file.flush()

    def flush(self) -> None:
        self._stops.stopped("flush", self._file.flush)

    def fileno(self) -> int:
        return self._file.fileno()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._stops.stopped("close", self._file.close, self._file.close)
