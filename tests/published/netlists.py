"""A whole layout as a netlist for ngspice, written from the problem and the layout's own figures.

Nothing of the check is used: which wire joins what is told from roles and ends, and its resistance from size,
length, factor and trip, by the text of the rules.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Sequence

from allocator.evaluation.prepare import prepare
from allocator.evaluation.segment_lines import bodies_c
from allocator.layout import Circuit, DirectCircuit, Feed, FittedUnit, Layout, PlacedWire
from allocator.problem import SOURCE, Cables, Load, Problem, Source, Wire, WireTable
from allocator.routing import Network, Route
from allocator.wiring import ampacity_a, resistance_ohm_m, running_temperature_c

SPLICE_OHM = 0.0005
COMMANDS = (".control", "op", "set numdgt=12", "print all", ".endc", ".end")


def run_ngspice(lines: Sequence[str]) -> dict[str, float]:
    """Operating point of a netlist: volts by node, in lower case as ngspice has them."""
    deck = "\n".join(("* a layout", *lines, *COMMANDS)) + "\n"
    run = subprocess.run(["ngspice", "-b"], input=deck, capture_output=True, text=True, check=False, timeout=120)
    found = re.findall(r"^(n\w+) = (\S+)$", run.stdout, flags=re.MULTILINE)
    if not found:
        raise AssertionError(f"ngspice gives no voltages:\n{run.stdout}\n{run.stderr}")
    return {node: float(volts) for node, volts in found}


class Netlist:
    """Lines for one condition at one voltage of the sources, and the node of each point of the layout."""

    def __init__(self, problem: Problem, layout: Layout, condition: int, source_v: float):
        self.problem, self.condition, self.source_v = problem, condition, source_v
        self._network = Network(problem)
        self.bodies_c = bodies_c(prepare(problem, layout))
        self.lines: list[str] = []
        self.nodes: dict[str, str] = {}
        self.grounds: set[str] = set()
        for unit in layout.units:
            assert unit.feed is not None
            origin = self.terminal(problem.unit[unit.name].source)
            self._resist(origin, self.node(f"unit {unit.name}"), self._feed_ohm(unit))
        for circuit in layout.circuits:
            self._circuit(circuit)
        for direct in layout.direct:
            origin = self.terminal(direct.source)
            for n, wire in enumerate(direct.wires):
                end = "+" if wire.role == "out" else "-"
                self._wire(direct, n, origin if end == "+" else None, self.node(f"load {direct.load} {end}"))
            self._draw(problem.load[direct.load])

    def node(self, label: str) -> str:
        """The node of a point, a new one where it has none."""
        return self.nodes.setdefault(label, f"n{len(self.nodes)}")

    def terminal(self, source: str) -> str:
        label = f"source {source} +"
        if label not in self.nodes:
            self._put("V", self.node(label), "0", self.source_v)
        return self.node(label)

    def ground(self, label: str) -> str:
        self.grounds.add(label)
        return "0"

    def volts(self) -> dict[str, float]:
        """What ngspice makes of it, by the name of each point."""
        found = run_ngspice(self.lines)
        return {**{label: found[node] for label, node in self.nodes.items()}, **dict.fromkeys(self.grounds, 0.0)}

    def _put(self, kind: str, start: str, end: str, value: float) -> None:
        self.lines.append(f"{kind}{len(self.lines)} {start} {end} {value!r}")

    def _resist(self, start: str, end: str, ohm: float) -> None:
        # ngspice takes a resistance of 0 for one that was left out
        self._put("R" if ohm > 0.0 else "V", start, end, ohm)

    def _draw(self, load: Load) -> None:
        current = load.current_a * load.heating(self.condition)
        self._put("I", self.node(f"load {load.name} +"), self.node(f"load {load.name} -"), current)

    def _circuit(self, circuit: Circuit) -> None:
        unit = self.node(f"unit {circuit.unit}")
        spliced = {wire.end for wire in circuit.wires if wire.role == "trunk"}
        outs = 0
        for n, wire in enumerate(circuit.wires):
            owner = self.problem.load[wire.loads[0]]
            if wire.role == "return" or (wire.role == "out" and owner.bridge and outs == 1):
                self._wire(circuit, n, None, self.node(f"load {owner.name} -"))
            elif wire.role == "out":
                outs += 1
                self._wire(circuit, n, unit, self.node(f"load {owner.name} +"))
            else:
                first = wire.role == "trunk" and wire.start == wire.end
                inside = wire.start in spliced and not first
                start = self.node(f"circuit {circuit.name}, splices at {wire.start}") if inside else unit
                end = f"load {owner.name} +" if wire.role == "branch" else _before(circuit, wire.end)
                self._wire(circuit, n, start, self.node(end))
        for splice in circuit.splices:
            after = self.node(f"circuit {circuit.name}, splices at {splice.place}")
            self._resist(self.node(_before(circuit, splice.place)), after, splice.count * SPLICE_OHM)
        for name in circuit.loads:
            self._draw(self.problem.load[name])

    def _wire(self, owner: Circuit | DirectCircuit, n: int, start: str | None, end: str) -> None:
        """A wire to ``end`` with its contacts there; without a start, a way back from ``end`` to its return point."""
        wire = owner.wires[n]
        contacts = sum(self.problem.bulkhead[one.bulkhead].contacts[one.set].resistance_ohm for one in wire.contacts)
        ohm = self._ohm(owner, wire)
        if start is None:
            start, end = end, self._return_point(owner, wire)
        if contacts > 0.0:
            of = f"circuit {owner.name}" if isinstance(owner, Circuit) else f"direct load {owner.load}"
            alike = [i for i, other in enumerate(owner.wires) if other.role == wire.role]
            which = "" if len(alike) == 1 else f" {alike.index(n) + 1}"
            before = self.node(f"{of}, {wire.role} wire{which}, before its contacts")
            self._resist(before, end, contacts)
            end = before
        self._resist(start, end, ohm)

    def _return_point(self, owner: Circuit | DirectCircuit, wire: PlacedWire) -> str:
        load = self.problem.load[wire.loads[0]]
        if load.bridge and isinstance(owner, Circuit):
            return self.ground(f"ground of unit {owner.unit}")
        if load.return_to == SOURCE:
            return self.ground(f"source {self._source(owner).name} -")
        stud = self.problem.place[wire.end].stud_a is not None
        return self.ground(f"{'stud' if stud else 'ground at'} {wire.end}")

    def _source(self, owner: Circuit | DirectCircuit) -> Source:
        name = owner.source if isinstance(owner, DirectCircuit) else self.problem.unit[owner.unit].source
        return self.problem.source[name]

    def _ohm(self, owner: Circuit | DirectCircuit, wire: PlacedWire) -> float:
        """At the temperature of the full current, or at that to which its bundle may warm it."""
        names = wire.loads if isinstance(owner, DirectCircuit) or wire.role != "out" else owner.loads
        loads = [self.problem.load[name] for name in names]
        parallel = len(owner.pins) if isinstance(owner, Circuit) and not loads[0].bridge else 1
        current = sum(load.full_current_a for load in loads) / (parallel if wire.role == "out" else 1)
        assert wire.length_m is not None
        tables = self._tables(owner)
        row = _row(tables, wire.size, wire.insulation_c)
        route = self._followed(wire.route, wire.length_m)
        cable = row not in tables[0].wires or tables[0] is self.problem.feed_wires
        hot = self._hot_c(row, route, current, wire.factor, cable=cable)
        return resistance_ohm_m(row, hot) * wire.length_m

    def _hot_c(self, row: Wire, route: Route, current_a: float, factor: float, *, cable: bool) -> float:
        """By its own current, or between others as warm as its warmest bundle; a feed among them near its class."""
        margins, full = self.problem.margins, self._bears_a(row, route, factor)
        beside = cable and margins.cables is Cables.BESIDE
        bodies = [] if beside else [self.bodies_c[e] for e in route.segments if e in self.bodies_c]
        return running_temperature_c(current_a, full, route.ambient_c, row.insulation_c, max(bodies, default=None))

    def _feed_ohm(self, unit: FittedUnit) -> float:
        feed = unit.feed
        assert isinstance(feed, Feed) and feed.length_m is not None
        row = _row((self.problem.feed_wires,), feed.size, feed.insulation_c)
        route = self._followed(feed.route, feed.length_m)
        current = max(a for _, a in unit.current_a) + self.problem.unit[unit.name].spare_current_a
        hot = self._hot_c(row, route, current, feed.factor, cable=True)
        return resistance_ohm_m(row, hot) * feed.length_m

    def _tables(self, owner: Circuit | DirectCircuit) -> tuple[WireTable, ...]:
        """A direct load takes sizes of the wire table first, and only those on the shelf."""
        rules, table = self.problem.wire_rules, self.problem.wires
        if isinstance(owner, Circuit):
            return (table,)
        rows = [row for row in table.wires if row.size in (rules.sizes or (row.size,))]
        shelf = [row for row in rows if row.area_mm2 >= rules.smallest_mm2 * (1 - 1e-9)]
        here = (WireTable(name="shelf", wires=tuple(shelf)),) if shelf else ()
        return (*here, self.problem.feed_wires)

    def _followed(self, places: tuple[str, ...], length_m: float) -> Route:
        """The route; where only a measured length joins two places, the hotter of them counts."""
        if self.problem.segments or self.problem.place[places[0]].located:
            return self._network.follow(places)
        ambient = max(self.problem.place_ambient_c(place) for place in places)
        return Route(places=places, length_m=length_m, ambient_c=ambient)

    def _bears_a(self, row: Wire, route: Route, factor: float) -> float:
        free = ampacity_a(row, route.ambient_c, self.problem.altitude_m)
        return free * self.problem.margins.ampacity * factor


def _before(circuit: Circuit, place: str) -> str:
    return f"circuit {circuit.name}, before the splices at {place}"


def _row(tables: Sequence[WireTable], size: str, insulation_c: float | None) -> Wire:
    rows = (row for table in tables for row in table.wires)
    return next(row for row in rows if (row.size, row.insulation_c) == (size, insulation_c))
