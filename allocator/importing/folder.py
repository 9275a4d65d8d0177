"""The problem folder that a schedule becomes: what it cannot hold is assumed or left to fill in, and marked so."""

from __future__ import annotations

import json
import os
from pathlib import Path

from allocator.importing import tables
from allocator.importing.assumed_unit import TYPE, number_of_units, unit_type_toml
from allocator.importing.columns import letters
from allocator.importing.report import report
from allocator.importing.schedule import Schedule
from allocator.writing.new import new_folder

REPORT = "import.txt"
GAUGES = """
[wire]                 # ASSUMED: the schedule speaks of AWG
table = "awg"
feed_table = "awg battery cable"
"""


def write_folder(schedule: Schedule, folder: str | os.PathLike[str]) -> Path:
    """Write the folder, whole or not at all, and over nothing.

    Raises
    ------
    OSError
        Where something is there already, or the folder cannot be written.
    """
    path = Path(folder)
    new_folder(path, folder_texts(schedule))
    return path


def folder_texts(schedule: Schedule) -> dict[str, str]:
    """Text of each file of the folder."""
    texts = {
        "problem.toml": settings_text(schedule),
        "loads.csv": tables.csv_text(schedule.load_records()),
        "places.csv": tables.csv_text(tables.place_records(schedule)),
        "segments.csv": tables.csv_text(tables.segment_records(schedule)),
        REPORT: report(schedule),
    }
    runs = tables.run_records(schedule)
    return texts | ({"runs.csv": tables.csv_text(runs)} if runs else {})


def settings_text(schedule: Schedule) -> str:
    """Text of ``problem.toml``."""
    source, site = tables.source_place(schedule), tables.unit_site(schedule)
    conditions = ""
    if schedule.conditions:
        conditions = f"conditions = [{', '.join(map(_quoted, schedule.conditions))}]\n"
    wire = GAUGES if schedule.gauges else ""
    # letters, for wires are labelled by unit and pin: 'assumed 1 5' would be read as anything
    units = [f"assumed {letters(number)}" for number in range(number_of_units(schedule))]
    return f"""\
# Made by 'allocator import' from {_remark(schedule.file)}. Lines marked ASSUMED are not from the schedule: see that
# they are true, and then take the mark off. {REPORT} lists what is to be filled in and all that was assumed.
# 'allocator new FOLDER' writes a folder that shows every other setting that may be given here.

format = 1
name = {_quoted(schedule.name)}

[system]
nominal = "{schedule.nominal_v:g} V"     # ASSUMED, or from the voltages in the schedule: see {REPORT}
running = "{schedule.running_v:g} V"   # ASSUMED likewise
lowest = "{schedule.lowest_v:g} V"    # ASSUMED
ambient = "45 degC"    # ASSUMED, where places.csv gives none
{conditions}
[[sources]]
name = "battery"       # ASSUMED
place = {_quoted(source)}

{wire}
# ASSUMED: no such unit is made. It has the outputs that the schedule calls for, and some in reserve. Put the figures
# of the maker of your units in place of these, and say below how many there are and where each may be mounted.
{unit_type_toml(schedule)}
{"".join(_unit(name, site) for name in units)}"""


def _unit(name: str, site: str) -> str:
    return f"""
[[units]]
name = "{name}"  # ASSUMED
type = "{TYPE}"
sites = [{_quoted(site)}]
"""


def _quoted(text: str) -> str:
    """Text as TOML writes it; JSON's escapes are among those of TOML."""
    return json.dumps(text, ensure_ascii=False)


def _remark(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text)
