"""Files and folders that were not there before, whole or not at all; and single files that are replaced whole."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from allocator.writing.aside import aside_file, aside_folder
from allocator.writing.durable import sync, write_file
from allocator.writing.refusal import OutputError, asked_for


def ensure_free(path: Path) -> None:
    """Refuse a path where something is already; an empty folder is nothing.

    Raises
    ------
    FileExistsError
    """
    empty = path.is_dir() and not path.is_symlink() and not any(path.iterdir())
    if os.path.lexists(path) and not empty:
        raise FileExistsError(errno.EEXIST, "already exists, and nothing is overwritten", str(path))


def new_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Make a folder of files: complete beside its place before it takes it.

    Raises
    ------
    OutputError
        Where it is the current folder.
    OSError
        Where something is there already, or the folder cannot be made.
    """
    ensure_free(folder)
    place = folder.absolute()
    if place.exists() and place.samefile(Path.cwd()):
        # the shell would be left in a folder that is gone
        raise OutputError(f"{folder}: is the current folder. Give the name of a folder to make.")
    with asked_for(folder), parents_made(place), aside_folder(place.parent) as aside:
        for name, text in texts.items():
            write_file(aside.path / name, text.encode())
        sync(aside.path)
        # takes the place of an empty folder, and of nothing else
        aside.path.rename(place)
        sync(place.parent)


@contextmanager
def new_file(file: Path) -> Iterator[Path]:
    """A path to write to; what was written there takes the place of ``file`` at the end.

    Raises
    ------
    OSError
        Where something is there already, or the file cannot be written.
    """
    ensure_free(file)
    place = file.absolute()
    with asked_for(file), parents_made(place), aside_file(place.parent) as aside:
        yield aside.path
        sync(aside.path)
        ensure_free(file)
        named(aside.path, place)
        sync(place.parent)


def named(aside: Path, place: Path) -> None:
    """Give a file its name, where nothing has that name.

    Raises
    ------
    OSError
    """
    try:
        os.link(aside, place)
    except FileExistsError:
        raise FileExistsError(errno.EEXIST, "already exists, and nothing is overwritten", str(place)) from None
    except OSError:  # a file system without links
        aside.rename(place)


@contextmanager
def parents_made(place: Path) -> Iterator[None]:
    """Make the folders that are to hold it; on a failure those that were made are gone again."""
    missing = [folder for folder in place.parents if not folder.exists()]
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for folder in missing:
            with suppress(OSError):
                folder.rmdir()
        raise
