"""The largest single load that a layout still takes at a place, without a change to anything in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor, isfinite

from allocator.assembly.circuits import placed
from allocator.assembly.segments import Laid
from allocator.assembly.shared_wires import each_wire
from allocator.checking import Report, Violation, check
from allocator.evaluation.laid_conductors import followed
from allocator.layout import HAND_MADE, Circuit, FittedUnit, Layout, PlacedWire
from allocator.model import Solution
from allocator.options import LazyRows, Option, OptionList, Slot, list_options
from allocator.problem import CHASSIS, SOURCE, Fit, Load, Problem

STEP_A = 0.5
SLACK = 1e-9

ON_BUNDLES = ("bundle heat", "wire beside cable", "stated wires", "stated loading")
"""Rules of the check that heavier wire, or a way round, may keep."""

Allowed = Mapping[tuple[str, str | None], float]
"""Amperes that a (unit, bank) takes in every condition; bank None: the unit."""

Unused = Mapping[tuple[str, str | None, str], int]
"""Outputs of a (unit, bank, class) that feed nothing and are not kept spare."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LargestLoad:
    """A resistive load, on in every condition, that may be added at a place; 0 A where none of a step's size may.

    ``circuit`` feeds it: the layout with it breaks no rule that it did not break before. With ``step_a`` more no
    output, route and wire size does; ``stopped_by`` says why, unit by unit.
    """

    place: str
    current_a: float
    step_a: float
    return_to: str
    load: Load | None
    circuit: Circuit | None
    stopped_by: tuple[str, ...]


def largest_loads(
    report: Report, places: Sequence[str], step_a: float, allowed: Allowed, unused: Unused
) -> tuple[LargestLoad, ...]:
    """The largest load at each place, by trying every current from the highest down.

    Parameters
    ----------
    report
        The checked layout.
    places
        Names of the places to try.
    step_a
        Step between the currents that are tried, in A; above 0.
    allowed
        Amperes left on each unit and bank.
    unused
        Outputs that are free, by unit.

    Raises
    ------
    ValueError
        When the problem has no such place, or the step is not above 0.
    """
    if not (isfinite(step_a) and step_a > 0.0):
        raise ValueError(f"A step of {step_a:g} A is too small. Give a step above 0 A.")
    for place in places:
        if place not in report.context.problem.place:
            raise ValueError(f"'{place}' is not a place of this problem. Correct the name, or add it.")
    return tuple(_largest(_Adding(report, place, allowed, unused), step_a) for place in places)


def usual_return(problem: Problem) -> str:
    """The chassis where any load returns to it; else the source, as on a hull of plastic."""
    returns = {load.return_to for load in problem.loads if not load.bridge}
    return CHASSIS if CHASSIS in returns or not returns else SOURCE


def extra_load(problem: Problem, place: str, current_a: float) -> Load:
    """A resistive load that nothing is known of but its place and current, under a name that is free."""
    number, name = 1, "extra load"
    while name in problem.load or any(load.item == name for load in problem.loads):
        number += 1
        name = f"extra load {number}"
    levels = (1.0,) * len(problem.conditions)
    returning = usual_return(problem)
    return Load(name=name, item=name, place=place, current_a=current_a, levels=levels, return_to=returning)


def decisions_of(layout: Layout) -> Layout:
    """A layout with its decisions alone: as one made by hand, so that a figure may change when something is added."""
    return replace(
        layout,
        status=HAND_MADE,
        objective_g=None,
        bound_g=None,
        gap=None,
        totals=None,
        units=tuple(_bare_unit(unit) for unit in layout.units),
        circuits=tuple(
            replace(one, current_a=None, drop_percent=None, wires=tuple(map(_bare, one.wires)))
            for one in layout.circuits
        ),
        direct=tuple(
            replace(one, current_a=None, drop_percent=None, wires=tuple(map(_bare, one.wires))) for one in layout.direct
        ),
        given=tuple(replace(one, factor=1.0) for one in layout.given),
    )


def _bare(wire: PlacedWire) -> PlacedWire:
    return replace(wire, factor=1.0)


def _bare_unit(unit: FittedUnit) -> FittedUnit:
    feed = None if unit.feed is None else replace(unit.feed, drop_percent=None, factor=1.0)
    return replace(unit, current_a=(), feed=feed)


def _largest(adding: _Adding, step_a: float) -> LargestLoad:
    count = floor(adding.most_a / step_a + SLACK)
    while count > 0 and (circuit := adding.circuit(count * step_a)) is None:
        count -= 1
    current = max(count, 0) * step_a
    return LargestLoad(
        place=adding.place,
        current_a=current,
        step_a=step_a,
        return_to=usual_return(adding.problem),
        load=extra_load(adding.problem, adding.place, current) if count > 0 else None,
        circuit=circuit if count > 0 else None,
        stopped_by=tuple(adding.why_not(current + step_a)),
    )


