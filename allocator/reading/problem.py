"""From raw settings and tables to a frozen problem, with every mistake of all of them in one report."""

from __future__ import annotations

import os
from pathlib import Path

from allocator.problem import Mistake, Problem, ProblemError
from allocator.reading.assembly import Assembly
from allocator.reading.folder import read_folder
from allocator.reading.raw import RawProblem
from allocator.reading.workbook import read_workbook

WORKBOOKS = (".xlsx", ".xlsm")
OTHER_WORKBOOKS = (".xls", ".xlsb", ".ods", ".numbers")


def read_problem(path: str | os.PathLike[str]) -> Problem:
    """Read a problem folder or workbook.

    Parameters
    ----------
    path
        Folder with ``problem.toml``, ``loads.csv``, ``places.csv`` and, where wanted, ``segments.csv``,
        ``runs.csv``, ``wires.csv`` and wire tables of the user's own; or a workbook with the same on sheets.

    Raises
    ------
    ProblemError
        With every mistake found in all of it.
    """
    mistakes: list[Mistake] = []
    raw = opened(Path(path), mistakes)
    problem = Assembly(raw, mistakes).problem()
    if problem is None or mistakes:
        raise ProblemError(_in_order(mistakes, raw))
    return problem


def opened(path: Path, mistakes: list[Mistake]) -> RawProblem:
    """The raw form of a folder or a workbook.

    Raises
    ------
    ProblemError
        Where it is neither.
    """
    remedy = "Give the path of a problem folder or workbook"
    try:
        if path.is_dir():
            return read_folder(path, mistakes)
        if path.is_file() and path.suffix.lower() in WORKBOOKS:
            return read_workbook(path, mistakes)
        wrong = "is a file, and neither a folder nor an .xlsx workbook" if path.exists() else "does not exist"
        if path.suffix.lower() in OTHER_WORKBOOKS:
            wrong = f"is a workbook of a kind that is not read ({path.suffix.lower()})"
            remedy = "Open it in a spreadsheet program and save it as .xlsx"
    except ProblemError:
        raise
    except (OSError, ValueError) as error:
        wrong = f"cannot be opened ({getattr(error, 'strerror', None) or error})"
    raise ProblemError([Mistake(table=str(path), wrong=wrong, remedy=remedy)])


def _in_order(mistakes: list[Mistake], raw: RawProblem) -> list[Mistake]:
    """Mistakes by file, then by row, each once."""
    files = list(dict.fromkeys([raw.settings_file, *(raw.table_file(name) for name in raw.table_names)]))

    def place(mistake: Mistake) -> tuple[int, str, int]:
        file = files.index(mistake.table) if mistake.table in files else len(files)
        return file, mistake.table, mistake.row if isinstance(mistake.row, int) else 0

    return sorted(dict.fromkeys(mistakes), key=place)
