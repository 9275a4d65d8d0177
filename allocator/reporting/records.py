"""A layout as tables of data: a row for each circuit, wire or unit. CSV files, DataFrames and lists of the page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from allocator.layout import Circuit, DirectCircuit, Feed, FittedUnit, GivenRun, Layout, PlacedWire
from allocator.problem import Problem
from allocator.reporting.labels import labels_of
from allocator.table import JOIN, Cell, Table, count, figure, keyed, table_of, text, texts

Record = dict[str, Cell]

CIRCUITS = (
    *keyed("circuit", "loads", "unit", "bank", "class", "pins", "current_a", "trip_a", "fuse_a", "drop_percent"),
    count("splices"),
    text("source"),
)
WIRES = (
    *keyed("label", "circuit", "unit", "pin", "role", "from", "to", "route", "size"),
    *keyed("insulation_c", "length_m", "copper_g", "wire_g", "trip_a", "fuse_a"),
    figure("factor", digits=3),
    *keyed("loads", "contacts"),
)
UNITS = (
    *keyed("unit", "type", "site", "feed_size", "feed_length_m", "feed_fuse_a", "feed_drop_percent"),
    count("outputs spare", key="outputs_spare"),
)


def circuits(layout: Layout, problem: Problem | None = None) -> Table:
    """One row per circuit, direct ones at the end.

    Currents in A, drop in percent. With the problem, columns of the schedule that the engine does not know
    are carried over, joined where a circuit has several loads.
    """
    fed = [(circuit.loads, _circuit(circuit)) for circuit in layout.circuits]
    fed += [((direct.load,), _direct(direct)) for direct in layout.direct]
    own = _own(problem)
    records = [{**record, **_carried(problem, loads, own)} for loads, record in fed]
    return table_of((*CIRCUITS, *texts(*own)), records, name="circuits", title="Circuits")


def _circuit(circuit: Circuit) -> Record:
    return {
        "circuit": circuit.name,
        "loads": JOIN.join(circuit.loads),
        "unit": circuit.unit,
        "bank": circuit.bank,
        "class": circuit.output_class,
        "pins": JOIN.join(circuit.pins),
        "current_a": circuit.current_a,
        "trip_a": circuit.trip_a,
        "fuse_a": None,
        "drop_percent": circuit.drop_percent,
        "splices": sum(splice.count for splice in circuit.splices),
        "source": None,
    }


def _direct(direct: DirectCircuit) -> Record:
    return {
        "circuit": direct.load,
        "loads": direct.load,
        "unit": None,
        "bank": None,
        "class": None,
        "pins": "",
        "current_a": direct.current_a,
        "trip_a": None,
        "fuse_a": direct.fuse_a,
        "drop_percent": direct.drop_percent,
        "splices": 0,
        "source": direct.source,
    }


def _own(problem: Problem | None) -> dict[str, str]:
    """Columns of the schedule that the engine does not know, by their key: 'load NAME' where NAME is taken."""
    names = () if problem is None else (name for load in problem.loads for name, _ in load.extra)
    taken = {column.key for column in CIRCUITS}
    return {f"load {name}" if name in taken else name: name for name in names}


def _carried(problem: Problem | None, loads: Iterable[str], own: Mapping[str, str]) -> Record:
    """What the schedule says of some loads in columns of its own, each once."""
    known = {} if problem is None else problem.load
    extras = [dict(known[load].extra) for load in loads if load in known]
    return {
        called: JOIN.join(dict.fromkeys(extra[name] for extra in extras if extra.get(name)))
        for called, name in own.items()
    }


def wires(layout: Layout) -> Table:
    """One row per piece of wire, feeds and cores of given wires too. Lengths in m, masses in g.

    ``trip_a`` or ``fuse_a`` is what it sits behind: of the return of outputs in parallel, all their trips together.
    """
    return table_of(WIRES, _wires(layout), name="wires", title="Wires")


def _wires(layout: Layout) -> Iterator[Record]:
    labels = labels_of(layout)
    for circuit, own in zip(layout.circuits, labels.circuits, strict=True):
        for place, wire in enumerate(circuit.wires):
            pin = circuit.pins[place] if wire.role == "out" and place < len(circuit.pins) else ""
            named = _named(own[place], circuit.name, circuit.unit, pin)
            yield {**named, **_wire(wire), **_behind(_trip_a(circuit, wire), None), **_passed(wire)}
    for direct, own in zip(layout.direct, labels.direct, strict=True):
        for label, wire in zip(own, direct.wires, strict=True):
            yield {**_named(label, direct.load), **_wire(wire), **_behind(None, direct.fuse_a), **_passed(wire)}
    for unit in layout.units:
        feed = unit.feed
        if feed is not None:
            named = _named(labels.feeds[unit.name], f"feed of {unit.name}", unit.name)
            yield {**named, **_laid("feed", feed), **_behind(None, feed.fuse_a), **_passed(feed)}
    for given, own in zip(layout.given, labels.given, strict=True):
        for label in own:
            core = _laid("given", given, given.cores)
            yield {**_named(label, given.wire), **core, **_behind(None, None), **_passed(given)}


def _named(label: str, circuit: str, unit: str | None = None, pin: str = "") -> Record:
    return {"label": label, "circuit": circuit, "unit": unit, "pin": pin}


def _behind(trip_a: float | None, fuse_a: float | None) -> Record:
    return {"trip_a": trip_a, "fuse_a": fuse_a}


def _trip_a(circuit: Circuit, wire: PlacedWire) -> float | None:
    """The trip that a wire sits behind; a bridge pair, where each output carries all of the current, has no return."""
    if circuit.trip_a is None or wire.role != "return":
        return circuit.trip_a
    return circuit.trip_a * max(len(circuit.pins), 1)


def _wire(wire: PlacedWire) -> Record:
    return {
        "role": wire.role,
        "from": wire.start,
        "to": wire.end,
        "route": JOIN.join(wire.route),
        "size": wire.size,
        "insulation_c": wire.insulation_c,
        "length_m": wire.length_m,
        "copper_g": wire.copper_g,
        "wire_g": wire.wire_g,
    }


def _laid(role: str, wire: Feed | GivenRun, cores: int = 1) -> Record:
    """A wire that is known by its route: a feed, or one core of a given wire."""
    return {
        "role": role,
        "from": wire.route[0] if wire.route else "",
        "to": wire.route[-1] if wire.route else "",
        "route": JOIN.join(wire.route),
        "size": wire.size,
        "insulation_c": wire.insulation_c,
        "length_m": wire.length_m,
        "copper_g": None if wire.copper_g is None else wire.copper_g / cores,
        "wire_g": None if wire.wire_g is None else wire.wire_g / cores,
    }


def _passed(wire: PlacedWire | Feed | GivenRun) -> Record:
    """What it was sized with, whom it serves, and the contacts it takes."""
    contacts = () if isinstance(wire, Feed) else wire.contacts
    return {
        "factor": wire.factor,
        "loads": JOIN.join(wire.loads) if isinstance(wire, PlacedWire) else "",
        "contacts": JOIN.join(dict.fromkeys(f"{contact.bulkhead} {contact.set}" for contact in contacts)),
    }


def units(layout: Layout) -> Table:
    """One row per fitted unit, its current in A in every condition as a column ``current_a CONDITION``."""
    conditions = dict.fromkeys(condition for unit in layout.units for condition, _ in unit.current_a)
    columns = (*UNITS, *keyed(*(f"current_a {condition}" for condition in conditions)))
    return table_of(columns, (_unit(unit, conditions) for unit in layout.units))


def _unit(unit: FittedUnit, conditions: Iterable[str]) -> Record:
    feed, current_a = unit.feed, dict(unit.current_a)
    return {
        "unit": unit.name,
        "type": unit.type,
        "site": unit.site,
        "feed_size": None if feed is None else feed.size,
        "feed_length_m": None if feed is None else feed.length_m,
        "feed_fuse_a": None if feed is None else feed.fuse_a,
        "feed_drop_percent": None if feed is None else feed.drop_percent,
        "outputs_spare": sum(count for _, _, count in unit.spare),
        **{f"current_a {condition}": current_a.get(condition) for condition in conditions},
    }
