"""Opens every file that a user names: whole, bounded in size, and never waiting for what may not come."""

from __future__ import annotations

import errno
import os
import select
import stat
from pathlib import Path

MOST_BYTES = 64 * 1024 * 1024
"""The largest file that is read. The largest problem that we know of comes to some hundred kilobytes."""

WAIT_S = 10.0
"""How long a pipe may keep silent."""

_CHUNK = 1 << 20


def read_file(path: str | os.PathLike[str]) -> bytes:
    """All bytes of a file, or of a pipe that somebody writes to.

    Parameters
    ----------
    path
        Where the file is. A device is refused, as it may have no end.

    Raises
    ------
    OSError
        Where it cannot be read, is not a file, is larger than ``MOST_BYTES`` or is a pipe that nothing writes to; its
        ``strerror`` says which.
    """
    # without blocking, so that a pipe without a writer can be opened at all
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    handle = os.open(path, flags)
    try:
        _ensure_file(handle, path)
        return _read(handle, path)
    finally:
        os.close(handle)


def name_of(path: Path) -> str:
    """The last part of a path as text that can be written anywhere, also where it is not UTF-8."""
    return path.name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _ensure_file(handle: int, path: str | os.PathLike[str]) -> None:
    """Raise where a path is neither a file nor a pipe."""
    mode = os.fstat(handle).st_mode
    if stat.S_ISDIR(mode):
        raise _error(errno.EISDIR, "it is a folder, not a file", path)
    if not stat.S_ISREG(mode) and not stat.S_ISFIFO(mode):
        raise _error(errno.EINVAL, "it is a device, not a file", path)


def _read(handle: int, path: str | os.PathLike[str]) -> bytes:
    chunks: list[bytes] = []
    size = 0
    while True:
        try:
            chunk = os.read(handle, _CHUNK)
        except BlockingIOError:
            if not select.select([handle], [], [], WAIT_S)[0]:
                raise _error(errno.ETIMEDOUT, f"it is a pipe that gave nothing for {WAIT_S:g} s", path) from None
            continue
        if not chunk:
            break
        chunks.append(chunk)
        size += len(chunk)
        if size > MOST_BYTES:
            raise _error(errno.EFBIG, f"it is larger than {MOST_BYTES >> 20} MB, the most that is read", path)
    if not chunks and stat.S_ISFIFO(os.fstat(handle).st_mode):
        raise _error(errno.EINVAL, "it is a pipe that nothing writes to", path)
    return b"".join(chunks)


def _error(code: int, wrong: str, path: str | os.PathLike[str]) -> OSError:
    # made from a code it would be another exception for some of them, such as TimeoutError
    error = OSError(wrong)
    error.errno, error.strerror, error.filename = code, wrong, str(Path(path))
    return error
