"""The sheet to set outputs by and to measure at: trip, time to hold a start for, retries, room for what is measured."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.evaluation.branches import Fed
from allocator.evaluation.start_currents import starting_a
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.outputs import what
from allocator.table import Row, Table, count, figure, fill_in, text

COLUMNS = (
    text("unit"),
    text("pin"),
    text("class"),
    text("feeds"),
    figure("current", "A"),
    figure("trip", "A"),
    figure("start", "A"),
    figure("delay at least", "s", 3),
    figure("delay at most", "s", 3),
    count("retries at most"),
    fill_in("set"),
    fill_in("measured", "A"),
    fill_in("measured", "V"),
    fill_in("by, date"),
)

NOTE = (
    "Delay at least: the longest start of its loads; empty where none is known, then the output may trip at once. "
    "Delay at most: as long as the output's own peaks bear the start; empty where the start is within its rating."
)


def trips(build: Build) -> Table:
    """One row per output in use, unit by unit in the order of its pins."""
    order = {unit.name: n for n, unit in enumerate(build.layout.units)}
    circuits = sorted(build.context.circuits, key=lambda fed: order.get(fed.circuit.unit, len(order)))
    rows = [row for fed in circuits for row in _circuit(build, fed)]
    rows = _by_pin(build, rows)
    return listing("trips", "Trip settings, and what is measured", COLUMNS, rows, NOTE, breaks_at="unit")


def _by_pin(build: Build, rows: list[Row]) -> list[Row]:
    """Rows of each unit in the order of the pins of its type; pins that it lacks at its end."""
    place = {
        (name, pin): n
        for name, mounted in build.context.mounted.items()
        for n, pin in enumerate(pin for one in mounted.type.outputs for pin in one.pins)
    }
    units = list(dict.fromkeys(row[0] for row in rows))
    return sorted(rows, key=lambda row: (units.index(row[0]), place.get((str(row[0]), str(row[1])), len(place))))


def _circuit(build: Build, fed: Fed) -> Iterator[Row]:
    start_a, least_s, most_s = _start(fed)
    for place, pin in enumerate(fed.circuit.pins):
        output = fed.classes[place] if place < len(fed.classes) else None
        yield (
            fed.circuit.unit,
            pin,
            "" if output is None else output.name,
            what(fed.circuit, place),
            build.pin_current_a(fed),
            fed.circuit.trip_a,
            start_a,
            least_s,
            most_s,
            None if output is None else output.retries,
            *[None] * 4,
        )


def _start(fed: Fed) -> tuple[float | None, float | None, float | None]:
    """Amperes of each output while its loads start, for how long at least, and how long its peaks bear them at most."""
    times = {load.inrush_s for load in fed.loads if load.inrush_s is not None}
    if not times:
        return None, None, None
    each = [(starting_a(fed, seconds) / (fed.parallel * fed.parallel_use), seconds) for seconds in times]
    start_a, longest_s = max(each)[0], max(times)
    if fed.output_class is None or fed.mounted is None or fed.rating_a is None or start_a <= fed.rating_a:
        return start_a, longest_s, None
    bears = [s for amperes, s in fed.output_class.peaks if amperes * fed.mounted.hot >= start_a * (1.0 - 1e-9)]
    return start_a, longest_s, max(bears, default=None)
