"""From a solution to a layout: names, pins, contacts, fuses, figures."""

from __future__ import annotations

from dataclasses import replace

from allocator.assembly.circuits import circuits_of, placed
from allocator.assembly.drops import drop_percent
from allocator.assembly.segments import Laid
from allocator.assembly.shared_wires import Shared, shared
from allocator.assembly.taken import taken_circuits, unit_names
from allocator.assembly.units import fitted_unit
from allocator.layout import DirectCircuit, GivenRun, Layout, Totals
from allocator.model import Solution
from allocator.options import OptionList
from allocator.wiring import wire_g


def assemble(option_list: OptionList, solution: Solution, covered: OptionList | None = None) -> Layout:
    """The layout of a solution, complete but for the seconds it took.

    ``covered`` is the option list that the proof covers, where it is not the one that the solution is made of.
    """
    problem = option_list.problem
    head = Layout(
        problem=problem.name,
        problem_sha256=problem.digest,
        made_with=_made_with(solution),
        status=solution.status,
        objective_g=_rounded(solution.objective_g),
        bound_g=_rounded(solution.bound_g),
        gap=solution.gap,
        defaults=problem.defaults,
        listed=_listed(covered or option_list),
    )
    if solution.objective_g is None:
        return head
    taken = taken_circuits(option_list, solution)
    laid = Laid(option_list, solution)
    everything = shared(option_list, solution, taken)
    fitted = [
        (option_list.slots[slot], name, [t for t in taken if t.option.slot == slot])
        for slot, name in unit_names(option_list, solution).items()
    ]
    units = [fitted_unit(option_list, solution, slot, name, own, laid) for slot, name, own in fitted]
    circuits = [
        c for slot, name, own in fitted for c in circuits_of(option_list, solution, slot, name, own, everything, laid)
    ]
    order = {unit.name: n for n, unit in enumerate(problem.units)}
    layout = replace(
        head,
        units=tuple(sorted(units, key=lambda u: order[u.name])),
        circuits=tuple(sorted(circuits, key=lambda c: (order[c.unit], c.name))),
        direct=tuple(_direct(option_list, d, everything, laid) for d in solution.direct),
        given=_given(option_list, everything, laid),
    )
    return replace(layout, totals=_totals(option_list, solution, layout))


def _direct(option_list: OptionList, index: int, everything: Shared, laid: Laid) -> DirectCircuit:
    option = option_list.direct[index]
    name, plan = option.load.name, laid.plan(option.plan)
    wires = []
    for n, conductor in enumerate(plan.conductors):
        contacts = everything.contacts("direct", name, n, conductor.crossings)
        wires.append(placed(laid, conductor, (name,), contacts))
    return DirectCircuit(
        load=name,
        source=option_list.problem.sources[0].name,
        current_a=round(option.load.full_current_a, 6),
        fuse_a=option.fuse_a,
        wires=tuple(wires),
        drop_percent=drop_percent(option_list.problem, plan, wires),
    )


def _given(option_list: OptionList, everything: Shared, laid: Laid) -> tuple[GivenRun, ...]:
    runs = []
    for given in option_list.problem.given_wires:
        own = [(n, core) for n, core in enumerate(option_list.given) if core.name == given.name]
        core = own[0][1]
        runs.append(
            GivenRun(
                wire=given.name,
                size=core.wire.size,
                cores=len(own),
                route=core.route.places,
                insulation_c=core.wire.insulation_c,
                length_m=round(core.length_m, 6),
                copper_g=round(len(own) * core.copper_g, 3),
                wire_g=round(len(own) * wire_g(core.wire, core.length_m), 3),
                contacts=tuple(x for n, c in own for x in everything.contacts("given", c.name, n, c.crossings)),
                factor=round(laid.factor(core.route, core.line), 6),
            )
        )
    return tuple(runs)


def _rounded(grams: float | None) -> float | None:
    return None if grams is None else round(grams, 6)


def _made_with(solution: Solution) -> tuple[tuple[str, str], ...]:
    from importlib.metadata import version

    return (("allocator", version("allocator")), ("highspy", solution.solver), ("pulp", version("pulp")))


def _listed(option_list: OptionList) -> tuple[tuple[str, object], ...]:
    return (
        ("options", len(option_list.options)),
        ("circuits", len(option_list.candidates)),
        ("slots", len(option_list.slots)),
        ("feeds", len(option_list.feeds)),
        ("cut_short", tuple(one.text for one in option_list.cut_short)),
    )


def _totals(option_list: OptionList, solution: Solution, layout: Layout) -> Totals:
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    wires += [wire for circuit in layout.direct for wire in circuit.wires]
    feeds = [unit.feed for unit in layout.units if unit.feed is not None]
    branch = sum(wire.copper_g or 0.0 for wire in wires) + sum(run.copper_g or 0.0 for run in layout.given)
    feed = sum(f.copper_g or 0.0 for f in feeds)
    finished = sum(x.wire_g or 0.0 for group in (wires, feeds, layout.given) for x in group)
    length = sum(x.length_m or 0.0 for group in (wires, feeds) for x in group)
    length += sum(run.cores * (run.length_m or 0.0) for run in layout.given)
    used = sum(len(circuit.pins) for circuit in layout.circuits)
    spare = sum(option_list.slots[s].spare for s in solution.slots)
    outputs = sum(option_list.slots[s].outputs for s in solution.slots)
    return Totals(
        copper_g=round(branch + feed, 3),
        branch_copper_g=round(branch, 3),
        feed_copper_g=round(feed, 3),
        wire_g=round(finished, 3),
        length_m=round(length, 6),
        outputs_used=used,
        outputs_spare=spare,
        outputs_unused=outputs - used - spare,
        units_fitted=len(layout.units),
        splices=sum(s.count for circuit in layout.circuits for s in circuit.splices),
    )
