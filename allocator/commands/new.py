"""``allocator new``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import DONE, AsJson, end, example, note, print_json
from allocator.commands.importing import NewFolder, SheetName, imported

EXAMPLE = example("allocator new my-machine")


def new(
    folder: NewFolder,
    schedule: Annotated[
        Path | None,
        typer.Option("--from", metavar="SCHEDULE", help="Start from a spreadsheet of loads, as 'import' does."),
    ] = None,
    sheet: SheetName = None,
    json: AsJson = False,
) -> None:
    """Make a small problem folder that solves as it stands and shows every setting that a problem can have."""
    if schedule is not None:
        start = schedule
        end(lambda: imported(start, folder, sheet, json), "the schedule")
    end(lambda: _new(folder, json))


def _new(folder: Path, as_json: bool) -> int:
    from allocator.importing.beginning import FILES, write_first

    write_first(folder)
    if as_json:
        print_json({"folder": str(folder), "files": list(FILES)})
    note(f"written to {folder}")
    note(f"Read problem.toml there, change what you like, then: allocator solve {folder}")
    return DONE
