"""From raw settings and tables to a frozen problem, with every mistake of all of them in one report."""

from __future__ import annotations

import os
from pathlib import Path

from allocator.problem import Mistake, Problem, ProblemError
from allocator.reading.assembly import Assembly
from allocator.reading.folder import read_folder
from allocator.reading.raw import RawProblem

WORKBOOKS = (".xlsx", ".xlsm", ".xls", ".ods")


def read_problem(path: str | os.PathLike[str]) -> Problem:
    """Read a problem folder.

    Parameters
    ----------
    path
        Folder with ``problem.toml``, ``loads.csv``, ``places.csv`` and, where wanted, ``segments.csv``,
        ``runs.csv``, ``wires.csv`` and wire tables of the user's own.

    Raises
    ------
    ProblemError
        With every mistake found in the whole folder.
    """
    mistakes: list[Mistake] = []
    raw = _opened(Path(path), mistakes)
    problem = Assembly(raw, mistakes).problem()
    if problem is None or mistakes:
        raise ProblemError(_in_order(mistakes, raw))
    return problem


def _opened(path: Path, mistakes: list[Mistake]) -> RawProblem:
    remedy = "Give the path of a problem folder"
    try:
        if path.is_dir():
            return read_folder(path, mistakes)
        wrong = "is a file, not a folder" if path.exists() else "does not exist"
        if path.suffix.lower() in WORKBOOKS:
            wrong = "is a workbook, which is not yet supported"
            remedy = "Save each sheet as a CSV file in a folder and give the path of the folder"
    except (OSError, ValueError) as error:
        wrong = f"cannot be opened ({getattr(error, 'strerror', None) or error})"
    raise ProblemError([Mistake(table=str(path), wrong=wrong, remedy=remedy)])


def _in_order(mistakes: list[Mistake], raw: RawProblem) -> list[Mistake]:
    """Mistakes by file, then by row, each once."""
    files = [raw.settings_file, *(raw.table_file(name) for name in raw.table_names)]

    def place(mistake: Mistake) -> tuple[int, str, int]:
        file = files.index(mistake.table) if mistake.table in files else len(files)
        return file, mistake.table, mistake.row if isinstance(mistake.row, int) else 0

    return sorted(dict.fromkeys(mistakes), key=place)
