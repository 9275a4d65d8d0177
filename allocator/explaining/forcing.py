"""A load forced onto another unit, or its unit onto another site, and the whole solved again from what is known."""

from __future__ import annotations

from dataclasses import dataclass, replace

from allocator.changes.change import with_loads, with_units
from allocator.evaluation.tolerance import CLOSE_G
from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL, Circuit, Layout
from allocator.options import LazyRows, Option, OptionList
from allocator.problem import Problem
from allocator.search.solve import solve


@dataclass(frozen=True, slots=True)
class Force:
    """A load onto a unit; with ``site``, that unit at this site."""

    load: str
    unit: str
    site: str | None = None

    @property
    def text(self) -> str:
        """Such as 'pump on unit rear at bench'."""
        return f"{self.load} on unit {self.unit}" + ("" if self.site is None else f" at {self.site}")

    def apply(self, problem: Problem) -> Problem:
        """The problem with the load pinned to the unit, as its ``unit`` column would; it keeps no other pin."""
        forced = with_loads(
            problem,
            {self.load},
            lambda x: replace(x, unit=self.unit, output=x.output if x.unit == self.unit else None),
        )
        if self.site is None:
            return forced
        site = self.site
        return with_units(forced, {self.unit}, lambda u: replace(u, sites=(site,)))


@dataclass(frozen=True, slots=True)
class Forced:
    """What a force comes to in all. ``status`` optimal: proven; feasible: at most that; objective None: no layout.

    ``more_g`` is above the layout that is explained; ``at_least_g`` is what is proven of it, None if nothing is.
    ``parts`` says of what the difference is made, in grams; ``moved`` names the other loads that change their unit,
    ``sites`` (unit, site) that are new.
    """

    force: Force
    status: str
    objective_g: float | None = None
    more_g: float | None = None
    at_least_g: float | None = None
    site: str | None = None
    parts: tuple[tuple[str, float], ...] = ()
    moved: tuple[str, ...] = ()
    sites: tuple[tuple[str, str], ...] = ()
    against: str = ""

    def within(self, share: float) -> bool:
        """Whether the extra weight is known to such a share of itself, or that there is no layout."""
        if self.status in (OPTIMAL, INFEASIBLE):
            return True
        if self.more_g is None or self.at_least_g is None:
            return False
        return self.more_g - self.at_least_g <= share * abs(self.more_g) + CLOSE_G


def forced(
    problem: Problem,
    base: Layout,
    force: Force,
    start: Layout | None,
    lazy: LazyRows,
    time_limit_s: float | None,
    gap: float = 0.0,
) -> Forced:
    """The best layout under a force, beside a known one.

    Parameters
    ----------
    problem
        The problem without the force.
    base
        A known layout of it.
    force
        The load and where it has to be.
    start
        A layout as warm start; None for none.
    lazy
        Lazy rows to begin with; empty for none.
    time_limit_s
        Seconds for the solve; None for no limit.
    gap
        What it weighs more than the known layout is known to this share of itself; 0 for a full proof.

    Raises
    ------
    InternalError
        When the independent check finds a violation in the engine's layout.
    """
    changed, above_g = force.apply(problem), base.objective_g or 0.0
    layout = solve(changed, start=start, lazy=lazy, time_limit_s=time_limit_s, gap=gap, above_g=above_g)
    if layout.status not in (OPTIMAL, FEASIBLE) or layout.objective_g is None:
        return Forced(force, layout.status)
    unit_of = {load: circuit.unit for circuit in base.circuits for load in circuit.loads}
    moved = [
        load
        for circuit in layout.circuits
        for load in circuit.loads
        if load != force.load and circuit.unit != unit_of.get(load)
    ]
    at = {unit.name: unit.site for unit in base.units}
    return Forced(
        force=force,
        status=layout.status,
        objective_g=layout.objective_g,
        more_g=_more_g(base, layout.objective_g),
        at_least_g=_more_g(base, layout.bound_g),
        site=next(unit.site for unit in layout.units if unit.name == force.unit),
        parts=_parts(problem, base, layout),
        moved=tuple(sorted(moved)),
        sites=tuple((unit.name, unit.site) for unit in layout.units if at.get(unit.name) != unit.site),
    )


def _more_g(base: Layout, grams: float | None) -> float | None:
    return None if base.objective_g is None or grams is None else round(grams - base.objective_g, 3)


def _parts(problem: Problem, base: Layout, layout: Layout) -> tuple[tuple[str, float], ...]:
    """Of what the difference of two objectives is made, in grams; what is the same is left out."""
    old, new, prices = base.totals, layout.totals, problem.prices
    if old is None or new is None:
        return ()
    mass = {unit.name: problem.unit_type[unit.type].mass_g for unit in problem.units}
    masses = [sum(mass.get(unit.name, 0.0) for unit in one.units) for one in (base, layout)]
    parts = (
        ("branches", new.branch_copper_g - old.branch_copper_g),
        ("feeds", new.feed_copper_g - old.feed_copper_g),
        ("used outputs", (new.outputs_used - old.outputs_used) * prices.used_output_g),
        ("unused outputs", (new.outputs_unused - old.outputs_unused) * prices.unused_output_g),
        ("splices", (new.splices - old.splices) * prices.splice_g),
        ("units", (masses[1] - masses[0]) * prices.unit_mass),
    )
    return tuple((name, round(grams, 3)) for name, grams in parts if abs(grams) >= CLOSE_G)


def start_for(base: Layout, option_list: OptionList, load: str, options: list[Option], unit: str) -> Layout | None:
    """The known layout with a load on free pins of another unit, to start from; None where there are not enough.

    It need not keep every rule: the solver leaves aside a start that does not.

    Parameters
    ----------
    base
        The layout that is explained.
    option_list
        The listed options.
    load
        Name of the load.
    options
        The options of the load on the other unit.
    unit
        Name of that unit.
    """
    site = next((fitted.site for fitted in base.units if fitted.name == unit), None)
    if site is None:
        return None
    used = {
        pin for circuit in base.circuits if circuit.unit == unit and load not in circuit.loads for pin in circuit.pins
    }
    for option in sorted(options, key=lambda o: o.copper_g):
        slot = option_list.slots[option.slot]
        if slot.site != site:
            continue
        classes = [q for q, _ in option.takes] or sorted(option.classes)
        for q in classes:
            free = [pin for pin in slot.classes[q].pins if pin not in used]
            if len(free) >= option.outputs:
                return _moved(base, load, unit, tuple(free[: option.outputs]))
    return None


def _moved(base: Layout, load: str, unit: str, pins: tuple[str, ...]) -> Layout:
    circuits = []
    for circuit in base.circuits:
        left = tuple(name for name in circuit.loads if name != load)
        if left:
            circuits.append(replace(circuit, loads=left))
    return replace(base, circuits=(*circuits, Circuit(name=load, loads=(load,), unit=unit, pins=pins)))
