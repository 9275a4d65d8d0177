"""Locks on files and folders: the system drops one when its process ends, however it ends."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Self

from allocator.writing.refusal import OutputError

if sys.platform != "win32":
    import fcntl

PATIENCE_S = 30.0
"""So long another run may take to swap its folders in; it needs milliseconds."""


class Lock:
    """The lock of a file or folder. Where the file system has none, ``held`` is None and stays so."""

    def __init__(self, path: Path) -> None:
        """Open it, and do not wait.

        Raises
        ------
        FileNotFoundError
            When nothing is there.
        """
        self._path = path
        self._handle: int | None = None
        self.held: bool | None = None
        if sys.platform != "win32":
            try:
                self._handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW)
            except FileNotFoundError:
                raise
            except OSError:
                return
            self.take()

    def take(self) -> None:
        """Try to get it."""
        if sys.platform == "win32" or self._handle is None:
            return
        try:
            fcntl.flock(self._handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            self.held = True
        except BlockingIOError:
            self.held = False
        except OSError:
            self.held = None

    @property
    def names_it(self) -> bool:
        """Whether the path still is what was opened: another run may have put something else there."""
        if self._handle is None:
            return True
        with suppress(FileNotFoundError):
            return os.path.samestat(os.lstat(self._path), os.fstat(self._handle))
        return False

    def close(self) -> None:
        """Give it back."""
        handle, self._handle = self._handle, None
        if handle is not None:
            os.close(handle)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """While this lasts no other run puts a result into the folder or in its place.

    Raises
    ------
    OutputError
        When another run keeps it locked.
    FileNotFoundError
        When the folder is not there.
    """
    until = time.monotonic() + PATIENCE_S
    while True:
        with Lock(folder) as lock:
            while lock.held is False and time.monotonic() < until:
                time.sleep(0.02)
                lock.take()
            if lock.held is False:
                raise OutputError(
                    f"{folder}: another run is writing there. Wait until it ends, or give another folder."
                )
            if lock.names_it:
                yield
                return
