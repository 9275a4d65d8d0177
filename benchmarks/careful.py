"""A layout as a careful person makes it by hand: nearest unit first, largest load first, in schedule order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from allocator.checking import RULES, check
from allocator.evaluation.branches import Mounted
from allocator.evaluation.mounted_units import mounts, run_of
from allocator.evaluation.prepare import prepare
from allocator.layout import Circuit, DirectCircuit, FittedUnit, Layout
from allocator.problem import Fit, Load, OutputClass, Problem, Supply, Unit
from allocator.routing import Network, RouteError, network_of
from benchmarks.demonstrations import as_if_alone
from benchmarks.hand_wires import SLACK, wired

WORD, PLACE, ALONE = "share word", "share word and place", "nothing"
"""What loads on one output have in common."""

ROUNDS = 5
"""Times that a hand begins, with what found no output the time before put first."""

SITES_TRIED = 3
"""Sets of sites that a hand tries, the nearest to all loads first, while loads are left over."""

LATER = {"load fed once", "direct load", "network drop", "network volts", "network studs"}
"""Rules that a layout half made cannot keep, and slow ones that tell no more than others: the last check has them."""

Group = tuple[Load, ...]


@dataclass
class Bench:
    """A layout in the making. Bundles are looked at when all wires lie: see `thickened`."""

    problem: Problem
    network: Network
    units: tuple[FittedUnit, ...]
    circuits: list[Circuit] = field(default_factory=list)

    @property
    def layout(self) -> Layout:
        direct = [load for load in self.problem.loads if load.supply is Supply.DIRECT]
        source = self.problem.sources[0].name
        return Layout(
            problem=self.problem.name,
            units=self.units,
            circuits=tuple(self.circuits),
            direct=tuple(DirectCircuit(load=load.name, source=source) for load in direct),
        )

    def used(self, unit: str) -> set[str]:
        return {pin for circuit in self.circuits if circuit.unit == unit for pin in circuit.pins}


def by_hand(problem: Problem) -> Layout:
    """The best of what a hand makes: loads shared by word, by place, or not at all; clean, then of least objective.

    What the hand decides: a site for each unit, units that are fitted only if needed, unit, pins and wires of each
    circuit. The check fills in trips, feeds, fuses, contacts and spares, as it does for every layout by hand.
    """
    ways = {tuple(_groups(problem, common)): common for common in (ALONE, PLACE, WORD)}
    made = [thickened(problem, _made(problem, common)) for common in reversed(ways.values())]

    def order(layout: Layout) -> tuple[int, float]:
        report = check(problem, layout)
        return len(report.violations), report.objective_g or 0.0

    return min(made, key=order)


def _made(problem: Problem, common: str) -> Layout:
    """Units that are always fitted first; one more each time that loads are left over; with all, more tries."""
    without = as_if_alone(problem)
    network = network_of(without)
    units = [unit for unit in problem.units if unit.fit is Fit.ALWAYS]
    others = [unit for unit in problem.units if unit.fit is not Fit.ALWAYS]
    while True:
        layout, left = _on_the_first_sites(without, network, units, common, once=bool(others))
        if not left or not others:
            return layout
        units.append(others.pop(0))


def _on_the_first_sites(
    problem: Problem, network: Network, units: Sequence[Unit], common: str, once: bool
) -> tuple[Layout, list[Group]]:
    """A layout on the first sites that leave no load over; else that which leaves the fewest. Or ``once`` through."""
    best: tuple[Layout, list[Group]] | None = None
    for sites in _sites(problem, network, units)[: 1 if once else SITES_TRIED]:
        made = _placed(problem, network, sites, common, 1 if once else ROUNDS)
        if best is None or len(made[1]) < len(best[1]):
            best = made
        if not made[1]:
            break
    assert best is not None
    return best


def _sites(problem: Problem, network: Network, units: Sequence[Unit]) -> list[tuple[FittedUnit, ...]]:
    """Sites for the units: those first that make for the fewest ampere-metres of branches and feeds."""
    loads = [load for load in problem.loads if load.supply is Supply.UNIT]

    def far(sites: Sequence[str]) -> float:
        """Ampere-metres: each load from the unit that is nearest to it, and that unit from its source."""
        fed = [
            (site, _way_m(network, problem.source[unit.source].place, site))
            for unit, site in zip(units, sites, strict=True)
        ]
        total = 0.0
        for load in loads:
            branch, feed = min((_way_m(network, site, load.place), feed) for site, feed in fed)
            total += load.current_a * (branch + feed)
        return total

    sets = [
        sites
        for sites in product(*([site for site in unit.sites if _may_sit(problem, unit, site)] for unit in units))
        if all(n <= problem.place[site].units for site, n in Counter(sites).items())
    ]
    return [
        tuple(FittedUnit(name=unit.name, site=site) for unit, site in zip(units, sites, strict=True))
        for sites in sorted(sets, key=far)
    ]


def _may_sit(problem: Problem, unit: Unit, site: str) -> bool:
    unit_type = problem.unit_type[unit.type]
    cool = unit_type.hot_share(problem.place_ambient_c(site)) > 0.0
    return cool and (unit_type.sealed or not problem.place[site].wet)


def _way_m(network: Network, start: str, end: str) -> float:
    try:
        return network.shortest(start, end).length_m
    except RouteError:
        return float("inf")


def _placed(
    problem: Problem, network: Network, units: tuple[FittedUnit, ...], common: str, rounds: int
) -> tuple[Layout, list[Group]]:
    """All circuits one after the other; what finds no output goes first the next time. And what is left over."""
    groups = sorted(_groups(problem, common), key=lambda group: _turn(problem, group))
    best: tuple[int, Layout, list[Group]] | None = None
    for _ in range(rounds):
        bench = Bench(problem, network, units)
        left = []
        for group in groups:
            if not _place(bench, group):
                # a group that no output takes is wired load by load
                alone = [(load,) for load in group] if len(group) > 1 else [group]
                left += [one for one in alone if len(group) == 1 or not _place(bench, one)]
        missing = sum(map(len, left))
        if best is None or missing < best[0]:
            best = missing, bench.layout, left
        if not left:
            break
        names = {load.name for group in left for load in group}
        groups.sort(key=lambda group: not names & {load.name for load in group})
    assert best is not None
    return best[1], best[2]


def _turn(problem: Problem, group: Group) -> tuple[bool, bool, float]:
    """First what must be kept apart, then what takes a pair; then the largest, equal ones in schedule order."""
    names = {load.name for load in group}
    apart = any(names & {*function.loads} for function in problem.functions)
    return not apart, not group[0].bridge, -sum(load.full_current_a for load in group)


def _groups(problem: Problem, common: str) -> Iterator[Group]:
    """Loads that go on one output, filled up in schedule order as far as an output and the functions allow."""
    most_a = max(one.continuous_a for kind in problem.unit_types for one in kind.outputs) * problem.margins.output_use
    open_groups: dict[object, list[Load]] = {}
    for load in problem.loads:
        if load.supply is not Supply.UNIT:
            continue
        measured = any(run_of(problem, load, site) for unit in problem.units for site in unit.sites)
        if common == ALONE or load.share is None or load.bridge or measured:
            yield (load,)
            continue
        key = (load.share, load.place if common == PLACE else None, load.unit, load.output)
        group = open_groups.setdefault(key, [])
        if not _may_join(problem, group, load, most_a):
            yield tuple(group)
            group.clear()
        group.append(load)
    yield from (tuple(group) for group in open_groups.values())


def _may_join(problem: Problem, group: Sequence[Load], load: Load, most_a: float) -> bool:
    names = {one.name for one in (*group, load)}
    fits = sum(one.full_current_a for one in (*group, load)) <= most_a
    kept = [one for one in problem.functions if "output" in one.against]
    return fits and all(len(names & {*one.loads}) <= len(one.loads) - one.survive for one in kept)


def _place(bench: Bench, group: Group) -> bool:
    """Put loads on the first outputs, of the nearest unit first, that break no rule; if need be by a longer way."""
    mounted = sorted(mounts(bench.problem, bench.units).values(), key=lambda one: _far_m(bench, one, group))
    mounted = [unit for unit in mounted if all(load.unit in (None, unit.name) for load in group)]
    for longer in (False, True) if len(group) == 1 else (False,):
        for unit in mounted:
            for way in _ways(bench, unit, group, longer):
                for output in _by_size(bench, unit):
                    pins = _pins(bench, unit, output, group)
                    circuit = None if pins is None else _circuit(bench, unit, group, pins, way)
                    if circuit is not None and _keeps_rules(bench, circuit):
                        bench.circuits.append(circuit)
                        return True
    return False


def _ways(bench: Bench, unit: Mounted, group: Group, longer: bool) -> list[tuple[str, ...]]:
    """The shortest way to loads, which () stands for; or, ``longer``, the others to a single load."""
    if not longer:
        return [()]
    return [route.places for route in bench.network.routes(unit.site.name, group[0].place)[1:]]


def _far_m(bench: Bench, unit: Mounted, group: Group) -> float:
    return min(_way_m(bench.network, unit.site.name, load.place) for load in group)


def _by_size(bench: Bench, unit: Mounted) -> list[OutputClass]:
    """Output classes, the smallest first, of the least able first, of the emptiest bank first."""
    drawn: Counter[str | None] = Counter()
    for circuit in bench.circuits:
        if circuit.unit == unit.name:
            bank = next(one.bank for one in unit.type.outputs if circuit.pins[0] in one.pins)
            drawn[bank] += sum(bench.problem.load[name].full_current_a for name in circuit.loads)
    return sorted(unit.type.outputs, key=lambda one: (one.continuous_a, len(one.capabilities), drawn[one.bank]))


def _pins(bench: Bench, unit: Mounted, output: OutputClass, group: Group) -> tuple[str, ...] | None:
    """Free pins of a class that carry a group and leave the spares; None where there are too few."""
    problem, used = bench.problem, bench.used(unit.name)
    current = sum(load.full_current_a for load in group)
    each = output.continuous_a * unit.hot * problem.margins.output_use
    most = output.parallel if len(group) == 1 and not group[0].bridge else 1
    carry = (k for k in range(1, most + 1) if current <= k * (output.parallel_use if k > 1 else 1.0) * each * SLACK)
    count = next(carry, None)
    if count is None or any(not {*load.needs} <= {*output.capabilities} for load in group):
        return None
    count = 2 if group[0].bridge else count
    own = {load.output for load in group if load.output is not None}
    kept = {load.output for load in problem.loads if load.unit == unit.name} - own
    free = [pin for pin in output.pins if pin not in used and pin not in kept]
    free.sort(key=lambda pin: pin not in own)
    idle = sum(pin not in used for one in unit.type.outputs if one.name == output.name for pin in one.pins)
    enough = len(free) >= count and idle - dict(unit.unit.spare).get(output.name, 0) >= count
    return tuple(free[:count]) if enough and own <= {*free[:count]} else None


def _circuit(bench: Bench, unit: Mounted, group: Group, pins: tuple[str, ...], way: tuple[str, ...]) -> Circuit | None:
    names = tuple(load.name for load in group)
    plain = Circuit(name=" + ".join(names), loads=names, unit=unit.name, pins=pins)
    return wired(bench.problem, bench.network, unit, plain, way)


def _keeps_rules(bench: Bench, circuit: Circuit) -> bool:
    """Whether what lies so far, with one circuit more, keeps every rule that a layout half made can keep."""
    others = bench.layout
    alone = replace(others, circuits=(circuit,), direct=())
    together = replace(others, circuits=(*bench.circuits, circuit))
    return all(_keeps(bench, layout) for layout in (alone, together))


def _keeps(bench: Bench, layout: Layout) -> bool:
    context = prepare(bench.problem, layout)
    return not any(next(rule(context), None) for name, rule in RULES.items() if name not in LATER)


def thickened(problem: Problem, layout: Layout) -> Layout:
    """The layout with the next larger wire wherever a full bundle makes one too small, until none is."""
    sizes = list(dict.fromkeys(row.size for row in problem.wires.wires))
    for _ in sizes:
        short = {found.object for found in check(problem, layout).violations if found.rule == "wire ampacity"}
        circuits = tuple(_larger(circuit, sizes, short) for circuit in layout.circuits)
        if circuits == layout.circuits:
            break
        layout = replace(layout, circuits=circuits)
    return layout


def _larger(circuit: Circuit, sizes: Sequence[str], short: set[str]) -> Circuit:
    """A circuit whose outgoing wires, or returns, are one size up where any of them is too small."""
    label = f"circuit {circuit.name}, "
    own = [name.removeprefix(label) for name in short if name.startswith(label)]
    back, out = any(name.startswith("return") for name in own), any(not name.startswith("return") for name in own)

    def next_up(size: str) -> str:
        return sizes[min(sizes.index(size) + 1, len(sizes) - 1)]

    return replace(
        circuit,
        wires=tuple(
            replace(wire, size=next_up(wire.size)) if (back if wire.role == "return" else out) else wire
            for wire in circuit.wires
        ),
    )
