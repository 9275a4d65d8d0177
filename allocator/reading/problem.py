"""From raw settings and tables to a frozen problem, with every mistake of all of them in one report."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from allocator.problem import Load, Mistake, Problem, ProblemError
from allocator.problem.near_misses import key_of
from allocator.reading.assembly import Assembly
from allocator.reading.folder import read_folder
from allocator.reading.opening import name_of, read_file
from allocator.reading.raw import RawProblem
from allocator.reading.spreadsheets import OTHER_WORKBOOKS, WORKBOOKS, sheet_names
from allocator.reading.workbook import SETTINGS, read_workbook


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
    raw = _opened(Path(path), mistakes)
    problem = Assembly(raw, mistakes).problem()
    if problem is None or mistakes:
        raise ProblemError(_in_order(mistakes, raw))
    return problem


@dataclass(frozen=True, slots=True)
class LoadsAlone:
    """The loads of a problem that may be unfinished otherwise; ``mistakes`` are those of rows not among them."""

    name: str
    conditions: tuple[str, ...]
    loads: tuple[Load, ...]
    mistakes: tuple[Mistake, ...]


def read_loads_alone(path: str | os.PathLike[str]) -> LoadsAlone:
    """Read what a problem folder or workbook says of its loads, whatever else it lacks.

    Raises
    ------
    ProblemError
        Where the settings or the whole table of loads cannot be read.
    """
    mistakes: list[Mistake] = []
    raw = _opened(Path(path), mistakes)
    name, conditions, loads = Assembly(raw, mistakes).loads_alone()
    file = raw.table_file("loads")
    fatal = [m for m in mistakes if m.table == raw.settings_file or (m.table == file and not _of_row(m, raw))]
    if fatal or not loads:
        raise ProblemError(_in_order(fatal or mistakes or [_no_loads(file)], raw))
    return LoadsAlone(name, conditions, loads, tuple(_in_order([m for m in mistakes if m.table == file], raw)))


def _of_row(mistake: Mistake, raw: RawProblem) -> bool:
    table = raw.tables.get("loads")
    return table is not None and isinstance(mistake.row, int) and mistake.row > table.heading_row


def _no_loads(file: str) -> Mistake:
    return Mistake(table=file, wrong="has no row under its headings", remedy="Give a row to each load")


def is_problem(path: Path) -> bool:
    """Whether a path is a folder, or a workbook with the sheets of a problem: not a schedule."""
    if path.is_dir():
        return True
    if path.suffix.lower() not in WORKBOOKS or not path.is_file():
        return False
    names = {key_of(name) for name in sheet_names(name_of(path), read_file(path))}
    return {SETTINGS, "loads"} <= names


def _opened(path: Path, mistakes: list[Mistake]) -> RawProblem:
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
        wrong = "is a file, and neither a folder nor a workbook" if path.exists() else "does not exist"
        if path.is_file() and path.suffix.lower() == ".csv":
            remedy = "Give the path of a problem folder or workbook; a list of loads becomes one by 'allocator import'"
        if path.suffix.lower() in OTHER_WORKBOOKS:
            wrong = f"is a kind of workbook that cannot be read ({path.suffix.lower()})"
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
