"""Every output of every unit by its pin: what it feeds, or that it is spare or unused."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.evaluation.branches import Fed, Mounted
from allocator.layout import FittedUnit
from allocator.problem import OutputClass
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.outputs import pin_states, what
from allocator.table import Row, Table, figure, text

COLUMNS = (
    text("unit"),
    text("site"),
    text("bank"),
    text("class"),
    text("pin"),
    text("state"),
    text("feeds"),
    text("at"),
    figure("current", "A"),
    figure("rating", "A", 1),
    figure("trip", "A"),
    text("wire"),
    text("size"),
    figure("length", "m"),
    figure("drop", "%"),
)
Pin = tuple[OutputClass | None, str]


def outputs(build: Build) -> Table:
    """Outputs in the order of the unit's pins; the schedule's own columns stand at the end, unchanged."""
    taken = {column.key for column in COLUMNS}
    names = dict.fromkeys(name for load in build.problem.loads for name, _ in load.extra)
    own = {name: text(f"load {name}" if name in taken else name) for name in names}
    rows = (row for unit in build.layout.units for row in _unit(build, unit, tuple(own)))
    return listing("outputs", "Outputs by unit and pin", (*COLUMNS, *own.values()), rows, breaks_at="unit")


def _unit(build: Build, unit: FittedUnit, own: tuple[str, ...]) -> Iterator[Row]:
    """Pins of the type; after them what a layout by hand names besides."""
    mounted = build.context.mounted.get(unit.name)
    fed = [(n, one) for n, one in enumerate(build.context.circuits) if one.circuit.unit == unit.name]
    at = [(n, place, pin) for n, one in fed for place, pin in enumerate(one.circuit.pins)]
    pins: list[Pin] = [(one, pin) for one in (mounted.type.outputs if mounted else ()) for pin in one.pins]
    pins += [(None, pin) for pin in dict.fromkeys(pin for *_, pin in at) if pin not in {known for _, known in pins}]
    states = pin_states(mounted.type, unit, {pin: build.layout.circuits[n] for n, _, pin in at}) if mounted else {}
    for output, pin in pins:
        head = (unit.name, unit.site, *_class(output), pin)
        here = [(n, place) for n, place, other in at if other == pin]
        if not here:
            yield (*head, states[pin], *[None] * 3, _rating_a(output, mounted), *[None] * 5, *[None] * len(own))
        for n, place in here:
            carried = (_carried(build.context.circuits[n], name) for name in own)
            yield (*head, "used", *_used(build, n, place, _rating_a(output, mounted)), *carried)


def _class(output: OutputClass | None) -> Row:
    return ("", "") if output is None else (output.bank or "", output.name)


def _rating_a(output: OutputClass | None, mounted: Mounted | None) -> float | None:
    return None if output is None or mounted is None else output.continuous_a * mounted.hot


def _used(build: Build, n: int, place: int, rating_a: float | None) -> Row:
    fed = build.context.circuits[n]
    piece = build.at_pin.get((n, place))
    places = dict.fromkeys(load.place for load in fed.loads)
    return (
        what(fed.circuit, place),
        "; ".join(places),
        build.pin_current_a(fed),
        rating_a,
        fed.circuit.trip_a,
        *(("", "", None) if piece is None else (piece.label, piece.size, piece.length_m)),
        fed.circuit.drop_percent,
    )


def _carried(fed: Fed, heading: str) -> str:
    extras = [dict(load.extra) for load in fed.loads]
    return "; ".join(dict.fromkeys(extra[heading] for extra in extras if extra.get(heading)))
