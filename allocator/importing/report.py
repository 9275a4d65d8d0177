"""What an import has to say, as text of 80 columns: printed, and kept in the folder."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from allocator.importing import tables
from allocator.importing.amperes import current_a
from allocator.importing.schedule import ASSUMED, KINDS, LEFT_OUT, LOOK, OPEN, Finding, Schedule, listed_rows
from allocator.output_count import OutputSteps

WIDTH = 80
MANY_OUTPUTS = 3  # a load that takes so many side by side is often fed directly: common practice, no source
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
    for item in schedule.items:
        amperes = current_a(schedule, item)
        step_a, outputs = OutputSteps().outputs(amperes or 0.0)
        if outputs >= MANY_OUTPUTS:
            said = f"draws as much as {outputs} outputs of {step_a:g} A carry: it may be better fed from the source, by"
            yield Finding(LOOK, f"{said} a column 'supply' in loads.csv with 'direct'", item.row, cell=item.name)
    lacking = "the schedule does not say"
    site = tables.unit_site(schedule)
    without = [f"'{record['to']}'" for record in tables.segment_records(schedule) if not record["length"]]
    if without:
        lengths = "1 length" if len(without) == 1 else f"{len(without)} lengths"
        said = f"segments.csv: how far a wire runs from '{site}' to {', '.join(without)} ({lengths})"
        yield Finding(OPEN, said, file="segments.csv", key="length")
    said = (
        f"every wire runs straight from '{site}' to its place: where several run along one route, split "
        f"it into segments"
    )
    yield Finding(ASSUMED, f"{said} (segments.csv)")
    said = "no ground studs are known, so each load is grounded to the chassis where it sits: put what studs, or"
    bars = "negative bars, carry under 'stud' in places.csv;"
    other = f"{bars} without a metal chassis or bars add a column 'return' to loads.csv, with 'source'"
    yield Finding(LOOK, f"{said} {other}")
    source = tables.source_place(schedule)
    yield Finding(ASSUMED, f"a battery at '{source}' and units at '{site}', for {lacking} (problem.toml, places.csv)")
    said = "a placeholder unit, with the outputs called for and room for what is still to be filled in: put in yours"
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
        for alike in _alike(of_kind):
            yield from _wrapped(f"* {_in_folder(schedule, alike)}", "", "  ")


def _alike(findings: list[Finding]) -> Iterable[list[Finding]]:
    """Findings that say one thing of one empty column, together; every other by itself."""
    groups: dict[object, list[Finding]] = {}
    for number, finding in enumerate(findings):
        one = (finding.said, finding.column, finding.key) if finding.row is not None and not finding.cell else number
        groups.setdefault(one, []).append(finding)
    return groups.values()


def _in_folder(schedule: Schedule, alike: list[Finding]) -> str:
    """Findings, with the rows of ``loads.csv`` that they are to be filled in at."""
    first = alike[0]
    said = str(first)
    if len(alike) > 1:
        where = [listed_rows([one.row for one in alike if one.row is not None]), *filter(None, [first.column])]
        said = f"{', '.join(where)}: {first.said}"
    if first.row is None or not first.file:
        return said
    rows_of_items = [item.row for item in schedule.items]
    places = listed_rows([rows_of_items.index(one.row) + 2 for one in alike if one.row is not None])
    return f"{said} ({first.file} {places}, {first.key})"


def _wrapped(text: str, first: str = "", then: str = "") -> Iterable[str]:
    plain = "".join(letter if letter.isprintable() else "?" for letter in text)
    return textwrap.wrap(plain, WIDTH, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
