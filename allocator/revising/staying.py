"""Circuits, feeds and direct loads that may stay as they are built: as options that cost nothing, or why they may not.

Everything that shares no rule with others is settled here; what they share is left to the model.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod

from allocator.evaluation.joints import Joints, join, splices_needed
from allocator.evaluation.laid_conductors import followed
from allocator.layout import Circuit, PlacedWire
from allocator.options import (
    Candidate,
    ConductorOption,
    FinishedWire,
    LoadGroup,
    Option,
    OptionList,
    Refusal,
    Slot,
    WiringPlan,
)
from allocator.options.already_built import LENGTH_TOLERANCE_M
from allocator.options.conductor_listing import Way, conductor_options, outgoing_ways, return_ways
from allocator.options.conductor_option import Duty, in_range, lightest_first
from allocator.options.cut_short import Cut, CutShort
from allocator.options.jobs import SLACK, Job, job_for, shares_of
from allocator.options.shared_outputs import MOST_RETURN_CHOICES
from allocator.options.warmed_wires import Lost, as_if_alone, judged, members_of, returns_within, warmed_by
from allocator.options.wiring_plan import drop_limit_v
from allocator.options.workbench import Workbench
from allocator.problem import Line, Load, Problem, WireTable
from allocator.revising.built import finished_wire
from allocator.revising.unfit import Unfit, UnfitError
from allocator.wiring import SPLICE_OHM


@dataclass(frozen=True)
class StayingCircuit:
    """A circuit as built, the options by which it stays (none: it cannot), and the reason why it cannot."""

    circuit: Circuit
    options: tuple[Option, ...] = ()
    reason: str = ""


@dataclass(frozen=True)
class Keeper:
    """Judges what may stay, by the same rules that list what is new."""

    option_list: OptionList
    bench: Workbench
    groups: dict[str, LoadGroup]
    sites: dict[str, str]

    @property
    def problem(self) -> Problem:
        """The problem as it is now."""
        return self.bench.problem

    def circuits(self, circuits: Sequence[Circuit]) -> Iterator[StayingCircuit]:
        """Every circuit with the options by which it stays; they carry no index yet."""
        taken: set[tuple[str, str]] = set()
        fed: set[str] = set()
        for circuit in circuits:
            pins = {(circuit.unit, pin) for pin in circuit.pins}
            try:
                if taken & pins or len(pins) < len(circuit.pins):
                    raise UnfitError(Unfit.OUTPUT_TWICE)
                if fed & {*circuit.loads}:
                    raise UnfitError(Unfit.LOAD_TWICE)
                options = tuple(self._options(circuit))
            except UnfitError as unfit:
                yield StayingCircuit(circuit, (), str(unfit))
                continue
            taken |= pins
            fed |= {*circuit.loads}
            yield StayingCircuit(circuit, options)

    def _options(self, circuit: Circuit) -> Iterator[Option]:
        slot = self.slot(circuit.unit)
        loads = [self.problem.load[name] for name in circuit.loads]
        members = Counter(self.groups[load.name].index for load in loads)
        self._may_be_together(loads, slot)
        job = self._job(circuit, loads, slot)
        joints = join(circuit.wires, slot.site, circuit.loads) if len(loads) > 1 else None
        outs = self._outgoing(circuit, slot, job, joints)

        def before_v(load: Load, lost: Lost) -> float:
            return _lost_v(circuit, outs, load, joints, lost)

        for returns, drop in self._returns(loads, slot, job, before_v):
            yield Option(
                index=-1,
                candidate=Candidate(-1, tuple(sorted(members.items()))),
                slot=slot.index,
                outputs=job.outputs,
                classes=frozenset({job.slot_class}),
                takes=job.takes,
                trips=((job.slot_class, job.trip_a),),
                plan=judged(
                    self.problem,
                    WiringPlan((*outs, *returns), _splices(circuit), 0.0, drop, self.bench.guarded),
                    members_of(members.items(), self.option_list.load_groups),
                    self.bench.lazy,
                ),
            )

    def slot(self, unit: str) -> Slot:
        """The slot in which a unit is built."""
        site = self.sites.get(unit)
        for slot in self.option_list.slots:
            if slot.unit.name == unit and slot.site == site:
                return slot
        raise UnfitError(Unfit.SITE_GONE, unit, site) if site else UnfitError(Unfit.UNIT_GONE, unit)

    def _may_be_together(self, loads: list[Load], slot: Slot) -> None:
        """Rules on the loads of one output that no solution could mend."""
        for function in self.problem.functions:
            named = {x.name for x in self.problem.loads if x.name in function.loads or x.item in function.loads}
            lost = len(named & {load.name for load in loads})
            if "output" in function.against and lost > len(named) - function.survive:
                raise UnfitError(Unfit.FUNCTION, function.name)
        if len(loads) == 1:
            return
        if len({load.share for load in loads}) > 1 or loads[0].share is None:
            raise UnfitError(Unfit.LOADS_APART)
        for load in loads:
            if load.bridge or any((name, slot.site) in self.bench.runs for name in (load.name, load.item)):
                raise UnfitError(Unfit.LOAD_APART, load.name)

    def _job(self, circuit: Circuit, loads: list[Load], slot: Slot) -> Job:
        """What its very outputs have to do now."""
        by_pin = {pin: q for q, group in enumerate(slot.classes) for pin in group.pins}
        unknown = [pin for pin in circuit.pins if pin not in by_pin]
        if unknown:
            raise UnfitError(Unfit.NO_PIN, circuit.unit, unknown[0])
        classes = Counter(by_pin[pin] for pin in circuit.pins)
        pinned = [q for q in classes if slot.classes[q].pinned]
        number = next((q for q in pinned if loads[0].output in slot.classes[q].pins), min(classes))
        job = job_for(self.problem, list(Counter(loads).items()), slot, number)
        if isinstance(job, Refusal):
            amounts = "" if job.asked is None or job.limit is None else f", {job.asked:.4g} against {job.limit:.4g}"
            raise UnfitError(Unfit.OPTION, f"{job.reason}{amounts} {job.unit if amounts else ''}".strip())
        if job.outputs != len(circuit.pins) or Counter(dict(job.takes)) != classes:
            raise UnfitError(Unfit.OUTPUTS, job.outputs)
        return job

    def _outgoing(self, circuit: Circuit, slot: Slot, job: Job, joints: Joints | None) -> list[ConductorOption]:
        """Its wires from the output to the loads, as they are."""
        wires = [wire for wire in circuit.wires if wire.role != "return"]
        if len({wire.size for wire in wires}) != 1:
            raise UnfitError(Unfit.SIZES)
        if joints is None:
            alone = all(wire.role == "out" for wire in wires) and len(wires) == job.outputs
            if not alone or len({wire.route for wire in wires}) > 1:
                raise UnfitError(Unfit.PARALLEL)
        elif joints.loose or joints.lost or len(joints.starts) != 1:
            raise UnfitError(Unfit.LOOSE)
        if joints is not None:
            needed = {p: splices_needed(n, self.problem.margins.splice_wires) for p, n in joints.meeting}
            if dict(_splices(circuit)) != {place: n for place, n in needed.items() if n}:
                raise UnfitError(Unfit.SPLICES)
        wet = [s.place for s in circuit.splices if s.place not in self.problem.place or self.problem.place[s.place].wet]
        if wet:
            raise UnfitError(Unfit.WET_SPLICE, wet[0])
        found = []
        carried = {} if joints is None else dict(joints.downstream)
        for n, wire in enumerate(circuit.wires):
            if wire.role == "return":
                continue
            names = circuit.loads if joints is None else carried[n]
            behind = [self.problem.load[name] for name in names]
            current = job.wire_current_a if joints is None else sum(load.full_current_a for load in behind)
            duty = replace(job.outgoing, current_a=current, shares=shares_of([(load, 1) for load in behind]))
            members = tuple(sorted(Counter(self.groups[name].index for name in names).items()))
            way = self._way(wire, slot.site, behind)
            made = as_finished(self.bench, way, wire.role, duty, members, finished_wire(wire))[-1]
            if not in_range(made.wire.area_mm2, job.wire_mm2):
                raise UnfitError(Unfit.TERMINAL, wire.size)
            found.append(made)
        return found

    def _way(self, wire: PlacedWire, start: str, loads: list[Load]) -> Way:
        """The way of an outgoing wire as it is now."""
        load = loads[0]
        if wire.role in ("out", "branch") and wire.end != load.place:
            raise UnfitError(Unfit.LOAD_MOVED, load.name, load.place)
        if wire.role == "out":
            if wire.start != start:
                raise UnfitError(Unfit.START_MOVED, start)
            for way in outgoing_ways(self.bench, start, load):
                if way.route.places == wire.route:
                    return way
            if any((name, start) in self.bench.runs for name in (load.name, load.item)):
                raise UnfitError(Unfit.MEASURED)
        lead = load.lead_m if wire.role in ("out", "branch") else 0.0
        route = followed(self.problem, self.bench.network, wire.route)
        if route is None:
            raise UnfitError(Unfit.WAY_GONE, " - ".join(wire.route))
        return Way(route, max(0.0, route.length_m + self.problem.margins.tail_m - lead))

    def _returns(
        self, loads: list[Load], slot: Slot, job: Job, before: Callable[[Load, Lost], float]
    ) -> Iterator[tuple[tuple[ConductorOption, ...], float]]:
        """Returns for each load, finished or new, of least cost for each set of contacts; and the greatest drop."""
        each: list[list[tuple[tuple[ConductorOption, ...], float]]] = []
        lost = warmed_by(self.bench)
        for load in loads:
            before_v = before(load, as_if_alone)
            limit = drop_limit_v(self.problem, load) * SLACK
            group = self.groups[load.name].index
            built = self.bench.returns.get(group)
            ways = () if load.bridge else self.return_ways(load, built, slot.source.place)
            duty = job.returning(load)
            back = conductor_options(self.bench, ways, "return", duty, 1, ((group, 1),))
            warm_before_v = 0.0 if lost is None else before(load, lost)
            kept = returns_within(lightest_first(back), before_v, limit, lost, warm_before_v)
            found: list[tuple[tuple[ConductorOption, ...], float]] = [((wire,), volts) for wire, volts in kept]
            if load.bridge:
                found = [((), before_v)] if before_v <= limit else []
            if not found:
                raise UnfitError(Unfit.DROP_TRIP, load.name)
            each.append(found)
        if prod(len(found) for found in each) > MOST_RETURN_CHOICES:
            self.bench.cut.add(CutShort(Cut.FINISHED_RETURNS))
            each = [found[:1] for found in each]
        for choice in product(*each):
            yield tuple(c for wires, _ in choice for c in wires), max(drop for _, drop in choice)

    def return_ways(
        self, load: Load, built: FinishedWire | None, source_place: str, lines: tuple[Line, ...] = (Line.WIRE,)
    ) -> list[Way]:
        """The ways of a return, that of the finished one too where it ends where it must.

        Parameters
        ----------
        load
            The load.
        built
            The finished return; None where there is none.
        source_place
            Place of the source that feeds the load.
        lines
            The kinds of line that it may be: wires, cables, or both.
        """
        ways = list(return_ways(self.bench, load, source_place, lines))
        if built is not None and all(way.route.places != built.places for way in ways) and len(built.places) > 1:
            ends = (ways[0].route.places[0], ways[0].route.places[-1]) if ways else None
            route = followed(self.problem, self.bench.network, built.places)
            if route is not None and (built.places[0], built.places[-1]) == ends:
                ways.append(Way(route, route.length_m + self.problem.margins.tail_m))
        return ways


def as_finished(
    bench: Workbench,
    way: Way,
    role: str,
    duty: Duty,
    members: tuple[tuple[int, int], ...],
    built: FinishedWire,
    tables: tuple[WireTable, ...] = (),
) -> list[ConductorOption]:
    """A finished wire as a conductor that costs nothing, on its very contacts; a cable by how many lie beside it.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    way
        The route as it is now, with the length to cut.
    role
        ``out``, ``trunk``, ``branch`` or ``return``.
    duty
        What it has to bear.
    members
        How many loads of which group it serves: pairs of group and count.
    built
        The finished wire.
    tables
        Wire tables that it may be of; empty: that of wires.

    Raises
    ------
    UnfitError
        When it would no longer do.
    """
    if built.length_m is not None and way.length_m > built.length_m + LENGTH_TOLERANCE_M:
        raise UnfitError(Unfit.WIRE_SHORT, built.length_m, way.length_m)
    # the one wire that conductors() takes for finished is the return of its first member: asked in that role
    own = replace(bench, returns={members[0][0]: built})
    found = [c for c in conductor_options(own, (way,), "return", duty, 1, members, tables) if c.wire.size == built.size]
    sunk = [c for c in found if c.copper_g == 0.0]
    if not found:
        raise UnfitError(Unfit.WIRE_SIZE, built.size, duty.trip_a)
    if not sunk:
        raise UnfitError(Unfit.CONTACT, built.size)
    return [replace(own, role=role) for own in sunk]


def _lost_v(circuit: Circuit, outs: list[ConductorOption], load: Load, joints: Joints | None, lost: Lost) -> float:
    """Volts lost from the output to a load: of parallel wires the worst, of a bridge both, of a tree along its way."""
    if joints is None:
        drops = [lost(wire) for wire in outs]
        return sum(drops) if load.bridge else max(drops)
    splices = dict(_splices(circuit))
    numbers = [n for n, wire in enumerate(circuit.wires) if wire.role != "return"]
    by_number = dict(zip(numbers, outs, strict=True))
    total = 0.0
    for n in dict(joints.ways)[load.name]:
        total += lost(by_number[n])
        if circuit.wires[n].role == "trunk":
            total += splices.get(circuit.wires[n].end, 0) * SPLICE_OHM * by_number[n].current_a
    return total


def _splices(circuit: Circuit) -> tuple[tuple[str, int], ...]:
    return tuple((splice.place, splice.count) for splice in circuit.splices)
