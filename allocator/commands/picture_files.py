"""Names of picture files as they are given on the command line."""

from __future__ import annotations

from pathlib import Path

import typer


def picture(text: str) -> Path:
    """The name of a picture file: it ends in .png or .svg."""
    if Path(text).suffix.lower() not in (".png", ".svg"):
        raise typer.BadParameter(f"'{text}' ends in neither .png nor .svg")
    return Path(text)


def ensure_folders(*paths: Path | None) -> None:
    """Find out before a long search, not after it, whether the folders of pictures are there.

    Raises
    ------
    FileNotFoundError
        When one is not.
    """
    for path in paths:
        if path is not None and not path.absolute().parent.is_dir():
            raise FileNotFoundError(2, "No such folder", str(path.absolute().parent))
