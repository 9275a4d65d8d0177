"""Files and folders that appear whole or not at all, and never in place of what is there."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path


def ensure_free(path: Path) -> None:
    """Refuse a path where something is already; an empty folder is nothing.

    Raises
    ------
    FileExistsError
    """
    empty = path.is_dir() and not path.is_symlink() and not any(path.iterdir())
    if os.path.lexists(path) and not empty:
        raise FileExistsError(17, "is there already, and nothing is written over", str(path))


def new_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Make a folder of files: complete beside its place before it takes it.

    Raises
    ------
    OSError
        Where something is there already, or the folder cannot be made.
    """
    ensure_free(folder)
    with _aside(folder) as aside:
        aside.mkdir()
        for name, text in texts.items():
            (aside / name).write_text(text, encoding="utf-8", newline="\n")
        # takes the place of an empty folder, and of nothing else
        aside.rename(folder)


@contextmanager
def new_file(file: Path) -> Iterator[Path]:
    """A path to write to; what was written there takes the place of ``file`` at the end.

    Raises
    ------
    OSError
        Where something is there already, or the file cannot be written.
    """
    ensure_free(file)
    with _aside(file) as aside:
        yield aside
        ensure_free(file)
        aside.rename(file)


@contextmanager
def _aside(path: Path) -> Iterator[Path]:
    home = path.absolute().parent
    home.mkdir(parents=True, exist_ok=True)
    aside = home / f".{path.name}-{os.getpid()}.part"
    try:
        yield aside
    finally:
        if aside.is_dir():
            shutil.rmtree(aside, ignore_errors=True)
        else:
            aside.unlink(missing_ok=True)
