"""Wire sizes as a careful person picks them: along the shortest way, the lightest that bears trip and drop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from allocator.checking.short_circuit import output_lets_through_a2s
from allocator.evaluation.branches import Fed, Mounted
from allocator.evaluation.decisions import decided
from allocator.evaluation.direct_loads import drop_limit_v
from allocator.evaluation.laid_conductors import accepts, on_shelf
from allocator.evaluation.neighbours import Neighbours
from allocator.evaluation.resolved_circuits import carried, drops_v, feed_circuit
from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire
from allocator.problem import Load, Problem
from allocator.routing import Network
from allocator.wiring import withstand_a2s

SLACK = 1.0 + 1e-9


@dataclass(frozen=True)
class InOneSize:
    """A circuit in one size: which of its wires that size would do for, what each loses, what each load loses out."""

    size: str
    good: tuple[bool, ...]
    back_v: dict[int, float]
    out_v: dict[str, float]
    copper_g: tuple[float, ...]


def wired(
    problem: Problem, network: Network, mounted: Mounted, circuit: Circuit, way: tuple[str, ...] = ()
) -> Circuit | None:
    """The circuit with the wires of least copper that serve; None where no size does.

    One size from the output on, along ``way`` or else the shortest; a size of its own for each return.
    """
    units = (FittedUnit(name=mounted.name, site=mounted.site.name),)
    any_size = replace(circuit, wires=(PlacedWire(role="any", size=problem.wires.wires[0].size, route=way),))
    bare = Layout(problem="", units=units, circuits=(any_size,))
    (plain,) = decided(problem, network, Neighbours(problem), bare).circuits
    sizes = [row.size for row in problem.wires.wires if on_shelf(problem, row)]
    tried = [_in(problem, network, mounted, plain, size) for size in dict.fromkeys(sizes)]
    best: tuple[float, Circuit] | None = None
    for one in tried:
        found = _with(problem, plain, one, tried)
        if found is not None and (best is None or found[0] < best[0]):
            best = found
    return None if best is None else best[1]


def _with(problem: Problem, plain: Circuit, out: InOneSize, tried: Sequence[InOneSize]) -> tuple[float, Circuit] | None:
    """Copper and circuit with a size going out and, for each load, the lightest return that then serves."""
    grams, wires = 0.0, list(plain.wires)
    returned: set[str] = set()
    for n, wire in enumerate(plain.wires):
        if wire.role != "return":
            if not out.good[n]:
                return None
            grams += out.copper_g[n]
            wires[n] = replace(wire, size=out.size)
            continue
        load = problem.load[wire.loads[0]]
        room = drop_limit(problem, load) - out.out_v[load.name]
        backs = [one for one in tried if one.good[n] and one.back_v[n] <= room * SLACK]
        if not backs:
            return None
        back = min(backs, key=lambda one: one.copper_g[n])
        grams += back.copper_g[n]
        wires[n] = replace(wire, size=back.size)
        returned.add(load.name)
    for name, lost in out.out_v.items():
        if name not in returned and lost > drop_limit(problem, problem.load[name]) * SLACK:
            return None
    return grams, replace(plain, wires=tuple(wires))


def drop_limit(problem: Problem, load: Load) -> float:
    """Volts that a load may lose from its output on, its least volts regarded."""
    limit = drop_limit_v(problem, load)
    if load.min_volts_v is None:
        return limit
    return min(limit, problem.lowest_v - problem.margins.feed_drop * problem.running_v - load.min_volts_v)


def _in(problem: Problem, network: Network, mounted: Mounted, plain: Circuit, size: str) -> InOneSize:
    wires = tuple(replace(wire, size=size) for wire in plain.wires)
    fed = feed_circuit(problem, network, Neighbours(problem), mounted, replace(plain, wires=wires))
    contacts = [_contact_v(problem, fed, n) for n in range(len(wires))]
    back_v = {n: (one.drop_v or 0.0) + (contacts[n] or 0.0) for n, one in fed.pairs("return")}
    return InOneSize(
        size=size,
        good=tuple(_good(fed, n) and contacts[n] is not None for n in range(len(wires))),
        back_v=back_v,
        out_v=_out_v(problem, fed, contacts),
        copper_g=tuple(one.copper_g or 0.0 for one in fed.conductors),
    )


def _good(fed: Fed, n: int) -> bool:
    """Whether a wire bears its trip and a short circuit, and fits its terminal."""
    conductor, output = fed.conductors[n], fed.output_class
    if conductor.row is None or output is None or conductor.guard_a is None or conductor.drop_v is None:
        return False
    group = fed.parallel if fed.wires[n].role == "return" else 1
    short = group**2 * (output_lets_through_a2s(output) or 0.0)
    fits = fed.wires[n].role == "return" or accepts(output.wire_mm2, conductor.row.area_mm2)
    bears = conductor.guard_a <= (conductor.ampacity_a or 0.0) * SLACK
    return fits and bears and short <= withstand_a2s(conductor.row) * SLACK


def _contact_v(problem: Problem, fed: Fed, n: int) -> float | None:
    """Volts lost in the worst contacts that a wire may get; None where one of its bulkheads takes no such wire."""
    conductor = fed.conductors[n]
    if conductor.row is None or conductor.route is None:
        return None
    total = 0.0
    for name in conductor.route.bulkheads:
        fitting = [
            one.resistance_ohm
            for one in problem.bulkhead[name].contacts
            if accepts(one.wire_mm2, conductor.row.area_mm2)
            and (one.continuous_a is None or conductor.current_a <= one.continuous_a * SLACK)
        ]
        if not fitting:
            return None
        total += max(fitting)
    return total * conductor.current_a


def _out_v(problem: Problem, fed: Fed, contacts: Sequence[float | None]) -> dict[str, float]:
    """What each load loses on the way to it, in splices and contacts too, without its return."""
    lost = {}
    for name, drop in drops_v(fed, problem.margins.splice_wires).items():
        back = sum(one.drop_v or 0.0 for n, one in fed.pairs("return") if name in fed.wires[n].loads)
        passed = [contacts[n] or 0.0 for n, _ in fed.pairs("out", "trunk", "branch") if name in carried(fed, n)]
        through = max(passed, default=0.0) if fed.parallel > 1 else sum(passed)
        lost[name] = float("inf") if drop is None else drop - back + through
    return lost
