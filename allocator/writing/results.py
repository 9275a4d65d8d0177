"""A folder of results holds one result, whole: the earlier one until the new one is complete, and then the new one."""

from __future__ import annotations

import errno
import os
import shutil
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
from hashlib import sha256 as sha256_of
from pathlib import Path

from allocator.writing.aside import SWAP, aside_folder, clear
from allocator.writing.durable import sync, write_file
from allocator.writing.exchange import exchange
from allocator.writing.lock import locked
from allocator.writing.manifest import MANIFEST, Manifest, ensure_ours, sha256
from allocator.writing.moving import heal, move_in
from allocator.writing.new import parents_made
from allocator.writing.refusal import OutputError, asked_for

MOST_CARRIED = 1000
"""Of so many files of the user's a folder may be swapped as a whole."""

Contents = Mapping[str, str | bytes]
"""What goes into files, by their names: text, or bytes of a workbook."""


class _NoSwapError(Exception):
    """The folder cannot be swapped as a whole: its files are moved in one by one."""


def ensure_result(folder: Path, names: Iterable[str]) -> None:
    """Find out before a long search, not after it, whether a result of these files can be written.

    What a killed run left there is put right.

    Raises
    ------
    OutputError
        When a file there is not ``allocator``'s, or was edited since.
    OSError
        When nothing can be written there.
    """
    _ensure_folder(folder)
    real = _real(folder)
    if real.is_dir():
        heal(real)
        clear(real.parent)
        _ensure_ours(real, names)
    with asked_for(folder), aside_folder(_standing(real)):
        pass


def write_result(
    folder: Path, contents: Contents, *, command: str, version: str, problem: str, problem_sha256: str
) -> None:
    """Write a result: complete beside its place, then swapped in. Files of the user's stay.

    Parameters
    ----------
    folder
        Made where it is not there; a link to a folder is followed.
    contents
        Each file by its name.
    command, version, problem, problem_sha256
        Told in the manifest.

    Raises
    ------
    OutputError
        When a file there is not ``allocator``'s, or was edited since.
    OSError
        When it cannot be written; what stood there before then still stands.
    """
    data = {name: text if isinstance(text, bytes) else text.encode() for name, text in contents.items()}
    hashes = {name: sha256_of(one).hexdigest() for name, one in data.items()}
    manifest = Manifest(command=command, version=version, problem=problem, problem_sha256=problem_sha256, files=hashes)
    data[MANIFEST] = manifest.to_json().encode()
    _ensure_folder(folder)
    with asked_for(folder):
        _replace(_real(folder), data)


def _replace(real: Path, data: Mapping[str, bytes]) -> None:
    while not real.is_dir():
        if _made_new(real, data):
            return
    heal(real)
    clear(real)
    _ensure_ours(real, data)
    try:
        _swap_in(real, data)
    except _NoSwapError:
        with aside_folder(real) as aside:
            _fill(aside.path, data)
            with locked(real):
                ensure_ours(real, data)
                move_in(aside, real)


def _ensure_ours(real: Path, names: Iterable[str]) -> None:
    """See that nothing there is the user's; unlocked, the manifest of one run may meet the files of another."""
    with locked(real):
        ensure_ours(real, names)


def _made_new(real: Path, data: Mapping[str, bytes]) -> bool:
    """Make the folder; False where another run has made it first."""
    with parents_made(real), aside_folder(real.parent) as aside:
        _fill(aside.path, data)
        try:
            aside.path.rename(real)
        except OSError as error:
            if error.errno not in (errno.ENOTEMPTY, errno.EEXIST) or not real.is_dir():
                raise
            return False
        sync(real.parent)
        return True


def _swap_in(real: Path, data: Mapping[str, bytes]) -> None:
    """Let the folder and a new one, which holds the user's own files too, change places."""
    _ensure_swappable(real)
    with aside_folder(real.parent) as aside:
        _fill(aside.path, data)
        with locked(real):
            ensure_ours(real, data)
            ours = _ours(real)
            _carry(real, aside.path, ours)
            aside.become(SWAP)
            try:
                exchange(aside.path, real)
            except OSError:
                raise _NoSwapError from None
            try:
                _ensure_still(aside.path, real, ours)
            except (_NoSwapError, OSError):
                exchange(aside.path, real)
                raise
            sync(real.parent)


def _ensure_swappable(real: Path) -> None:
    """Not where it is a mount point, cannot be renamed, or is the folder that the user's shell is in."""
    writable = os.access(real.parent, os.W_OK | os.X_OK)
    here = None
    with suppress(FileNotFoundError):
        here = Path.cwd()
    entered = here is not None and (here == real or real in here.parents)
    if sys.platform != "linux" or not writable or entered or real.is_mount():
        raise _NoSwapError


def _ours(real: Path) -> dict[str, str]:
    """Hashes of all that an earlier run wrote there, the manifest too."""
    manifest = Manifest.read(real)
    return {} if manifest is None else {**manifest.files, MANIFEST: sha256(real / MANIFEST)}


def _carry(old: Path, new: Path, ours: Mapping[str, str]) -> None:
    """Link the user's own files into the new folder, and give it the rights of the old one."""
    theirs = [path for path in old.iterdir() if path.name not in ours]
    if len(theirs) > MOST_CARRIED or not all(path.is_symlink() or path.is_file() for path in theirs):
        raise _NoSwapError
    for path in theirs:
        try:
            os.link(path, new / path.name, follow_symlinks=False)
        except OSError:
            raise _NoSwapError from None
    sync(new)
    shutil.copystat(old, new)
    stat = old.stat()
    with suppress(PermissionError):
        os.chown(new, stat.st_uid, stat.st_gid)


def _ensure_still(old: Path, new: Path, ours: Mapping[str, str]) -> None:
    """See that nothing was made or edited in the old folder while it was swapped out: it would go with that folder."""
    for path in old.iterdir():
        if path.name in ours:
            same = sha256(path) == ours[path.name]
        else:
            same = os.path.lexists(new / path.name) and os.path.samestat(path.lstat(), (new / path.name).lstat())
        if not same:
            raise _NoSwapError


def _fill(folder: Path, data: Mapping[str, bytes]) -> None:
    for name, one in data.items():
        write_file(folder / name, one)
    sync(folder)


def _real(folder: Path) -> Path:
    return Path(os.path.realpath(folder))


def _ensure_folder(folder: Path) -> None:
    if folder.is_symlink() and not folder.exists():
        raise OutputError(f"{folder}: is a broken link. Give a folder, or the name of one to make.")
    standing = _standing(folder.absolute())
    if not standing.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(standing))
    with suppress(FileNotFoundError):
        folder.lstat()  # a name that is too long, a folder that may not be entered


def _standing(path: Path) -> Path:
    """The path, or the nearest folder above it that is there."""
    return next(one for one in (path, *path.parents) if one.exists())
