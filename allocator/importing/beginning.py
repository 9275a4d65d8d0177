"""A first problem folder: small, commented, of our own invention, and solvable as it stands."""

from __future__ import annotations

import os
from importlib.resources import files
from pathlib import Path

from allocator.writing.new import new_folder

FILES = ("problem.toml", "loads.csv", "places.csv", "segments.csv", "runs.csv", "wires.csv")


def write_first(folder: str | os.PathLike[str]) -> Path:
    """Write the folder, whole or not at all, and over nothing.

    Raises
    ------
    OSError
        Where something is there already, or the folder cannot be written.
    """
    home = files("allocator.importing").joinpath("first")
    texts = {name: home.joinpath(name).read_text(encoding="utf-8") for name in FILES}
    path = Path(folder)
    new_folder(path, texts)
    return path