class _Adding:
    """A layout to which a load at one place is to be added."""

    def __init__(self, report: Report, place: str, allowed: Allowed, unused: Unused):
        self.problem = report.context.problem
        self.place = place
        self._context, self._allowed, self._unused = report.context, allowed, unused
        self._layout = decisions_of(report.layout)
        self._lazy = LazyRows()
        # figures that it states wrongly are among them, and no layout that is tried states any
        self._broken = {(one.rule, one.object): one.amount for one in report.violations}

    @property
    def most_a(self) -> float:
        """More than any unit takes, whatever the wires: by its ratings and by its outputs."""
        return max(
            (min(room, self._outputs_a(unit)) for (unit, bank), room in self._allowed.items() if not bank), default=0.0
        )

    def circuit(self, current_a: float) -> Circuit | None:
        """A circuit that feeds the load and breaks nothing, the lightest first; None where there is none."""
        if current_a > self.most_a * (1.0 + SLACK):
            return None
        while True:
            warm = self._lazy
            for one, new in self._tried(current_a, self._listed(current_a)):
                if not new:
                    return one
                if all(broken.rule in ON_BUNDLES for broken in new):
                    warm |= self._along(one)
            if warm == self._lazy:
                return None
            self._lazy = warm

    def _along(self, circuit: Circuit) -> LazyRows:
        """The segments that a circuit passes: there heavier wires and ways round are to be listed too."""
        routes = (followed(self.problem, self._context.network, wire.route) for wire in circuit.wires)
        return LazyRows({e: () for route in routes if route is not None for e in route.segments})

    def why_not(self, current_a: float) -> Iterator[str]:
        """What stands against a current that fits nowhere, one sentence a unit."""
        if not self._context.mounted:
            yield "no unit of the problem is fitted at a place of the problem"
            return
        option_list = self._listed(current_a)
        tried = list(self._tried(current_a, option_list))
        for name in self._context.mounted:
            if current_a > self._allowed[name, None] * (1.0 + SLACK):
                yield f"unit {name}: only {max(self._allowed[name, None], 0.0):.2f} A left within its ratings and feed"
                continue
            broken = [new[0].text for circuit, new in tried if circuit.unit == name and new]
            slots = {slot.index for slot in option_list.slots if name in self._units_at(slot)}
            refused = [one for one in option_list.refusals if one.slot in slots]
            if broken:
                yield f"unit {name}: {broken[0]}"
            elif any(option.slot in slots for option in option_list.options):
                yield f"unit {name}: no free outputs of a class and bank that take it"
            elif refused:
                last = max(refused, key=lambda one: one.limit or 0.0)
                yield f"unit {name}: {last.reason}"
            else:
                yield f"unit {name}: no route from any of its outputs"

    def _outputs_a(self, unit: str) -> float:
        """What the outputs of one class carry that the unit has left, at most."""
        mounted, use = self._context.mounted[unit], self.problem.margins.output_use
        most = 0.0
        for output in mounted.type.outputs:
            count = min(output.parallel, self._unused[unit, output.bank, output.name])
            for k in range(1, count + 1):
                most = max(most, k * (output.parallel_use if k > 1 else 1.0) * output.continuous_a * mounted.hot * use)
        return most

    def _listed(self, current_a: float) -> OptionList:
        """Every way to feed the load alone, from the units where they sit."""
        problem = self.problem
        sites = {name: mounted.site.name for name, mounted in self._context.mounted.items()}
        units = tuple(
            replace(unit, sites=(sites[unit.name],), fit=Fit.ALWAYS, spare=(), spare_current_a=0.0)
            for unit in problem.units
            if unit.name in sites
        )
        load = extra_load(problem, self.place, current_a)
        alone = replace(problem, loads=(load,), units=units, functions=(), runs=(), given_wires=())
        return list_options(alone, lazy=self._lazy)

    def _tried(self, current_a: float, option_list: OptionList) -> Iterator[tuple[Circuit, tuple[Violation, ...]]]:
        """Every circuit that could be, the lightest first, with the rules that it breaks anew."""
        load = extra_load(self.problem, self.place, current_a)
        larger = replace(self.problem, loads=(*self.problem.loads, load))
        for option in sorted(option_list.options, key=lambda one: one.copper_g):
            for circuit in self._circuits(option_list, option, load):
                layout = replace(self._layout, circuits=(*self._layout.circuits, circuit))
                yield circuit, tuple(one for one in check(larger, layout).violations if self._new(one))

    def _new(self, found: Violation) -> bool:
        before = self._broken.get((found.rule, found.object))
        return before is None or found.amount > before * (1.0 + SLACK)

    def _units_at(self, slot: Slot) -> list[str]:
        """Mounted units that a slot stands for: alike ones at one site are listed as one."""
        return [
            name
            for name, mounted in self._context.mounted.items()
            if (mounted.site.name, mounted.type.name, mounted.unit.source)
            == (slot.site, slot.unit_type.name, slot.source.name)
        ]

    def _circuits(self, option_list: OptionList, option: Option, load: Load) -> Iterator[Circuit]:
        """The circuits of an option: one for each unit, class and bank with outputs left for it."""
        slot, laid = option_list.slots[option.slot], Laid(option_list, Solution(status=HAND_MADE))
        for name in self._units_at(slot):
            used = {pin for one in self._layout.circuits if one.unit == name for pin in one.pins}
            kept = {one.output for one in self.problem.loads if one.unit == name}
            for q in sorted(option.classes):
                output = slot.classes[q].output
                room = min(self._allowed[name, None], self._allowed.get((name, output.bank), float("inf")))
                free = [pin for pin in output.pins if pin not in used and pin not in kept]
                enough = min(len(free), self._unused[name, output.bank, output.name]) >= option.outputs
                if enough and load.current_a <= room * (1.0 + SLACK):
                    yield Circuit(
                        name=load.name,
                        loads=(load.name,),
                        unit=name,
                        pins=tuple(free[: option.outputs]),
                        bank=output.bank,
                        output_class=output.name,
                        trip_a=dict(option.trips)[q],
                        wires=tuple(placed(laid, one, (load.name,), ()) for one in each_wire(option.conductors)),
                    )
