"""Folders and pictures that a command is asked to write: what is refused before it begins, and how they are written."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from allocator.problem import Problem


def folder(text: str) -> Path:
    """The name of a folder as it is given on the command line: no name is refused."""
    if not text.strip():
        raise typer.BadParameter("the name of the folder is empty. Give one, such as 'my-boat-out'")
    return Path(text)


def picture(text: str) -> Path:
    """The name of a picture file: it ends in .png or .svg."""
    if Path(text).suffix.lower() not in (".png", ".svg"):
        raise typer.BadParameter(f"'{text}' ends in neither .png nor .svg")
    return Path(text)


def ensure_out(out: Path | None, problem: Path, names: Iterable[str]) -> None:
    """Find out before a long search, not after it, whether files of these names can be written.

    Parameters
    ----------
    out
        The folder to write to; none is asked for where it is None.
    problem
        The problem folder or workbook: nothing is written to it, into it, or around it.

    Raises
    ------
    OutputError, OSError
        When they cannot, or the user would lose a file.
    """
    from allocator.writing.refusal import OutputError
    from allocator.writing.results import ensure_result

    if out is None:
        return
    if within(out, problem) or within(problem, out):
        raise OutputError(
            f"{out}: is the problem's own folder, is inside it or contains it. "
            f"Give a folder beside it, such as {_beside(problem)}."
        )
    ensure_result(out, names)


def within(path: Path, folder: Path) -> bool:
    """Whether a path is a folder or lies below it, by whatever links or letters they are named."""
    place = Path(os.path.realpath(path))
    return any(_same(one, folder) for one in (place, *place.parents))


def _same(one: Path, other: Path) -> bool:
    with suppress(OSError):
        return one.samefile(other)
    return False


def _beside(problem: Path) -> Path:
    place = Path(os.path.realpath(problem))
    return place.with_name(f"{place.stem if place.is_file() else place.name}-out")


def ensure_pictures(*paths: Path | None) -> None:
    """Find out before a long search, not after it, whether pictures can be written.

    Raises
    ------
    OutputError, OSError
        When they cannot, or the user would lose a file.
    """
    from allocator.writing.refusal import OutputError
    from allocator.writing.sealed import ensure_sealable

    given = [path for path in paths if path is not None]
    if len({os.path.realpath(path) for path in given}) < len(given):
        raise OutputError(f"{given[-1]}: two pictures would be written to this file. Give each its own name.")
    for path in given:
        ensure_sealable(path)


def write_out(out: Path, contents: Mapping[str, str | bytes], problem: Problem, command: str) -> None:
    """Write a result, whole.

    Parameters
    ----------
    out
        The folder.
    contents
        Each file by its name.
    problem, command
        What it is a result of: told in its manifest.

    Raises
    ------
    OutputError, OSError
        When it cannot be written; what stood there before then still stands.
    """
    from importlib.metadata import PackageNotFoundError, version

    from allocator.writing.results import write_result

    try:
        own = version("allocator")
    except PackageNotFoundError:
        own = "unknown"
    write_result(out, contents, command=command, version=own, problem=problem.name, problem_sha256=problem.digest)
