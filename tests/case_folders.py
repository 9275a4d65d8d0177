"""Problem folders of tests/cases, made from what is written there: a base, and what differs from it.

``tests/cases/GROUP/CASE/NAME.diff`` is the problem folder ``GROUP/CASE/NAME``. Its first line names the base: a problem
of the same case, or a folder of ``tests/cases/bases``. What follows changes files of the base, as a diff without line
numbers does::

    base: market-stall
    --- loads.csv
    -pump,nose,5.0 A
    +pump,nose,5.1 A

The lines marked ``-`` and `` `` stand in the file in one place alone; there those marked ``+`` and `` `` come instead.
``@@`` begins another place. A file with no lines behind its name is left out, ``+++ FILE`` begins one that is written
whole. What no diff can show (other line ends, bytes that are no text) lies as a file in a folder ``NAME`` beside it.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from itertools import pairwise
from pathlib import Path

from tests.paths import ROOT

CASES = ROOT / "tests" / "cases"
Files = dict[str, bytes]


class CaseError(Exception):
    """A ``.diff`` that does not fit its base."""


@cache
def problem_folder(name: str) -> Path:
    """The whole problem folder of ``GROUP/CASE/NAME``: for this process, and gone when it ends."""
    folder = _home() / name
    folder.mkdir(parents=True)
    for file, data in files_of(name).items():
        (folder / file).write_bytes(data)
    return folder


def cases_of(group: str) -> list[str]:
    """Names of the cases of a group."""
    return sorted(path.name for path in (CASES / group).iterdir())


def problems_of(group: str) -> list[str]:
    """Names of all problem folders of a group, or of one case."""
    found = (CASES / group).rglob("*.diff")
    return sorted(path.relative_to(CASES).as_posix().removesuffix(".diff") for path in found)


def files_of(name: str) -> Files:
    """The files of a problem folder by their names."""
    lines = (CASES / f"{name}.diff").read_text(encoding="utf-8").splitlines()
    mark, _, base = lines[0].partition(": ")
    if mark != "base":
        raise CaseError(f"{name}.diff begins with {lines[0]!r}. Begin with the line 'base: NAME'.")
    files = _base(name, base)
    starts = [n for n, line in enumerate(lines) if line.startswith(("--- ", "+++ "))]
    for first, end in pairwise([*starts, len(lines)]):
        file = lines[first][4:]
        changed = _changed(f"{name}.diff, {file}", lines[first], lines[first + 1 : end], files.pop(file, b""))
        if changed is not None:
            files[file] = changed
    return {**files, **_files_in(CASES / name)}


def _base(name: str, base: str) -> Files:
    beside = f"{name.rpartition('/')[0]}/{base}"
    if (CASES / f"{beside}.diff").exists():
        return files_of(beside)
    files = _files_in(CASES / "bases" / base)
    if not files:
        raise CaseError(f"{name}.diff: there is no base {base!r}. Name a problem beside it or a folder of bases.")
    return files


def _files_in(folder: Path) -> Files:
    return {file.name: file.read_bytes() for file in sorted(folder.iterdir())} if folder.is_dir() else {}


def _changed(where: str, heading: str, body: list[str], before: bytes) -> bytes | None:
    """A file as its part of a diff leaves it; None where it is left out."""
    if heading.startswith("+++ "):
        return "".join(f"{line[1:]}\n" for line in body).encode()
    if not body:
        return None
    lines = before.decode().splitlines()
    cuts = [n for n, line in enumerate(body) if line == "@@"]
    for first, end in pairwise([-1, *cuts, len(body)]):
        _replace(where, lines, body[first + 1 : end])
    return "".join(f"{line}\n" for line in lines).encode()


def _replace(where: str, lines: list[str], hunk: list[str]) -> None:
    """Put the new lines of a hunk where its old ones stand."""
    old, new = ([line[1:] for line in hunk if line[:1] in ("", " ", own)] for own in "-+")
    places = [n for n in range(len(lines)) if lines[n : n + len(old)] == old] if old else []
    if len(places) != 1:
        raise CaseError(f"{where}: {old} stands in {len(places)} places. Give lines that stand in one place alone.")
    lines[places[0] : places[0] + len(old)] = new


@cache
def _home() -> Path:
    home = Path(tempfile.mkdtemp(prefix="allocator-cases-"))
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    return home
