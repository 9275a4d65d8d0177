"""``allocator new``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import DONE, EPILOG, end, note
from allocator.commands.importing import NewFolder, SheetName, imported

EXAMPLE = "Example: allocator new my-machine. " + EPILOG


def new(
    folder: NewFolder,
    schedule: Annotated[
        Path | None,
        typer.Option("--from", metavar="SCHEDULE", help="Start from a spreadsheet of loads, as 'import' does."),
    ] = None,
    sheet: SheetName = None,
) -> None:
    """Make a small problem folder that solves as it stands and shows every word that a problem may hold."""
    if schedule is not None:
        start = schedule
        end(lambda: imported(start, folder, sheet, False), "the schedule")
    end(lambda: _new(folder))


def _new(folder: Path) -> int:
    from allocator.importing.beginning import write_first

    write_first(folder)
    note(f"written to {folder}: read problem.toml there, change what you like, then: allocator solve {folder}")
    return DONE
