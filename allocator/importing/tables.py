"""The tables of the folder that a schedule becomes."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from io import StringIO

from allocator.importing.assumed_unit import number_of_units
from allocator.importing.load_records import Records
from allocator.importing.schedule import Schedule
from allocator.reading.quantities import LENGTH, TEMPERATURE, read_quantity

_SITE = re.compile(r"\b(?:panel|distribution|fuse ?box|switchboard|power box|busbar|fuse ?board)", re.IGNORECASE)
_SOURCE = re.compile(r"\b(?:batter(?:y|ies)|accu)\b", re.IGNORECASE)


def unit_site(schedule: Schedule) -> str:
    """The place that sounds as if units were mounted there, or one of its own."""
    return _place_like(_SITE, schedule) or "unit site"


def source_place(schedule: Schedule) -> str:
    """The place that sounds as if the battery stood there, or one of its own."""
    return _place_like(_SOURCE, schedule) or "battery"


def _place_like(pattern: re.Pattern[str], schedule: Schedule) -> str | None:
    return next((item.place for item in schedule.items if pattern.search(item.place)), None)


def places(schedule: Schedule) -> tuple[str, ...]:
    """Every place, those of the source and of the units among them."""
    named = [item.place for item in schedule.items if item.place]
    return tuple(dict.fromkeys([source_place(schedule), unit_site(schedule), *named]))


def place_records(schedule: Schedule) -> Records:
    """Rows of ``places.csv``."""
    site, source = unit_site(schedule), source_place(schedule)
    several = number_of_units(schedule)
    records = []
    for place in places(schedule):
        record = {"place": place, "ambient": _hottest(schedule, place), "stud": ""}
        if several > 1:
            record["units"] = str(several) if place == site else "1"
        own = any(item.place == place for item in schedule.items)
        record["remark"] = "" if own else "assumed: the schedule does not name it"
        if place in (site, source) and own:
            record["remark"] = f"assumed: {'units are mounted' if place == site else 'the source is'} here"
        records.append(record)
    return records


def segment_records(schedule: Schedule) -> Records:
    """A star from the site of the units: to each place as far as the longest wire there; empty where none is known."""
    site = unit_site(schedule)
    others = [place for place in places(schedule) if place != site]
    return [{"from": site, "to": place, "length": _longest(schedule, place)} for place in others]


def run_records(schedule: Schedule) -> Records:
    """The length of each item that has one."""
    site = unit_site(schedule)
    return [
        {"load": item.name, "site": site, "length": item.length} for item in schedule.items if item.length and item.name
    ]


def _hottest(schedule: Schedule, place: str) -> str:
    ambients = [item.ambient for item in schedule.items if item.place == place and item.ambient]
    return max(ambients, key=lambda text: read_quantity(text, TEMPERATURE), default="")


def _longest(schedule: Schedule, place: str) -> str:
    lengths = [item.length for item in schedule.items if item.place == place and item.length]
    return max(lengths, key=lambda text: read_quantity(text, LENGTH), default="")


def csv_text(records: Iterable[dict[str, str]]) -> str:
    """Records as CSV under one line of headings."""
    rows = list(records)
    stream = StringIO()
    writer = csv.DictWriter(stream, fieldnames=list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return stream.getvalue()
