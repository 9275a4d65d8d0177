"""Rules on wires that are given."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking import routes, wires
from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Given
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import (
    Conductor,
    shortest,
)
from allocator.evaluation.tolerance import excess
from allocator.problem import GivenWire


def given_known(context: Context) -> Iterator[Breach]:
    """Every given wire is listed once, with its size and cores; nothing else is listed there."""
    times = Counter(given.run.wire for given in context.given)
    known = {wire.name for wire in context.problem.given_wires}
    for name, count in sorted(times.items()):
        if name not in known:
            yield Breach(f"given wire {name}", count, "wires", f"'{name}' is not a given wire of the problem")
        elif count > 1:
            yield Breach(f"given wire {name}", count - 1, "times", f"given wire {name} is listed {count} times")
    for given in context.given:
        wire, run = given.wire, given.run
        if wire is not None and (run.size, run.cores) != (wire.size, wire.cores):
            stated, asked = f"{run.cores} x {run.size}", f"{wire.cores} x {wire.size}"
            text = f"given wire {wire.name} is listed as {stated}, instead of {asked}"
            yield Breach(f"given wire {wire.name}", max(abs(run.cores - wire.cores), 1), "cores", text)


def given_route(context: Context) -> Iterator[Breach]:
    """A given wire follows the shortest route between its places."""
    for given, wire, conductor in _laid(context):
        yield from routes.route(conductor, given.run.route, wire.start, wire.end)
        line = conductor.line
        least = shortest(context.problem, context.network, wire.start, wire.end, line)
        if conductor.route is not None and least is not None:
            longer = excess(conductor.route.length_m, least.length_m)
            if longer > 0.0:
                text = f"{conductor.label} goes {number(longer)} m further than the shortest route"
                yield Breach(conductor.label, longer, "m", text)


def given_insulation(context: Context) -> Iterator[Breach]:
    """A given wire is of the lowest insulation class that its route allows."""
    for given, _, conductor in _laid(context):
        yield from wires.in_table(conductor, given.run.size)
        yield from wires.insulation(conductor, given.run.insulation_c)


def given_ampacity(context: Context) -> Iterator[Breach]:
    """Each core of a given wire carries the current that is given for it."""
    for _, wire, conductor in _laid(context):
        if conductor.ampacity_a is None:
            continue
        over = excess(wire.current_a, conductor.ampacity_a)
        if over > 0.0:
            text = (
                f"{conductor.label} of {wire.size} carries {number(conductor.ampacity_a)} A{wires.among(conductor)}, "
                f"{number(over)} A less than the {number(wire.current_a)} A given"
            )
            yield Breach(conductor.label, over, "A", text)


def _laid(context: Context) -> Iterator[tuple[Given, GivenWire, Conductor]]:
    for given in context.given:
        if given.wire is not None and given.conductor is not None:
            yield given, given.wire, given.conductor
