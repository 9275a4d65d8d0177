"""A layout of thousands of circuits, checked: processor seconds by their number. They grow as it does, not faster.

.venv/bin/python -m benchmarks.many_circuits [--circuits 3750 7500 15000]
"""

from __future__ import annotations

import argparse
import time
from dataclasses import replace
from itertools import pairwise

from allocator.checking import check
from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire
from allocator.problem import Bundling, Load, OutputClass, Place, Problem, Segment, Source, Unit, UnitType
from allocator.reporting.text import plain
from allocator.reporting.violations import checked
from benchmarks.machines import Size, machine
from benchmarks.markdown import head, line

EACH, PLACES = 250, 60
"""Outputs of a unit, and places along the spine of the machine."""


def large(circuits: int) -> tuple[Problem, Layout]:
    """A load on each output of each unit, and a layout of it as a hand would write it."""
    pins = tuple(f"p{n}" for n in range(EACH))
    outputs = OutputClass(name="out", pins=pins, continuous_a=10.0, wire_mm2=(0.5, 6.0), trip_step_a=0.5)
    names = [f"place {n}" for n in range(PLACES)]
    units = [(f"unit {u}", names[u % PLACES]) for u in range(circuits // EACH)]
    fed = [(unit, pin) for unit, _ in units for pin in pins]
    loads = tuple(
        Load(name=f"{unit} {pin}", item=f"{unit} {pin}", place=names[n % PLACES], current_a=0.1)
        for n, (unit, pin) in enumerate(fed)
    )
    given = machine(Size(8, 2, 2))
    problem = replace(
        given,
        name=f"{circuits} circuits",
        conditions=("all on",),
        loads=tuple(replace(load, levels=(1.0,)) for load in loads),
        places=tuple(Place(name=name, stud_a=5000.0, units=len(units)) for name in names),
        segments=tuple(Segment(start=a, end=b, length_m=0.05) for a, b in pairwise(names)),
        sources=(Source(name="battery", place=names[0]),),
        unit_types=(UnitType(name="type", outputs=(outputs,), continuous_a=900.0, mass_g=500.0),),
        units=tuple(Unit(name=unit, type="type", sites=(site,), source="battery") for unit, site in units),
        margins=replace(given.margins, bundle=Bundling.NONE),
        bulkheads=(), functions=(), runs=(), given_wires=(),
    )  # fmt: skip
    layout = Layout(
        problem=problem.name,
        units=tuple(FittedUnit(name=unit, site=site) for unit, site in units),
        circuits=tuple(
            Circuit(
                name=f"{unit} {pin}", loads=(f"{unit} {pin}",), unit=unit, pins=(pin,),
                wires=(PlacedWire(role="any", size="1 mm2"),),
            )
            for unit, pin in fed
        ),
    )  # fmt: skip
    return problem, layout


def row(circuits: int) -> tuple[str, ...]:
    """Processor seconds of the check, of the text that the command shows, and of both for a thousand circuits."""
    problem, layout = large(circuits)
    times = [time.process_time()]
    report = check(problem, layout)
    times.append(time.process_time())
    plain(checked(problem, report))
    times.append(time.process_time())
    assert report.clean, report.violations[:3]
    checking, reporting = (after - before for before, after in pairwise(times))
    each = 1000.0 * (checking + reporting) / circuits
    return (str(circuits), f"{checking:.1f}", f"{reporting:.1f}", f"{each:.2f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--circuits", type=int, nargs="+", default=[3750, 7500, 15_000])
    args = parser.parse_args()
    print("\n".join(head(("circuits", "check s", "text s", "both for 1,000 s"))), flush=True)
    for circuits in args.circuits:
        print(line(row(circuits)), flush=True)


if __name__ == "__main__":
    main()
