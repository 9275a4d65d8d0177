"""What an import has to say, as text of 80 columns: printed, and kept in the folder."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from allocator.importing import tables
from allocator.importing.schedule import ASSUMED, KINDS, LEFT_OUT, LOOK, OPEN, Finding, Schedule

WIDTH = 80
_HEADS = {
    OPEN: "To fill in ('allocator solve' refuses these until then)",
    LOOK: "To look at",
    ASSUMED: "Assumed",
    LEFT_OUT: "Left out",
}


def report(schedule: Schedule) -> str:
    """The whole report."""
    return "\n".join(_lines(schedule)) + "\n"


def all_findings(schedule: Schedule) -> tuple[Finding, ...]:
    """What the schedule left open or unsaid, and what the folder needs beyond any schedule."""
    return (*schedule.findings, *_of_folder(schedule))


def _of_folder(schedule: Schedule) -> Iterator[Finding]:
    """What a schedule cannot hold."""
    lacking = "the schedule does not say"
    if tables.measured(schedule):
        for record in tables.segment_records(schedule):
            if not record["length"]:
                said = f"how far it is from '{record['from']}' to '{record['to']}'"
                yield Finding(OPEN, f"segments.csv: {said}", file="segments.csv", key="length")
        said = f"every wire runs straight from '{tables.unit_site(schedule)}' to its place (segments.csv)"
        yield Finding(ASSUMED, said)
    else:
        count = len(tables.places(schedule))
        said = f"x, y and z of the {count} places (or a segments.csv that says how far they are apart)"
        yield Finding(OPEN, f"places.csv: {said}", file="places.csv", key="x")
    said = "no ground studs are known, so each load is grounded to the chassis where it sits: put what the studs bear"
    other = "under 'stud' in places.csv; without a metal chassis add a column 'return' to loads.csv, with 'source'"
    yield Finding(LOOK, f"{said} {other}")
    source, site = tables.source_place(schedule), tables.unit_site(schedule)
    yield Finding(ASSUMED, f"a battery at '{source}' and units at '{site}', for {lacking} (problem.toml, places.csv)")
    said = "a unit that nobody makes, with the outputs called for and room for what is to be filled in: put in yours"
    yield Finding(ASSUMED, f"{said} (problem.toml)")


def _lines(schedule: Schedule) -> Iterator[str]:
    sheet = f", sheet '{schedule.sheet}'" if schedule.sheet else ""
    findings = all_findings(schedule)
    counted = f"{len(schedule.items)} items below the headings in row {schedule.heading_row}"
    yield from _wrapped(f"{schedule.file}{sheet}: {counted}")
    yield ""
    yield "Columns"
    for column in schedule.columns:
        meaning = f"read as {column.read_as}" if column.read_as else "carried along"
        yield from _wrapped(f"'{column.heading}': {meaning}", "  ", "    ")
    for kind in KINDS:
        of_kind = [finding for finding in findings if finding.kind == kind]
        yield ""
        yield f"{_HEADS[kind]}: {len(of_kind) or 'nothing'}"
        for finding in of_kind:
            yield from _wrapped(f"* {_in_folder(schedule, finding)}", "", "  ")


def _in_folder(schedule: Schedule, finding: Finding) -> str:
    """A finding, with the row of ``loads.csv`` that it is to be filled in at."""
    if finding.row is None or not finding.file:
        return str(finding)
    rows = [item.row for item in schedule.items]
    return f"{finding} ({finding.file} row {rows.index(finding.row) + 2}, {finding.key})"


def _wrapped(text: str, first: str = "", then: str = "") -> Iterable[str]:
    plain = "".join(letter if letter.isprintable() else "?" for letter in text)
    return textwrap.wrap(plain, WIDTH, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
