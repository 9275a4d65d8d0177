"""Writes that are on the disk when they return."""

from __future__ import annotations

import errno
import os
from pathlib import Path

_BINARY = getattr(os, "O_BINARY", 0)  # Windows alone has it
_NO_SYNC = {errno.EINVAL, errno.EBADF, errno.ENOTSUP, errno.EACCES, errno.ENOSYS}
"""What systems say that cannot make a folder durable."""


def write_file(path: Path, data: bytes) -> None:
    """Make a file that is not there yet.

    Raises
    ------
    OSError
    """
    _write(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666), data)


def append(path: Path, data: bytes) -> None:
    """Write to the end of a file that is there.

    Raises
    ------
    OSError
    """
    _write(os.open(path, os.O_WRONLY | os.O_APPEND | _BINARY), data)


def _write(handle: int, data: bytes) -> None:
    try:
        left = memoryview(data)
        while left:
            left = left[os.write(handle, left) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def sync(path: Path) -> None:
    """Bring a file, or the names that a folder holds, onto the disk; where the system cannot, nothing happens.

    Raises
    ------
    OSError
    """
    try:
        handle = os.open(path, os.O_RDONLY)
    except PermissionError:  # a folder on Windows
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_SYNC:
            raise
    finally:
        os.close(handle)
