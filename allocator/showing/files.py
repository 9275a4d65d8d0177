"""Results as files, written whole or not at all."""

from __future__ import annotations

import csv
import os
import shutil
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from io import StringIO
from pathlib import Path

from allocator.advising.tradeoff import Tradeoff
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.showing.lists import Build, build_of
from allocator.showing.lists.sheets import list_files
from allocator.showing.page import PAGE, page_of
from allocator.showing.reading_order import whole
from allocator.showing.records import Record, circuit_records, wire_records
from allocator.showing.text import plain
from allocator.showing.weak_points import margin_records, volt_records

Contents = Mapping[str, str | bytes]
"""What goes into files, by their names: text, or bytes of a workbook."""


def contents(problem: Problem, layout: Layout, in_place: Iterable[str] = ()) -> dict[str, str | bytes]:
    """Every file of a result, by file name; ``in_place`` are labels of wires that are there already."""
    build = build_of(problem, layout, in_place)
    return {
        "layout.json": layout.to_json(),
        "layout.txt": plain(whole(problem, layout, in_full=True, context=build.context)),
        "circuits.csv": csv_text(circuit_records(layout, problem)),
        "wires.csv": csv_text(wire_records(layout)),
        "volts.csv": csv_text(volt_records(build.volts)),
        "margins.csv": csv_text(margin_records(build.margins)),
        **reported(build),
    }


def reported(build: Build, tradeoff: Tradeoff | None = None) -> dict[str, str | bytes]:
    """Every file that is made of a checked layout, solved or not: what ``report`` writes again."""
    return {**list_files(build), PAGE: page_of(build, tradeoff)}


def csv_text(records: list[Record]) -> str:
    """Records as CSV with one line of headings; unknown figures are empty."""
    stream = StringIO()
    if records:
        writer = csv.DictWriter(stream, fieldnames=list(records[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(records)
    return stream.getvalue()


def write(folder: Path, texts: Contents) -> None:
    """Write files into a folder: all are complete in a temporary folder before the first takes its place.

    Raises
    ------
    OSError
        When the folder cannot be made or written; what stood there before then still stands.
    """
    with _aside(folder) as aside:
        for name, text in texts.items():
            (aside / name).write_bytes(text if isinstance(text, bytes) else text.encode())
        if folder.is_dir():
            for name in texts:
                (aside / name).replace(folder / name)
        else:
            aside.rename(folder)


def ensure_writable(folder: Path) -> None:
    """Find out before a long solve, not after it, whether the files can be written.

    Raises
    ------
    OSError
        When they cannot.
    """
    with _aside(folder):
        pass


@contextmanager
def _aside(folder: Path) -> Iterator[Path]:
    """A temporary folder on the same file system: inside the folder if it exists, else beside it."""
    home = folder if folder.is_dir() else folder.absolute().parent
    if folder.exists() and not folder.is_dir():
        raise NotADirectoryError(20, "Not a directory", str(folder))
    home.mkdir(parents=True, exist_ok=True)
    aside = home / f".allocator-{os.getpid()}.part"
    aside.mkdir()
    try:
        yield aside
    finally:
        shutil.rmtree(aside, ignore_errors=True)
