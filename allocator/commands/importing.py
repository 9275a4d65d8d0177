"""``allocator import``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import DONE, AsJson, end, example, note, print_json
from allocator.commands.output import folder

EXAMPLE = example("allocator import my-loads.xlsx my-machine")

SchedulePath = Annotated[Path, typer.Argument(metavar="SCHEDULE", help="The spreadsheet: .csv, .xlsx, .ods or .xls.")]
NewFolder = Annotated[
    Path, typer.Argument(metavar="FOLDER", parser=folder, help="The folder to make; nothing is overwritten.")
]
SheetName = Annotated[
    str | None,
    typer.Option("--sheet", metavar="NAME", help="The sheet to read; default: the one whose headings say most."),
]


def import_(schedule: SchedulePath, folder: NewFolder, sheet: SheetName = None, json: AsJson = False) -> None:
    """Turn a spreadsheet of loads into a problem folder. What it does not say is listed, never guessed in silence."""
    end(lambda: imported(schedule, folder, sheet, json), "the schedule")


def imported(path: Path, place: Path, sheet: str | None, as_json: bool) -> int:
    """Read, write, and say what there is to say."""
    from allocator.importing.folder import write_folder
    from allocator.importing.report import all_findings, report
    from allocator.importing.schedule import OPEN
    from allocator.importing.understanding import read_schedule
    from allocator.reporting.blocks import counted
    from allocator.writing.new import ensure_free

    ensure_free(place)
    schedule = read_schedule(path, sheet)
    write_folder(schedule, place)
    findings = all_findings(schedule)
    if as_json:
        print_json(
            {
                "folder": str(place),
                "sheet": schedule.sheet,
                "items": len(schedule.items),
                "columns": {column.heading: column.read_as for column in schedule.columns},
                "findings": [finding.record() for finding in findings],
            }
        )
    else:
        sys.stdout.write(report(schedule))
    left = sum(1 for finding in findings if finding.kind == OPEN)
    todo = f"; {counted(left, 'thing')} to fill in, then: allocator solve {place}" if left else ""
    note(f"written to {place}{todo}")
    return DONE
