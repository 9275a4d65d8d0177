"""Where files are made before they take their place, and what killed runs have left of such places."""

from __future__ import annotations

import re
import secrets
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from allocator.writing.lock import Lock
from allocator.writing.manifest import MANIFEST, Manifest, sha256

PART, SWAP, READY = ".part", ".swap", ".ready"
"""Being made; being swapped with a folder of results; complete, to be moved in file by file."""

NAME = re.compile(r"\.allocator-[0-9a-f]{16}\.(part|swap|ready)")
UNLOCKED_S = 24 * 3600.0
"""Where the file system has no locks, what is older than this is taken to be left over."""


class Aside:
    """A folder or file of our own, under a name that no other run has; locked, so that no other clears it away."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.path = home / f".allocator-{secrets.token_hex(8)}{PART}"

    def become(self, ending: str) -> None:
        """Rename it to its next stage."""
        target = self.path.with_suffix(ending)
        self.path.rename(target)
        self.path = target


@contextmanager
def aside_folder(home: Path) -> Iterator[Aside]:
    """An empty folder in ``home``, gone at the end unless it was renamed; what killed runs left is cleared first.

    Raises
    ------
    OSError
        When it cannot be made.
    """
    with _aside(home, folder=True) as aside:
        yield aside


@contextmanager
def aside_file(home: Path) -> Iterator[Aside]:
    """An empty file in ``home``; the rest as `aside_folder`."""
    with _aside(home, folder=False) as aside:
        yield aside


@contextmanager
def _aside(home: Path, *, folder: bool) -> Iterator[Aside]:
    clear(home)
    lock: Lock | None = None
    aside = Aside(home)
    try:
        while lock is None:
            if folder:
                aside.path.mkdir()
            else:
                aside.path.touch(exist_ok=False)
            lock = _locked(aside.path)
            if lock is None:
                aside = Aside(home)
        yield aside
    finally:
        if not aside.path.name.endswith(READY):
            discard(aside.path)
        if lock is not None:
            lock.close()


def _locked(path: Path) -> Lock | None:
    """Its lock; None where another run, which saw it before it was locked, clears it away."""
    with suppress(FileNotFoundError):
        lock = Lock(path)
        if lock.held is not False and lock.names_it:
            return lock
        lock.close()
    return None


def clear(home: Path) -> None:
    """Remove what killed runs left in a folder, as far as it can be removed; what a live run works on stays."""
    with suppress(OSError):
        for path in sorted(home.iterdir()):
            if NAME.fullmatch(path.name) and not path.name.endswith(READY):
                with suppress(OSError), Lock(path) as lock:
                    old = time.time() - path.lstat().st_mtime > UNLOCKED_S
                    if lock.held or (lock.held is None and old):
                        discard(path)


def discard(path: Path) -> None:
    """Remove what is no longer wanted; of a folder that was swapped out only what is ours, or lies elsewhere too."""
    with suppress(OSError):
        if not path.is_dir():
            path.unlink()
        elif path.name.endswith(SWAP):
            _discard_swapped(path)
        else:
            shutil.rmtree(path, ignore_errors=True)


def _discard_swapped(folder: Path) -> None:
    manifest = Manifest.read(folder)
    ours = {} if manifest is None else manifest.files
    for path in folder.iterdir():
        elsewhere = path.is_symlink() or (path.is_file() and path.stat().st_nlink > 1)
        if elsewhere or (path.name in ours and sha256(path) == ours[path.name]):
            path.unlink()
    # what was not removed now can be told from the user's the next time
    if manifest is not None and [path.name for path in folder.iterdir()] == [MANIFEST]:
        (folder / MANIFEST).unlink()
    folder.rmdir()
